//! Ridges in one line, end to end.

use crate::base::ids::{CornerId, EdgeId};
use crate::base::tolerance;
use crate::roof::{EdgeKind, Roof};
use nalgebra::Vector2;
use std::collections::BTreeMap;

/// Ridges in one line, end to end.
#[derive(Clone, Debug, PartialEq)]
pub struct RidgeRun {
    /// Its edges from start to end.
    pub edges: Vec<EdgeId>,
    /// Its corners, one more.
    pub corners: Vec<CornerId>,
    /// Level unit vector from start to end.
    pub direction: Vector2<f64>,
    /// From start to end, metres.
    pub length: f64,
}

/// The ridges of a roof. O(ridges log ridges).
pub(super) fn runs(roof: &Roof) -> Vec<RidgeRun> {
    let mut at: BTreeMap<CornerId, Vec<EdgeId>> = BTreeMap::new();
    let ridges: Vec<EdgeId> = (0..roof.edges.len())
        .map(EdgeId::new)
        .filter(|edge| roof.edges[edge.index()].kind == EdgeKind::Ridge)
        .collect();
    for edge in &ridges {
        let of = &roof.edges[edge.index()];
        at.entry(of.from).or_default().push(*edge);
        at.entry(of.to).or_default().push(*edge);
    }
    let other = |edge: EdgeId, end: CornerId| {
        let of = &roof.edges[edge.index()];
        if of.from == end { of.to } else { of.from }
    };
    // The next ridge in the same line beyond an end.
    let next = |edge: EdgeId, end: CornerId| -> Option<EdgeId> {
        let way = (roof.at(end) - roof.at(other(edge, end))).normalize();
        let goes_on = |next: &&EdgeId| {
            let onward = (roof.at(other(**next, end)) - roof.at(end)).normalize();
            **next != edge && (onward - way).norm() <= tolerance::STRAIGHT
        };
        at[&end].iter().find(goes_on).copied()
    };
    let mut taken = std::collections::BTreeSet::new();
    let mut runs = Vec::new();
    for first in ridges {
        if taken.contains(&first) {
            continue;
        }
        // Back to the start of its line, then on to its end.
        let (mut edge, mut start) = (first, roof.edges[first.index()].from);
        while let Some(before) = next(edge, start).filter(|before| *before != first) {
            start = other(before, start);
            edge = before;
        }
        let mut run = RidgeRun { edges: Vec::new(), corners: vec![start], direction: Vector2::zeros(), length: 0.0 };
        let mut going = Some(edge);
        while let Some(edge) = going.filter(|edge| taken.insert(*edge)) {
            let end = other(edge, *run.corners.last().unwrap_or(&start));
            run.edges.push(edge);
            run.corners.push(end);
            going = next(edge, end);
        }
        let end = run.corners[run.corners.len() - 1];
        let reach = roof.at(end) - roof.at(start);
        run.direction = reach.xy().try_normalize(f64::MIN_POSITIVE).unwrap_or_default();
        run.length = reach.norm();
        runs.push(run);
    }
    runs
}
