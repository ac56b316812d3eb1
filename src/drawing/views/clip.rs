//! Clipping of straight lines by flat rings.

use crate::base::polygon;
use crate::base::tolerance::LAST_PLACES;
use nalgebra::Point2;

/// Where a straight line crosses rings, as shares of its length in order, 0 and 1 among them. O(corners).
fn cuts(rings: &[Vec<Point2<f64>>], from: &Point2<f64>, to: &Point2<f64>) -> Vec<f64> {
    let along = to - from;
    let mut cuts = vec![0.0, 1.0];
    for ring in rings {
        for (index, a) in ring.iter().enumerate() {
            let edge = ring[(index + 1) % ring.len()] - a;
            let cross = along.perp(&edge);
            if cross == 0.0 {
                continue;
            }
            let to_edge = a - from;
            let (t, s) = (to_edge.perp(&edge) / cross, to_edge.perp(&along) / cross);
            if (0.0..=1.0).contains(&t) && (-LAST_PLACES..=1.0 + LAST_PLACES).contains(&s) {
                cuts.push(t);
            }
        }
    }
    cuts.sort_by(f64::total_cmp);
    cuts
}

/// Whether a place lies inside rings by the even-odd rule. O(corners).
#[must_use]
pub fn holds(rings: &[Vec<Point2<f64>>], place: &Point2<f64>) -> bool {
    rings.iter().filter(|ring| polygon::contains(ring, place)).count() % 2 == 1
}

/// The pieces of a straight line inside rings (even-odd), in order along it. O(corners²).
#[must_use]
pub fn inside(rings: &[Vec<Point2<f64>>], from: &Point2<f64>, to: &Point2<f64>) -> Vec<[Point2<f64>; 2]> {
    let along = to - from;
    let mut pieces: Vec<[f64; 2]> = Vec::new();
    for pair in cuts(rings, from, to).windows(2) {
        let middle = from + along * f64::midpoint(pair[0], pair[1]);
        if pair[1] - pair[0] > LAST_PLACES && holds(rings, &middle) {
            match pieces.last_mut() {
                Some(last) if last[1] == pair[0] => last[1] = pair[1],
                _ => pieces.push([pair[0], pair[1]]),
            }
        }
    }
    pieces.into_iter().map(|[a, b]| [from + along * a, from + along * b]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hole_splits_the_line() {
        let square = |low: f64, high: f64| {
            vec![Point2::new(low, low), Point2::new(high, low), Point2::new(high, high), Point2::new(low, high)]
        };
        let pieces = inside(&[square(0.0, 4.0), square(1.0, 2.0)], &Point2::new(-1.0, 1.5), &Point2::new(9.0, 1.5));
        let ends: Vec<[f64; 2]> = pieces.iter().map(|piece| [piece[0].x, piece[1].x]).collect();
        assert_eq!(ends.len(), 2);
        for (found, expected) in ends.iter().zip([[0.0, 1.0], [2.0, 4.0]]) {
            assert!((found[0] - expected[0]).abs() < 1e-12 && (found[1] - expected[1]).abs() < 1e-12);
        }
    }
}
