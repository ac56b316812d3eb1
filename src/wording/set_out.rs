//! Words for where openings and dormers stand in their faces.

use super::roof::edge_word;
use crate::job::Answer;
use crate::roof::analysis::standing::{SettingOut, Standing};
use crate::wording::units::Format;

/// What the columns of [`rows`] are called: seen from outside, from the eave's left end to both sides, up from the eave to both
/// sides, down from the edge above to the upper side.
pub const HEADS: [&str; 5] = ["what", "face", "along the eave, from its left end", "up the slope", "down from"];

/// What stands there, as it is called.
#[must_use]
pub fn what(standing: &Standing, answer: &Answer) -> String {
    match standing {
        Standing::Opening(index) => {
            answer.openings.get(*index).map_or_else(String::new, |opening| opening.kind.clone())
        }
        Standing::Dormer(name) => format!("dormer {name}"),
    }
}

/// Where each opening and dormer stands, a row each: `roof window`, `store/A`, `2000 to 2780 mm`, `1200 to 2380 mm`,
/// `ridge 980 mm`.
#[must_use]
pub fn rows(answer: &Answer, format: Format) -> Vec<[String; 5]> {
    let both = |[near, far]: [f64; 2]| {
        let (near, far) = (format.fine(near), format.fine(far));
        format!("{} to {far}", near.trim_end_matches(" mm"))
    };
    let row = |of: &SettingOut| {
        let down = of.down.map(|down| {
            let edge = &answer.roof.edges[down.edge.index()];
            format!("{} {}", edge_word(edge.kind), format.fine(down.distance))
        });
        [
            what(&of.what, answer),
            answer.roof.faces[of.face.index()].name(),
            both(of.from_left),
            both(of.up),
            down.unwrap_or_default(),
        ]
    };
    answer.set_out.iter().map(row).collect()
}
