//! The solid that is drawn of a building: its roof with edges as deep as they are, its walls where they stand.

use super::model::Building;
use crate::job::model::Job;
use crate::roof::Roof;
use crate::roof::kernel::shell;
use crate::roof::model::solid::{Solid, build};

/// How deep the roof's edges are, plumb: of the fascia, else of the rafters' feet cut plumb at the steepest pitch stated, else of
/// the deck; 0 where none is stated.
pub(super) fn edge_depth(job: &Job) -> f64 {
    let sections = job.framing.as_ref().map(|framing| framing.sections);
    let fascia = sections.and_then(|sections| sections.fascia).map(|fascia| fascia.depth);
    let rafter = sections.and_then(|sections| sections.rafter).map(|rafter| rafter.depth);
    let deck = job.covering.card.deck.as_ref().map(|deck| deck.thickness);
    fascia.or(rafter).or(deck).unwrap_or(0.0)
}

/// The building from a datum up. Where no walls are known, or its overhangs make no closed solid of that depth, walls stand
/// under the edge of the roof. O(n log n) without overhangs; with them O(s²) for s edges.
#[must_use]
pub fn solid(roof: &Roof, building: &Building, datum: f64) -> Solid {
    if roof.feet.is_empty() || !shell::overhangs(roof) {
        return build(roof, datum);
    }
    let depth = building.edge_depth.max(shell::thickness(roof));
    shell::solid_with_sheets(roof, datum, depth).unwrap_or_else(|_| build(roof, datum))
}
