//! Polygons in plan and in space. Rings are closed implicitly: the last corner joins the first.

use nalgebra::{Point2, Point3, Vector3};

/// Twice the signed area is summed about the first corner, so that polygons far from the origin lose no digits.
/// Positive when the ring runs anticlockwise. O(n).
#[must_use]
pub fn signed_area(ring: &[Point2<f64>]) -> f64 {
    let Some(first) = ring.first() else { return 0.0 };
    ring.windows(2).map(|pair| (pair[0] - first).perp(&(pair[1] - first))).sum::<f64>() / 2.0
}

/// The vector area of a ring in space by Newell's method: its length is the area of the flat ring, its direction the
/// normal about which the ring runs anticlockwise. O(n).
#[must_use]
pub fn vector_area(ring: &[Point3<f64>]) -> Vector3<f64> {
    vector_area_of(ring.iter().copied())
}

/// [`vector_area`] of a ring whose places are looked up one by one. O(n).
#[must_use]
pub(crate) fn vector_area_of(ring: impl IntoIterator<Item = Point3<f64>>) -> Vector3<f64> {
    let mut ring = ring.into_iter();
    let Some(first) = ring.next() else { return Vector3::zeros() };
    let mut before = Vector3::zeros();
    let mut sum = Vector3::zeros();
    for place in ring {
        let spoke = place - first;
        sum += before.cross(&spoke);
        before = spoke;
    }
    sum / 2.0
}

/// Whether a place lies inside a ring (even-odd rule; on the boundary either answer may come). O(n).
#[must_use]
pub fn contains(ring: &[Point2<f64>], place: &Point2<f64>) -> bool {
    let mut inside = false;
    let mut previous = match ring.last() {
        Some(last) => *last,
        None => return false,
    };
    for corner in ring {
        if (corner.y > place.y) != (previous.y > place.y) {
            let along = (place.y - corner.y) / (previous.y - corner.y);
            if place.x < corner.x + along * (previous.x - corner.x) {
                inside = !inside;
            }
        }
        previous = *corner;
    }
    inside
}

/// How far it is round a ring, metres. O(corners).
#[must_use]
pub fn perimeter(ring: &[Point2<f64>]) -> f64 {
    (0..ring.len()).map(|k| (ring[(k + 1) % ring.len()] - ring[k]).norm()).sum()
}

/// The larger side of the box about the places, metres; 0 when there are none.
#[must_use]
pub fn extent<'a>(places: impl IntoIterator<Item = &'a Point2<f64>>) -> f64 {
    let mut low = Point2::new(f64::INFINITY, f64::INFINITY);
    let mut high = Point2::new(f64::NEG_INFINITY, f64::NEG_INFINITY);
    for place in places {
        low = low.inf(place);
        high = high.sup(place);
    }
    (high.x - low.x).max(high.y - low.y).max(0.0)
}
