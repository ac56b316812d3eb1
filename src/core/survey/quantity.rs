//! Areas and pitches of adjusted faces with their gradients by coordinates, which carry the covariance to them.

use crate::base::polygon::vector_area;
use nalgebra::{Point2, Point3, Vector3};

/// A number computed from coordinates and its derivatives by them.
#[derive(Clone, Debug, PartialEq)]
pub struct Quantity {
    /// The number.
    pub value: f64,
    /// `(number of the coordinate, derivative)`; one coordinate may occur twice.
    pub gradient: Vec<(usize, f64)>,
}

/// Corners of a ring in space, each with the number of its x coordinate; y and z follow.
pub type SpaceRing = [(usize, Point3<f64>)];

/// For each corner, the vectors to the corner before from the corner after: the movement of a corner by d changes
/// the vector area by half of d × that, negative.
fn chords(ring: &SpaceRing) -> impl Iterator<Item = (usize, Vector3<f64>)> {
    let count = ring.len();
    (0..count).map(move |i| {
        let (before, after) = (ring[(i + count - 1) % count].1, ring[(i + 1) % count].1);
        (ring[i].0, before - after)
    })
}

fn places(ring: &SpaceRing) -> Vec<Point3<f64>> {
    ring.iter().map(|corner| corner.1).collect()
}

/// Area of a ring in space by Newell's method. O(n).
#[must_use]
pub fn area(ring: &SpaceRing) -> Quantity {
    let vector = vector_area(&places(ring));
    let value = vector.norm();
    let Some(normal) = vector.try_normalize(f64::MIN_POSITIVE) else {
        return Quantity { value, gradient: Vec::new() };
    };
    let gradient = chords(ring)
        .flat_map(|(x, chord)| {
            let slope = normal.cross(&chord) / 2.0;
            [(x, slope.x), (x + 1, slope.y), (x + 2, slope.z)]
        })
        .collect();
    Quantity { value, gradient }
}

/// Pitch of a ring's Newell plane, radians in 0 ..= π/2. A level ring has no gradient of it: its pitch is determined
/// as far as its heights are, to first order. O(n).
#[must_use]
pub fn pitch(ring: &SpaceRing) -> Quantity {
    let vector = vector_area(&places(ring));
    let (run, rise) = (vector.xy().norm(), vector.z.abs());
    let value = run.atan2(rise);
    let square = run * run + rise * rise;
    if run == 0.0 || square == 0.0 {
        return Quantity { value, gradient: Vec::new() };
    }
    let sign = if vector.z < 0.0 { -1.0 } else { 1.0 };
    let by_vector = Vector3::new(rise * vector.x / run, rise * vector.y / run, -run * sign) / square;
    let gradient = chords(ring)
        .flat_map(|(x, chord)| {
            let slope = by_vector.cross(&chord) / 2.0;
            [(x, slope.x), (x + 1, slope.y), (x + 2, slope.z)]
        })
        .collect();
    Quantity { value, gradient }
}

/// Unsigned area of a ring in plan, each corner with the number of its x coordinate. O(n).
#[must_use]
pub fn plan_area(ring: &[(usize, Point2<f64>)]) -> Quantity {
    let count = ring.len();
    let flat: Vec<Point2<f64>> = ring.iter().map(|corner| corner.1).collect();
    let signed = crate::base::polygon::signed_area(&flat);
    let sign = if signed < 0.0 { -1.0 } else { 1.0 };
    let gradient = (0..count)
        .flat_map(|i| {
            let chord = flat[(i + 1) % count] - flat[(i + count - 1) % count];
            [(ring[i].0, sign * chord.y / 2.0), (ring[i].0 + 1, -sign * chord.x / 2.0)]
        })
        .collect();
    Quantity { value: signed.abs(), gradient }
}
