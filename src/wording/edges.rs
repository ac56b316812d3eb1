//! Edges found in photos: what was found, why not, what it gains.

use super::survey::Names;
use super::units::Format;
use crate::picture::Refusal;
use crate::picture::join::{Joined, LeftOut};

/// Why nothing was found, in a few words.
#[must_use]
pub fn refusal(why: Refusal) -> &'static str {
    match why {
        Refusal::Outside => "outside the picture",
        Refusal::TooShort => "too short in the picture",
        Refusal::Nothing => "nothing there that stands out",
        Refusal::Several => "two edges side by side: mark it by hand",
        Refusal::OneEdge => "one edge alone, no corner",
        Refusal::NotOnePlace => "edges that do not meet",
    }
}

/// Why an edge that was found does not count.
#[must_use]
pub fn left_out(out: &LeftOut) -> String {
    format!("left out: it misses the other measurements by {:.1} of its standard deviations", out.by)
}

/// How many edges count, and what they do to the total area.
#[must_use]
pub fn gain(joined: &Joined, names: &Names<'_>, format: Format) -> Vec<String> {
    let counted = joined.edges.iter().filter(|edge| edge.found.is_ok()).count() - joined.left_out.len();
    let plural = |count: usize| if count == 1 { "" } else { "s" };
    let photos: std::collections::BTreeSet<usize> = joined.edges.iter().map(|edge| edge.photo).collect();
    let mut lines = vec![format!(
        "{counted} of {} edge{} found in {} photo{} and counted",
        joined.edges.len(),
        plural(joined.edges.len()),
        photos.len(),
        plural(photos.len())
    )];
    match (joined.before.area_95(), joined.adjusted.report.area_95()) {
        (Some(before), Some(after)) => lines.push(format!(
            "the total area is known to ± {} with them, to ± {} without (95 of 100 cases)",
            format.area(after),
            format.area(before)
        )),
        (None, Some(after)) => lines.push(format!(
            "the total area is known to ± {} with them; without them it is not determined",
            format.area(after)
        )),
        _ => lines.push("the total area is not determined, with them or without".to_owned()),
    }
    for out in &joined.left_out {
        lines.push(format!("{}, {}: {}", names.photo(out.photo), names.points(&out.ends), left_out(out)));
    }
    lines
}
