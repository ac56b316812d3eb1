//! The roof's outline in plan, as runs of free edges: what the tape would measure from the ground.

use crate::base::ids::{CornerId, EdgeId};
use crate::base::polygon;
use crate::roof::{EdgeKind, FaceKind, Roof};
use nalgebra::{Point2, Vector2};
use std::collections::BTreeMap;

/// A straight run of free edges in plan, the roof to its left.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// Its first end in plan, metres.
    pub from: Point2<f64>,
    /// Its last end.
    pub to: Point2<f64>,
    /// The edges it is made of, in order.
    pub edges: Vec<EdgeId>,
    /// Whether another part of the roof lies outside it (a dormer's eave, a roof that runs on below).
    pub inner: bool,
}

impl Run {
    /// Level length, metres.
    #[must_use]
    pub fn length(&self) -> f64 {
        (self.to - self.from).norm()
    }

    /// Unit vector away from the roof.
    #[must_use]
    pub fn outward(&self) -> Vector2<f64> {
        let along = (self.to - self.from).normalize();
        Vector2::new(along.y, -along.x)
    }
}

/// Runs round courtyards: from just outside them, whichever way one looks along x or y, the outline is in the way.
/// O(runs²).
#[must_use]
pub fn courts(runs: &[Run]) -> Vec<bool> {
    let outline: Vec<&Run> = runs.iter().filter(|run| !run.inner).collect();
    let is_court = |run: &Run| {
        let eye = nalgebra::center(&run.from, &run.to) + run.outward() * (run.length() * 1e-3);
        let blocked = |towards: Vector2<f64>| {
            outline.iter().any(|other| {
                let (a, b) = (other.from - eye, other.to - eye);
                let (before, after) = (towards.perp(&a), towards.perp(&b));
                // It crosses the line of sight, ahead of the eye.
                (before < 0.0) != (after < 0.0) && towards.dot(&(a + (b - a) * (before / (before - after)))) > 0.0
            })
        };
        !run.inner && [Vector2::x(), Vector2::y(), -Vector2::x(), -Vector2::y()].into_iter().all(blocked)
    };
    runs.iter().map(is_court).collect()
}

/// The runs of a roof, in the order of its faces. O(edges + runs × corners).
#[must_use]
pub fn runs(roof: &Roof) -> Vec<Run> {
    let mut pieces: Vec<(CornerId, CornerId, EdgeId)> = Vec::new();
    for (_, face) in roof.roof_faces() {
        let rings = std::iter::once(&face.ring).chain(&face.holes);
        let corners = rings.flat_map(|ring| (0..ring.len()).map(move |i| (ring[i], ring[(i + 1) % ring.len()])));
        for ((from, to), &id) in corners.zip(&face.edges) {
            let edge = &roof.edges[id.index()];
            let alone = edge.faces.iter().filter(|f| roof.faces[f.index()].kind == FaceKind::Roof).count() < 2;
            let level = (roof.at(to) - roof.at(from)).xy().norm() > 0.0;
            if alone && level && edge.kind != EdgeKind::Corner {
                pieces.push((from, to, id));
            }
        }
    }
    let next_of: BTreeMap<CornerId, usize> = pieces.iter().enumerate().map(|(i, piece)| (piece.0, i)).collect();
    let has_before: Vec<bool> = {
        let mut before = vec![false; pieces.len()];
        for piece in &pieces {
            if let Some(&next) = next_of.get(&piece.1) {
                before[next] = joins(roof, piece, &pieces[next]);
            }
        }
        before
    };
    let mut runs = Vec::new();
    for (index, piece) in pieces.iter().enumerate() {
        if has_before[index] {
            continue;
        }
        let mut run =
            Run { from: roof.at(piece.0).xy(), to: roof.at(piece.1).xy(), edges: vec![piece.2], inner: false };
        let mut last = *piece;
        while let Some(&next) = next_of.get(&last.1) {
            if !joins(roof, &last, &pieces[next]) || run.edges.contains(&pieces[next].2) {
                break;
            }
            last = pieces[next];
            run.edges.push(last.2);
            run.to = roof.at(last.1).xy();
        }
        let beyond = nalgebra::center(&run.from, &run.to) + run.outward() * (run.length() * 1e-3);
        run.inner = roof.roof_faces().any(|(_, face)| {
            let ring: Vec<Point2<f64>> = roof.ring(face).iter().map(nalgebra::OPoint::xy).collect();
            let in_hole = |hole: &Vec<nalgebra::Point3<f64>>| {
                polygon::contains(&hole.iter().map(nalgebra::OPoint::xy).collect::<Vec<_>>(), &beyond)
            };
            polygon::contains(&ring, &beyond) && !roof.holes(face).iter().any(in_hole)
        });
        runs.push(run);
    }
    runs
}

type Piece = (CornerId, CornerId, EdgeId);

/// Whether a piece goes straight on in the next.
fn joins(roof: &Roof, piece: &Piece, next: &Piece) -> bool {
    let direction = |piece: &Piece| (roof.at(piece.1) - roof.at(piece.0)).xy().normalize();
    let (a, b) = (direction(piece), direction(next));
    a.dot(&b) > 0.0 && a.perp(&b).abs() < crate::base::tolerance::RELATIVE
}
