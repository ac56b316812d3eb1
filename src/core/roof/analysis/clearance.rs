//! Room under a roof: the plan area within the walls over which it lies above a height.

use crate::base::polygon_boolean::{Region, beyond};
use crate::roof::model::{CornerRing, FaceKind, Roof};
use nalgebra::{Point2, Point3};

/// Plan area within the walls over which the roof's faces lie above a height, square metres; holes taken off, openings
/// not. What overhangs is no room; of faces by points the walls are not known and all counts. O(corners), and of what
/// overhangs O(corners log corners).
#[must_use]
pub(crate) fn plan_area_above(roof: &Roof, height: f64) -> f64 {
    let faces = roof.faces.iter().filter(|face| face.kind == FaceKind::Roof);
    let of_face = |face: &crate::roof::Face| {
        let above = |ring: &CornerRing| {
            let places: Vec<Point3<f64>> = ring.iter().map(|&corner| roof.at(corner)).collect();
            part_above(&places, height)
        };
        let rings: Vec<Vec<Point2<f64>>> = std::iter::once(&face.ring).chain(&face.holes).map(above).collect();
        let rings: Vec<Vec<Point2<f64>>> = rings.into_iter().filter(|ring| ring.len() >= 3).collect();
        let [outer, holes @ ..] = rings.as_slice() else { return 0.0 };
        let area = |ring: &[Point2<f64>]| crate::base::polygon::signed_area(ring).abs();
        let whole = area(outer) - holes.iter().map(|hole| area(hole)).sum::<f64>();
        let outside = if roof.feet.is_empty() { Vec::new() } else { beyond(&rings, &roof.feet) };
        (whole - outside.iter().map(Region::area).sum::<f64>()).max(0.0)
    };
    faces.map(of_face).sum()
}

/// The part of a flat ring above a height, in plan.
fn part_above(ring: &[Point3<f64>], height: f64) -> Vec<Point2<f64>> {
    let mut kept: Vec<Point2<f64>> = Vec::with_capacity(ring.len() + 2);
    for (from, to) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        if from.z >= height {
            kept.push(from.xy());
        }
        if (from.z >= height) != (to.z >= height) {
            kept.push((from + (to - from) * ((height - from.z) / (to.z - from.z))).xy());
        }
    }
    kept
}
