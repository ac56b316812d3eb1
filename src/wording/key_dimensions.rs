//! The few measures by which a roof is known at a glance: how much to cover, how steep, how long, how high.

use super::order::squares;
use super::units::Format;
use super::{estimate, range};
use crate::base::estimate::Estimate;
use crate::job::answer::Answer;
use crate::roof::EdgeKind;

/// How many measures there are at most.
pub const MOST: usize = 5;

/// What is measured, and how much, with how sure it is: area to cover, pitch, eaves, verges or hips, highest point; where a
/// roof lacks one of them its ridges, valleys or walls beside it. Equal things are said once. O(edges).
#[must_use]
pub fn key_dimensions(answer: &Answer, format: Format) -> Vec<(String, String)> {
    let totals = answer.totals();
    let area = estimate::or_why(&totals.net_area, |area| estimate::area(area, format));
    let mut told = vec![("to cover".to_owned(), format!("{area}{}", squares(&totals.net_area, format)))];
    let pitches = totals.by_pitch.iter().map(|of| of.pitch);
    told.extend(range::of_estimates(pitches, estimate::angle).map(|pitch| ("pitch".to_owned(), pitch)));
    let edges = |kind: EdgeKind| of_kind(answer, kind, format);
    let sloping = edges(EdgeKind::Verge).or_else(|| edges(EdgeKind::Hip));
    told.extend(edges(EdgeKind::Eave).into_iter().chain(sloping));
    if !estimate::is_absent(&totals.ridge_height) {
        let height = estimate::or_why(&totals.ridge_height, |height| estimate::length(height, format));
        told.push(("top above datum".to_owned(), height));
    }
    let others = [EdgeKind::Ridge, EdgeKind::Valley, EdgeKind::Abutment].into_iter().filter_map(edges);
    let missing = MOST.saturating_sub(told.len());
    told.extend(others.take(missing));
    told
}

/// `4 hips`, `4.41 to 4.42 ± 0.02 m`; `None` where there is none, or none is determined.
fn of_kind(answer: &Answer, kind: EdgeKind, format: Format) -> Option<(String, String)> {
    let lengths: Vec<Estimate> = answer
        .roof
        .edges
        .iter()
        .zip(answer.quantities.edges())
        .filter(|(edge, _)| edge.kind == kind)
        .map(|(_, of)| of.length)
        .collect();
    let told = range::of_estimates(lengths.iter().copied(), |length| estimate::length(length, format))?;
    let what = match lengths.len() {
        1 => kind.word().to_owned(),
        many => format!("{many} {}s", kind.word()),
    };
    Some((what, told))
}
