//! Room under a roof: the plan area over which it lies above a height.

use crate::roof::model::{FaceKind, Roof};
use nalgebra::Point3;

/// Plan area of what of the roof's faces lies above a height, square metres; holes taken off, openings not. O(corners).
#[must_use]
pub fn plan_area_above(roof: &Roof, height: f64) -> f64 {
    let faces = roof.faces.iter().filter(|face| face.kind == FaceKind::Roof);
    let of_face = |face| {
        let holes: f64 = roof.holes(face).iter().map(|hole| area_above(hole, height)).sum();
        area_above(&roof.ring(face), height) - holes
    };
    faces.map(of_face).sum()
}

/// Plan area of the part of a flat ring above a height.
fn area_above(ring: &[Point3<f64>], height: f64) -> f64 {
    let mut kept: Vec<Point3<f64>> = Vec::with_capacity(ring.len() + 2);
    for (from, to) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        if from.z >= height {
            kept.push(*from);
        }
        if (from.z >= height) != (to.z >= height) {
            kept.push(from + (to - from) * ((height - from.z) / (to.z - from.z)));
        }
    }
    let doubled: f64 = kept.iter().zip(kept.iter().cycle().skip(1)).map(|(a, b)| a.x * b.y - b.x * a.y).sum();
    doubled.abs() / 2.0
}
