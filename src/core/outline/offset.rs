//! Moving the sides of a ring outwards, each by its own distance.

use nalgebra::{Point2, Vector2};

/// A corner is mitred while the mitre moves it at most this many times the difference of the two distances along a
/// side (a turn of about 9.5°); nearer to straight the two lines hardly meet, and a jog is set between them.
const LONGEST_MITRE: f64 = 6.0;

/// A side of the moved ring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moved {
    /// Where it starts.
    pub start: Point2<f64>,
    /// Which side it was; `None` for a jog, which follows the side before it.
    pub side: Option<usize>,
}

/// The unit direction of every side. Precondition: no side is without length. O(n).
#[must_use]
pub fn directions(corners: &[Point2<f64>]) -> Vec<Vector2<f64>> {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(from, to)| (to - from).normalize()).collect()
}

/// Moves every side to its right by its distance (outwards for an anticlockwise outer ring and a clockwise hole;
/// negative: to its left) and joins neighbours where their lines meet: with unit directions u, v and distances p, q
/// at corner c, the new corner is c + (q u - p v) / (u × v).
///
/// Neighbours in line (or nearly so) with unequal distances are joined by a jog square to the walk. O(n).
#[must_use]
pub fn offset(corners: &[Point2<f64>], distances: &[f64]) -> Vec<Moved> {
    let along = directions(corners);
    let count = corners.len();
    let right = |d: &Vector2<f64>| Vector2::new(d.y, -d.x);
    let mut moved = Vec::with_capacity(count);
    for side in 0..count {
        let before = (side + count - 1) % count;
        let (u, v, corner) = (along[before], along[side], corners[side]);
        let (p, q) = (distances[before], distances[side]);
        let turn = u.perp(&v);
        if p == q {
            // The bisector form keeps its digits however small the turn.
            let start = corner + (right(&u) + right(&v)) * (p / (1.0 + u.dot(&v)));
            moved.push(Moved { start, side: Some(side) });
        } else if turn.abs() * LONGEST_MITRE >= 1.0 {
            moved.push(Moved { start: corner + (u * q - v * p) / turn, side: Some(side) });
        } else {
            moved.push(Moved { start: corner + right(&u) * p, side: None });
            moved.push(Moved { start: corner + right(&v) * q, side: Some(side) });
        }
    }
    moved
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::*;

    #[test]
    fn a_rectangle_grows_by_its_own_distances() {
        let ring = [(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)].map(|(x, y)| Point2::new(x, y));
        let moved = offset(&ring, &[0.4, 0.2, 0.4, 0.1]);
        let expected = [(-0.1, -0.4), (10.2, -0.4), (10.2, 6.4), (-0.1, 6.4)];
        for (moved, (x, y)) in moved.iter().zip(expected) {
            assert!((moved.start - Point2::new(x, y)).norm() < 1e-14);
        }
    }

    #[test]
    fn sides_in_line_are_joined_by_a_jog() {
        let ring = [(0.0, 0.0), (4.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)].map(|(x, y)| Point2::new(x, y));
        let moved = offset(&ring, &[0.4, 0.0, 0.4, 0.4, 0.4]);
        assert_eq!(moved.len(), 6);
        assert_eq!(moved[1], Moved { start: Point2::new(4.0, -0.4), side: None });
        assert_eq!(moved[2], Moved { start: Point2::new(4.0, 0.0), side: Some(1) });
    }
}
