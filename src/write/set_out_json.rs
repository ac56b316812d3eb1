//! Where openings and dormers stand in their faces as JSON: the `set_out` key of `solve --json`. Lengths metres.

use super::name::NameTwin;
use crate::job::Answer;
use crate::roof::analysis::standing::{SettingOut, Standing};
use serde::Serialize;

/// Where an opening or a dormer stands.
#[derive(Serialize)]
pub struct SetOutTwin<'a> {
    /// What it is: a dormer, or the opening's own word.
    what: &'a str,
    /// A dormer's name.
    #[serde(skip_serializing_if = "Option::is_none")]
    name: Option<&'a str>,
    /// An opening's place in `openings`.
    #[serde(skip_serializing_if = "Option::is_none")]
    opening: Option<usize>,
    face: NameTwin<'a>,
    /// Along the eave from its left end seen from outside: to the left and the right side.
    from_left: [f64; 2],
    /// From its right end: to the right and the left side.
    from_right: Option<[f64; 2]>,
    /// From the eave: to the lower and the upper side.
    up_slope: [f64; 2],
    /// From the level edge above; `null` where hips or verges end the face.
    down: Option<DownTwin>,
}

#[derive(Serialize)]
struct DownTwin {
    edge: usize,
    kind: &'static str,
    /// Down the slope to the upper side.
    distance: f64,
}

impl<'a> SetOutTwin<'a> {
    /// All of an answer.
    pub fn all(answer: &'a Answer) -> Vec<Self> {
        let roof = &answer.roof;
        let twin = |of: &'a SettingOut| {
            let (what, name, opening) = match &of.what {
                Standing::Opening(index) => (answer.openings[*index].kind.as_str(), None, Some(*index)),
                Standing::Dormer(name) => ("dormer", Some(name.as_str()), None),
            };
            Self {
                what,
                name,
                opening,
                face: NameTwin::of(roof, of.face),
                from_left: of.from_left,
                from_right: of.from_right,
                up_slope: of.up,
                down: of.down.map(|down| DownTwin {
                    edge: down.edge.index(),
                    kind: roof.edges[down.edge.index()].kind.word(),
                    distance: down.distance,
                }),
            }
        };
        answer.set_out.iter().map(twin).collect()
    }
}
