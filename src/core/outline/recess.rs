//! Recesses that overhangs close: where those of both flanks meet in front of the back wall, the roof runs on over it.

use super::offset::{directions, offset};
use crate::base::tolerance::SMALLEST;
use nalgebra::{Point2, Vector2};

/// Flanks that run to or from each other more nearly than this, as the sine of their angle, meet nowhere in the recess.
const PARALLEL: f64 = 1e-6;

/// A recess that is bridged.
#[derive(Clone, Debug, PartialEq)]
pub struct Recess {
    /// The sides that no drip edge is left of, by number.
    pub sides: Vec<usize>,
    /// Between its flanks at the back wall, metres.
    pub width: f64,
    /// What the overhangs of both flanks take of it, metres.
    pub overhangs: f64,
}

/// A ring without the sides of such recesses.
#[derive(Clone, Debug, PartialEq)]
pub struct Bridged {
    /// The sides that are left, by number, in order.
    pub sides: Vec<usize>,
    /// Where each starts: on the wall, or where the wall lines of two that are neighbours now meet.
    pub corners: Vec<Point2<f64>>,
    /// What was bridged.
    pub recesses: Vec<Recess>,
}

/// Bridges the recesses of a ring that moving its sides to the right by their distances closes. The back wall goes, and the
/// flank that reaches out less far, both where the walls beside the recess are in one line; where the flanks' drip edges meet
/// within the recess what lies in front of that stays open. O(n) for each step that a recess has in its depth.
#[must_use]
pub fn bridged(corners: &[Point2<f64>], distances: &[f64]) -> Bridged {
    let mut ring = Bridged { sides: (0..corners.len()).collect(), corners: corners.to_vec(), recesses: Vec::new() };
    // Each back wall that goes may bring the next two flanks together.
    while let Some(next) = Round::of(&ring, distances).bridged(&ring) {
        ring = next;
    }
    ring
}

/// A ring as it is, and as it is moved.
struct Round {
    along: Vec<Vector2<f64>>,
    /// What is left of each side when moved, negative where it is turned over, metres.
    left: Vec<f64>,
}

/// What goes with a back wall.
struct Bridge {
    /// Places in the ring.
    gone: Vec<usize>,
    /// The side that follows, and where it starts.
    follows: (usize, Point2<f64>),
}

impl Round {
    fn of(ring: &Bridged, distances: &[f64]) -> Self {
        let along = directions(&ring.corners);
        let own: Vec<f64> = ring.sides.iter().map(|&side| distances[side]).collect();
        let moved = offset(&ring.corners, &own);
        let ends = moved.iter().cycle().skip(1);
        let mut left = vec![0.0; along.len()];
        for (at, end) in moved.iter().zip(ends) {
            if let Some(side) = at.side {
                left[side] = (end.start - at.start).dot(&along[side]);
            }
        }
        Self { along, left }
    }

    /// The ring with all bridged that can be at once; `None` where nothing is to be.
    fn bridged(&self, ring: &Bridged) -> Option<Bridged> {
        let count = ring.sides.len();
        let mut gone = vec![false; count];
        let mut corners = ring.corners.clone();
        let mut recesses = ring.recesses.clone();
        // A bridge takes part in two sides to either hand: the next is sought beyond them, and none over the seam twice.
        let mut at = 0;
        let mut end = count;
        while at < end {
            let bridge = if self.is_closed(at) { self.bridge(ring, at) } else { None };
            let Some(Bridge { gone: places, follows }) = bridge else {
                at += 1;
                continue;
            };
            let mut sides: Vec<usize> = places.iter().map(|&place| ring.sides[place]).collect();
            sides.sort_unstable();
            let width = (ring.corners[(at + 1) % count] - ring.corners[at]).norm();
            recesses.push(Recess { sides, width, overhangs: width - self.left[at] });
            for place in places {
                gone[place] = true;
            }
            corners[follows.0] = follows.1;
            end = end.min((count + at).saturating_sub(4));
            at += 5;
        }
        let kept = |place: &usize| !gone[*place];
        gone.contains(&true).then(|| Bridged {
            sides: (0..count).filter(kept).map(|place| ring.sides[place]).collect(),
            corners: (0..count).filter(kept).map(|place| corners[place]).collect(),
            recesses,
        })
    }

    /// Whether a side is the back wall of a recess of which moving leaves nothing.
    fn is_closed(&self, at: usize) -> bool {
        let count = self.along.len();
        let [before, own, after] = [at + count - 1, at, at + 1].map(|place| self.along[place % count]);
        count >= 6
            && self.left[at] <= SMALLEST
            && before.perp(&own) < 0.0
            && own.perp(&after) < 0.0
            && before.dot(&after) < 0.0
    }

    /// What goes with a back wall; `None` where the flanks meet in no such way.
    fn bridge(&self, ring: &Bridged, back: usize) -> Option<Bridge> {
        let count = ring.sides.len();
        let at = |step: usize| (back + count + step - 2) % count;
        // The wall before, the flanks, the wall after.
        let [front, first, last, beyond] = [at(0), at(1), at(3), at(4)];
        let along = |place: usize| self.along[place];
        let mouth = [ring.corners[first], ring.corners[beyond]];
        let deeper = (mouth[0] - mouth[1]).dot(&along(first));
        let in_line = deeper.abs() <= SMALLEST && along(front).perp(&along(beyond)).abs() <= PARALLEL;
        let meet = |one: usize, other: usize| {
            let (u, v) = (along(one), along(other));
            let cross = u.perp(&v);
            let reach = ring.corners[other] - ring.corners[one];
            (cross.abs() > PARALLEL).then(|| ring.corners[one] + u * (reach.perp(&v) / cross))
        };
        let (gone, follows) = if along(first).perp(&along(last)) < -PARALLEL {
            // The flanks draw together inwards: their drip edges meet within.
            (vec![back], (last, meet(first, last)?))
        } else if in_line {
            (vec![first, back, last], (beyond, nalgebra::center(&mouth[0], &mouth[1])))
        } else if deeper > 0.0 {
            (vec![first, back], (last, meet(front, last)?))
        } else {
            (vec![back, last], (beyond, meet(first, beyond)?))
        };
        Some(Bridge { gone, follows })
    }
}
