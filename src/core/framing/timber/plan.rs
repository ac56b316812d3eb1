//! Directions in plan.

use crate::base::ids::EdgeId;
use crate::roof::{Face, Roof};
use nalgebra::{Vector2, Vector3};

/// Level, to the left of a direction in plan.
pub(super) fn left_of(direction: Vector2<f64>) -> Vector2<f64> {
    Vector2::new(-direction.y, direction.x)
}

pub(super) fn cross(a: Vector2<f64>, b: Vector2<f64>) -> f64 {
    a.x * b.y - a.y * b.x
}

/// A vector in plan as one in space.
pub(super) fn level(direction: Vector2<f64>) -> Vector3<f64> {
    Vector3::new(direction.x, direction.y, 0.0)
}

/// Level unit vector from an edge into a face beside it.
pub(super) fn inward(roof: &Roof, face: &Face, edge: EdgeId) -> Vector2<f64> {
    let at = face.edges.iter().position(|other| *other == edge).unwrap_or(0);
    let ends = &roof.edges[edge.index()];
    let from = face.ring.iter().chain(face.holes.iter().flatten()).nth(at).copied().unwrap_or(ends.from);
    let to = if from == ends.from { ends.to } else { ends.from };
    let along = (roof.at(to) - roof.at(from)).xy();
    left_of(along).try_normalize(f64::MIN_POSITIVE).unwrap_or_default()
}
