//! Where corners settle: blocks squared up, and blocks on another's side gone with that side.

use super::block::{Block, Placement};
use super::square_up::{Squared, square_up};
use crate::survey::hosts::hosts_first;
use nalgebra::{Matrix2, Point2, Vector2};

/// The corners of every block after squaring up. A block on a side that squaring up has moved keeps its place on that side:
/// outline and holes are shifted and turned with it, then squared up themselves where they are to be. `rings` are corners
/// per block and ring; blocks that are not `sound`, and those on a side that is not among the blocks, stay. O(corners).
///
/// Precondition: sound blocks have rings of three sides or more, none without length, as many as stated.
#[must_use]
pub(super) fn settle(blocks: &[Block], rings: &[Vec<Vec<Point2<f64>>>], sound: &[bool]) -> Vec<Squared> {
    let host = |index: usize| match blocks[index].placement {
        Placement::OnSide { side, .. } => Some(side).filter(|side| {
            // A block looked at by itself has no host.
            let other = side.block.index();
            other != index && sound.get(other) == Some(&true) && sound[index]
        }),
        Placement::At { .. } => None,
    };
    let order = hosts_first(blocks.len(), |index| host(index).map(|side| side.block.index()));
    let order = order.unwrap_or_else(|_| (0..blocks.len()).collect());
    let mut settled: Vec<Squared> =
        rings.iter().map(|rings| Squared { rings: rings.clone(), findings: Vec::new() }).collect();
    settled.resize(blocks.len(), Squared { rings: Vec::new(), findings: Vec::new() });
    for index in order.into_iter().filter(|&index| sound[index]) {
        let shift = host(index).and_then(|side| {
            let of = |corners: &[Vec<Point2<f64>>]| {
                let ring = corners.get(side.ring as usize)?;
                let at = side.side as usize;
                Some([*ring.get(at)?, ring[(at + 1) % ring.len()]])
            };
            let other = side.block.index();
            Shift::between(of(&rings[other])?, of(&settled[other].rings)?)
        });
        if let Some(shift) = shift {
            settled[index].rings.iter_mut().flatten().for_each(|corner| *corner = shift.of(corner));
        }
        if blocks[index].square_up {
            settled[index] = square_up(&blocks[index], &settled[index].rings);
        }
    }
    settled
}

/// A shift and a turn in plan.
struct Shift {
    from: Point2<f64>,
    to: Point2<f64>,
    turn: Matrix2<f64>,
}

impl Shift {
    /// What takes the start and the direction of one line to another's; `None` where the lines are one.
    fn between(before: [Point2<f64>; 2], after: [Point2<f64>; 2]) -> Option<Self> {
        if before == after {
            return None;
        }
        let way =
            |[from, to]: [Point2<f64>; 2]| -> Option<Vector2<f64>> { (to - from).try_normalize(f64::MIN_POSITIVE) };
        let (old, new) = (way(before)?, way(after)?);
        let (cos, sin) = (old.dot(&new), old.perp(&new));
        Some(Self { from: before[0], to: after[0], turn: Matrix2::new(cos, -sin, sin, cos) })
    }

    fn of(&self, place: &Point2<f64>) -> Point2<f64> {
        self.to + self.turn * (place - self.from)
    }
}
