//! Notes on the two policies that the sweep applies where geometry leaves a choice.

use super::sweep::canonical::Canonical;
use super::sweep::wavefront::{NONE, TakeOver};
use crate::base::diagnostic::Note;
use crate::outline::Footprint;

/// A note for every step between two sides in one line, and for every side that another took over. O(n).
#[must_use]
pub fn notes(footprint: &Footprint, input: &Canonical, takeovers: &[TakeOver]) -> Vec<Note> {
    let name = |side: u32| {
        let (ring, side) = input.sides[side as usize].place;
        footprint.rings[ring].sides[side].name.as_str()
    };
    let face = |side: u32| format!("{}/{}", footprint.name, name(side));
    let steps = input.steps.iter().map(|step| Note {
        code: "step",
        message: format!(
            "sides {} and {} of {} lie in one line and rise differently: a plumb step stands over their shared corner, \
             and its wall belongs to the flatter side {}",
            name(step.owner.min(step.other)),
            name(step.owner.max(step.other)),
            footprint.name,
            name(step.owner),
        ),
        faces: vec![face(step.owner), face(step.other)],
    });
    let mut seen: Vec<(u32, u32)> = Vec::new();
    let takeovers = takeovers.iter().filter(|&over| over.winner != NONE && over.loser != NONE).filter(move |over| {
        let pair = (over.winner, over.loser);
        let new = !seen.contains(&pair);
        seen.push(pair);
        new
    });
    let takeovers = takeovers.map(|over| Note {
        code: "took-over",
        message: format!(
            "the roofs over sides {} and {} of {} come into one line at a height of {:.3} m and run on in one direction: \
             from there on the flatter, that over {}, takes over along a level pitch-break",
            name(over.winner),
            name(over.loser),
            footprint.name,
            over.height,
            name(over.winner),
        ),
        faces: vec![face(over.winner), face(over.loser)],
    });
    steps.chain(takeovers).collect()
}
