//! The two policies that the sweep applies where geometry leaves a choice, stated where it did.

use super::sweep::canonical::Canonical;
use super::sweep::wavefront::{NONE, TakeOver};
use crate::outline::{Footprint, TakesOver};
use crate::roof::model::finding::Finding;

/// A finding for every step between two sides in one line, and for every side that another took over. O(n).
#[must_use]
pub fn findings(footprint: &Footprint, input: &Canonical, takeovers: &[TakeOver]) -> Vec<Finding> {
    let name = |side: u32| {
        let (ring, side) = input.sides[side as usize].place;
        footprint.side_name(ring, side)
    };
    let steps = input.steps.iter().map(|step| Finding::Step {
        sides: [name(step.owner.min(step.other)), name(step.owner.max(step.other))],
        flatter: name(step.owner),
    });
    let mut seen: Vec<(u32, u32)> = Vec::new();
    let takeovers = takeovers.iter().filter(|&over| over.winner != NONE && over.loser != NONE).filter(move |over| {
        let pair = (over.winner, over.loser);
        let new = !seen.contains(&pair);
        seen.push(pair);
        new
    });
    let steeper = footprint.take_over == TakesOver::Steeper;
    let takeovers = takeovers.map(move |over| {
        let (winner, loser, height) = (name(over.winner), name(over.loser), over.height);
        if over.plumb {
            Finding::EndsAtWall { wall: winner, slope: loser, height }
        } else {
            Finding::TookOver { winner, loser, steeper, height }
        }
    });
    steps.chain(takeovers).collect()
}
