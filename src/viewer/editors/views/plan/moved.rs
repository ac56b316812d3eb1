//! Where the corners of a ring go when one of them, or a side, is moved. Plain geometry in metres.

use nalgebra::{Point2, Vector2};

/// Directions this near to square become square while tidying.
const NEARLY: f64 = 8.0;

/// The ring with one corner moved. O(1) beside the copy.
#[must_use]
pub fn corner(ring: &[Point2<f64>], index: usize, to: Point2<f64>) -> Vec<Point2<f64>> {
    let mut ring = ring.to_vec();
    if let Some(place) = ring.get_mut(index) {
        *place = to;
    }
    ring
}

/// A place near `to` at which the sides that meet in a corner have tidy lengths (multiples of `step`) and, where they
/// nearly do, run along or square to `along`.
#[must_use]
pub fn tidied(ring: &[Point2<f64>], index: usize, to: Point2<f64>, along: f64, step: f64) -> Point2<f64> {
    let count = ring.len();
    if count < 3 {
        return to;
    }
    let (before, after) = (ring[(index + count - 1) % count], ring[(index + 1) % count]);
    let axes = [Vector2::new(along.cos(), along.sin()), Vector2::new(-along.sin(), along.cos())];
    let round = |length: f64| (length / step).round() * step;
    // Each neighbour may hold the corner on one axis; both on different ones fix it.
    let held = |from: Point2<f64>| {
        let way = to - from;
        axes.iter().position(|axis| axis.perp(&way).abs() < way.norm() * NEARLY.to_radians().sin())
    };
    match (held(before), held(after)) {
        // Near the square corner between its neighbours: there.
        (Some(first), Some(second)) if first != second => before + axes[first] * axes[first].dot(&(after - before)),
        (Some(axis), _) => before + axes[axis] * round(axes[axis].dot(&(to - before))),
        (None, Some(axis)) => after + axes[axis] * round(axes[axis].dot(&(to - after))),
        (None, None) => {
            let way = to - before;
            let length = way.norm();
            if length > 0.0 { before + way * (round(length) / length) } else { to }
        }
    }
}

/// The ring with a side moved sideways by `by` (to the left of its direction), its neighbours lengthened or shortened
/// along themselves: no turn changes.
#[must_use]
pub fn side(ring: &[Point2<f64>], index: usize, by: f64) -> Vec<Point2<f64>> {
    let count = ring.len();
    let mut moved = ring.to_vec();
    if count < 3 {
        return moved;
    }
    let at = |index: usize| ring[index % count];
    let Some(along) = (at(index + 1) - at(index)).try_normalize(0.0) else { return moved };
    let across = Vector2::new(-along.y, along.x);
    let slid = |place: Point2<f64>, neighbour: Vector2<f64>| {
        let share = neighbour.try_normalize(0.0).map_or(0.0, |way| way.dot(&across));
        // Along a neighbour that runs on straight the end can't slide: it steps aside.
        if share.abs() < 0.05 { place + across * by } else { place + neighbour.normalize() * (by / share) }
    };
    moved[index % count] = slid(at(index), at(index) - at(index + count - 1));
    moved[(index + 1) % count] = slid(at(index + 1), at(index + 2) - at(index + 1));
    moved
}

/// How far a side is moved so that the side before it has a tidy length.
#[must_use]
pub(crate) fn tidy_by(ring: &[Point2<f64>], index: usize, by: f64, step: f64) -> f64 {
    let count = ring.len();
    if count < 3 {
        return by;
    }
    let moved = side(ring, index, by);
    let before = (index + count - 1) % count;
    let length = |ring: &[Point2<f64>]| (ring[index] - ring[before]).norm();
    let (old, new) = (length(ring), length(&moved));
    let wanted = (new / step).round() * step;
    if (new - old).abs() < f64::EPSILON { by } else { by * (wanted - old) / (new - old) }
}

/// Length of each side, and its turn at its end in radians, left positive.
#[must_use]
pub fn legs(ring: &[Point2<f64>]) -> Vec<(f64, f64)> {
    let count = ring.len();
    let way = |index: usize| ring[(index + 1) % count] - ring[index % count];
    (0..count)
        .map(|index| {
            let (here, next) = (way(index), way(index + 1));
            (here.norm(), here.perp(&next).atan2(here.dot(&next)))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle() -> Vec<Point2<f64>> {
        [[0.0, 0.0], [9.2, 0.0], [9.2, 5.6], [0.0, 5.6]].map(Point2::from).to_vec()
    }

    #[test]
    fn a_side_moves_without_turning_its_neighbours() {
        // Side 1 runs up the right end; to its left is inwards.
        let moved = side(&rectangle(), 1, -1.0);
        assert_eq!(moved, [[0.0, 0.0], [10.2, 0.0], [10.2, 5.6], [0.0, 5.6]].map(Point2::from));
        let slanted: Vec<Point2<f64>> = [[0.0, 0.0], [4.0, 0.0], [6.0, 2.0], [0.0, 2.0]].map(Point2::from).to_vec();
        let moved = side(&slanted, 2, -1.0);
        assert!((moved[2] - Point2::new(7.0, 3.0)).norm() < 1e-12, "{moved:?}");
        let turns = |ring: &[Point2<f64>]| legs(ring).iter().map(|(_, turn)| *turn).collect::<Vec<_>>();
        for (old, new) in turns(&slanted).iter().zip(turns(&moved)) {
            assert!((old - new).abs() < 1e-12);
        }
    }

    #[test]
    fn tidy_lengths_while_moving() {
        assert!((tidy_by(&rectangle(), 1, -0.83, 0.1) + 0.8).abs() < 1e-9);
        let to = tidied(&rectangle(), 1, Point2::new(10.07, 0.03), 0.0, 0.1);
        assert!((to - Point2::new(10.1, 0.0)).norm() < 1e-9, "{to}");
        let to = tidied(&rectangle(), 1, Point2::new(9.27, 0.03), 0.0, 0.1);
        assert!((to - Point2::new(9.2, 0.0)).norm() < 1e-9, "{to}");
        let free = tidied(&rectangle(), 1, Point2::new(8.0, 3.04), 0.0, 0.1);
        let length = free.coords.norm();
        assert!((length / 0.1 - (length / 0.1).round()).abs() < 1e-9);
    }

    #[test]
    fn legs_of_a_rectangle() {
        let legs = legs(&rectangle());
        assert!(legs.iter().all(|(_, turn)| (turn - std::f64::consts::FRAC_PI_2).abs() < 1e-12));
        assert!((legs[0].0 - 9.2).abs() < 1e-12 && (legs[1].0 - 5.6).abs() < 1e-12);
    }
}
