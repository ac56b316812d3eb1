//! Either direction of walking becomes the one the kernel takes: outer rings anticlockwise, holes clockwise.

use super::footprint::Side;
use crate::base::polygon::signed_area;
use nalgebra::Point2;

/// Which way a ring must run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// An outer ring.
    Anticlockwise,
    /// A hole.
    Clockwise,
}

/// Turns a ring the right way round.
///
/// A side is named by the corner the walk left it from, and keeps its name, height and role when the ring is turned
/// round: the wall between A and the next corner walked stays side A. Its `start` becomes the corner it used to end
/// at. O(n).
pub(crate) fn orient(sides: &mut [Side], direction: Direction) {
    let corners: Vec<Point2<f64>> = sides.iter().map(|side| side.start).collect();
    if (signed_area(&corners) > 0.0) == (direction == Direction::Anticlockwise) {
        return;
    }
    let count = sides.len();
    for (index, side) in sides.iter_mut().enumerate() {
        side.start = corners[(index + 1) % count];
    }
    sides.reverse();
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::super::footprint::Role;
    use super::*;

    #[test]
    fn a_side_keeps_the_wall_it_named() {
        // Walked clockwise: A (0,0) -> B (0,2) -> C (3,2) -> D (3,0).
        let places = [(0.0, 0.0), (0.0, 2.0), (3.0, 2.0), (3.0, 0.0)];
        let mut sides: Vec<Side> = ["A", "B", "C", "D"]
            .iter()
            .zip(places)
            .map(|(name, (x, y))| Side {
                name: (*name).into(),
                start: Point2::new(x, y),
                height: 0.0,
                role: Role::Verge,
            })
            .collect();
        let ends = |sides: &[Side], name: &str| {
            let at = sides.iter().position(|side| side.name == name).unwrap();
            let (a, b) = (sides[at].start, sides[(at + 1) % sides.len()].start);
            let mut pair = [(a.x, a.y), (b.x, b.y)];
            pair.sort_by(|p, q| p.partial_cmp(q).unwrap());
            pair
        };
        let before: Vec<_> = ["A", "B", "C", "D"].iter().map(|name| ends(&sides, name)).collect();
        orient(&mut sides, Direction::Anticlockwise);
        let after: Vec<_> = ["A", "B", "C", "D"].iter().map(|name| ends(&sides, name)).collect();
        assert_eq!(before, after);
        assert!(signed_area(&sides.iter().map(|side| side.start).collect::<Vec<_>>()) > 0.0);
        let turned = sides.clone();
        orient(&mut sides, Direction::Anticlockwise);
        assert_eq!(sides, turned);
    }
}
