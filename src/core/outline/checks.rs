//! Whether rings make an outline: sides with length, none that cross, touch or fold back, holes inside.

use super::error::OutlineError;
use crate::base::cells::Cells;
use crate::base::polygon::{contains, extent, signed_area};
use crate::base::tolerance;
use nalgebra::Point2;

/// The rings of one block, with the names of their sides.
#[derive(Clone, Copy, Debug)]
pub struct Rings<'a> {
    /// The block's name.
    pub block: &'a str,
    /// The outer ring, then holes.
    pub corners: &'a [Vec<Point2<f64>>],
    /// Names of the sides, ring by ring; each starts from the corner of the same index.
    pub names: &'a [Vec<String>],
}

/// Checks rings one by one: numbers, count of sides, lengths. O(n).
#[must_use]
pub fn each_ring(rings: Rings<'_>) -> Vec<OutlineError> {
    let block = || rings.block.to_owned();
    let least = tolerance::default_for(extent(rings.corners.iter().flatten()));
    let mut errors = Vec::new();
    for (corners, names) in rings.corners.iter().zip(rings.names) {
        if corners.len() != names.len() {
            errors.push(OutlineError::PlacesMissing { block: block(), found: corners.len(), expected: names.len() });
            continue;
        }
        let lost = corners.iter().zip(names).filter(|(place, _)| !(place.x.is_finite() && place.y.is_finite()));
        let lost: Vec<_> =
            lost.map(|(_, name)| OutlineError::NotFinite { block: block(), side: name.clone() }).collect();
        if !lost.is_empty() {
            errors.extend(lost);
            continue;
        }
        if corners.len() < 3 {
            errors.push(OutlineError::TooFewSides {
                block: block(),
                found: corners.len(),
                side: names.first().cloned(),
            });
            continue;
        }
        for (index, name) in names.iter().enumerate() {
            let length = (corners[(index + 1) % corners.len()] - corners[index]).norm();
            if length <= least {
                errors.push(OutlineError::ZeroLength { block: block(), side: name.clone(), length, least });
            }
        }
    }
    errors
}

/// Checks that no side meets another but its neighbours, and that holes lie inside; rings must have passed
/// [`each_ring`].
///
/// Sides nearer than the tolerance of the outline's size count as touching. Only sides that share a square cell of about as
/// many as there are sides are compared: O(n log n) for outlines as buildings have them, combs of teeth among them.
#[must_use]
pub fn together(rings: Rings<'_>) -> Vec<OutlineError> {
    let block = || rings.block.to_owned();
    let least = tolerance::default_for(extent(rings.corners.iter().flatten()));
    let sides = sides_of(rings);
    let mut errors: Vec<OutlineError> = Vec::new();
    for (first, second) in near_pairs(&sides, least) {
        let (a, b) = (&sides[first], &sides[second]);
        let named = |x: &Segment| rings.names[x.ring][x.side].clone();
        let count = rings.corners[a.ring].len();
        let same_ring = a.ring == b.ring;
        if same_ring && (a.side + 1) % count == b.side {
            if folds_back(a, b, least) {
                errors.push(OutlineError::FoldsBack { block: block(), first: named(a), second: named(b) });
            }
        } else if same_ring && (b.side + 1) % count == a.side {
            if folds_back(b, a, least) {
                errors.push(OutlineError::FoldsBack { block: block(), first: named(b), second: named(a) });
            }
        } else if distance(a, b) <= least {
            errors.push(OutlineError::Crossing { block: block(), first: named(a), second: named(b) });
        }
    }
    if !errors.is_empty() {
        return errors;
    }
    for (corners, names) in rings.corners.iter().zip(rings.names) {
        if signed_area(corners).abs() <= least * least {
            errors.push(OutlineError::NoArea { block: block(), side: names[0].clone() });
        }
    }
    for (index, hole) in rings.corners.iter().enumerate().skip(1) {
        let side = || rings.names[index][0].clone();
        if !contains(&rings.corners[0], &hole[0]) {
            errors.push(OutlineError::HoleOutside { block: block(), side: side() });
        }
        for (other, around) in rings.corners.iter().enumerate().skip(1) {
            if other != index && contains(around, &hole[0]) {
                let within = rings.names[other][0].clone();
                errors.push(OutlineError::HoleInHole { block: block(), side: side(), within });
            }
        }
    }
    errors
}

/// A side as a segment.
struct Segment {
    ring: usize,
    side: usize,
    from: Point2<f64>,
    to: Point2<f64>,
    low: Point2<f64>,
    high: Point2<f64>,
}

fn sides_of(rings: Rings<'_>) -> Vec<Segment> {
    let mut sides = Vec::new();
    for (ring, corners) in rings.corners.iter().enumerate() {
        for (side, from) in corners.iter().enumerate() {
            let to = corners[(side + 1) % corners.len()];
            sides.push(Segment { ring, side, from: *from, to, low: from.inf(&to), high: from.sup(&to) });
        }
    }
    sides
}

/// Pairs of sides whose boxes come within `reach`, lower index first, in order.
fn near_pairs(sides: &[Segment], reach: f64) -> Vec<(usize, usize)> {
    let mut cells = Cells::new(extent(sides.iter().map(|side| &side.from)), sides.len());
    let mut pairs = Vec::new();
    for (index, side) in sides.iter().enumerate() {
        let box_of_side = [&side.low, &side.high];
        let is_near = |&other: &usize| {
            let other = &sides[other];
            (0..2).all(|k| other.low[k] <= side.high[k] + reach && other.high[k] + reach >= side.low[k])
        };
        pairs.extend(cells.near(box_of_side, reach).into_iter().filter(is_near).map(|other| (other, index)));
        cells.put(index, box_of_side);
    }
    pairs.sort_unstable();
    pairs
}

/// Whether `second`, which starts where `first` ends, lies back along it.
fn folds_back(first: &Segment, second: &Segment, least: f64) -> bool {
    let (back, on) = (first.from - first.to, second.to - second.from);
    let reach = back.norm().min(on.norm());
    back.dot(&on) > 0.0 && (back.normalize() * reach - on.normalize() * reach).norm() <= least
}

/// Distance of two segments: 0 where they cross, else the least from an end of one to the other.
fn distance(a: &Segment, b: &Segment) -> f64 {
    let side = |s: &Segment, p: &Point2<f64>| (s.to - s.from).perp(&(p - s.from));
    let splits = |s: &Segment, o: &Segment| (side(s, &o.from) > 0.0) != (side(s, &o.to) > 0.0);
    if splits(a, b) && splits(b, a) {
        return 0.0;
    }
    let ends = [(a, &b.from), (a, &b.to), (b, &a.from), (b, &a.to)];
    ends.into_iter().map(|(segment, place)| from_end(segment, place)).fold(f64::INFINITY, f64::min)
}

fn from_end(segment: &Segment, place: &Point2<f64>) -> f64 {
    let along = segment.to - segment.from;
    let share = ((place - segment.from).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
    (segment.from + along * share - place).norm()
}
