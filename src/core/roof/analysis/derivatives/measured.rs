//! How footprints follow what was measured: a side keeps to the line through its corners, moved out by a fixed distance.

use super::elements::{BlockMotion, SideMotion, stages};
use crate::base::gradient::Gradient;
use crate::base::tolerance::ROUNDING;
use crate::outline::Footprint;
use nalgebra::{Point2, Vector2};
use std::collections::HashMap;

/// A side as measured.
#[derive(Clone, Copy, Debug)]
pub struct MeasuredSide<'a> {
    /// Its name, which it keeps at the drip edge.
    pub name: &'a str,
    /// Its ends.
    pub ends: [Point2<f64>; 2],
    /// The numbers of their x coordinates among the parameters; y follows.
    pub numbers: [usize; 2],
}

impl MeasuredSide<'_> {
    /// How far the line moves square to itself, along `normal`, abreast of a place: it turns as its ends move.
    fn pushed(&self, normal: &Vector2<f64>, place: &Point2<f64>) -> Gradient {
        let way = self.ends[1] - self.ends[0];
        let share = (place - self.ends[0]).dot(&way) / way.norm_squared();
        let parts = [1.0 - share, share].into_iter().zip(self.numbers);
        let both = parts.flat_map(|(part, x)| [(x, part * normal.x), (x + 1, part * normal.y)]);
        both.collect::<Gradient>().merged()
    }

    /// Whether a stretch runs along it, at whatever distance.
    fn is_along(&self, [from, to]: &[Point2<f64>; 2]) -> bool {
        let (way, other) = (self.ends[1] - self.ends[0], to - from);
        way.perp(&other).abs() <= ROUNDING * way.norm() * other.norm()
    }

    /// How a stretch that keeps its distance moves inwards, to its left, at its ends.
    fn moved(&self, ends: &[Point2<f64>; 2]) -> Option<[Gradient; 2]> {
        let way = (ends[1] - ends[0]).try_normalize(0.0)?;
        let normal = Vector2::new(-way.y, way.x);
        self.is_along(ends).then(|| ends.map(|end| self.pushed(&normal, &end)))
    }
}

impl BlockMotion {
    /// Nothing moves.
    #[must_use]
    pub fn still(footprint: &Footprint) -> Self {
        let still = || SideMotion { inwards: Some(Default::default()), ..SideMotion::default() };
        let walls = footprint.walls.iter().flatten();
        Self {
            sides: footprint.rings.iter().map(|ring| ring.sides.iter().map(|_| still()).collect()).collect(),
            walls: walls.map(|ring| ring.iter().map(|_| Some(Default::default())).collect()).collect(),
        }
    }

    /// A footprint over rings as measured, ring by ring in its order, whichever way they were walked. What moves a side that
    /// was not measured, as a jog between two overhangs, is not known. O(sides).
    #[must_use]
    pub fn of_measured(footprint: &Footprint, measured: &[Vec<MeasuredSide<'_>>]) -> Self {
        let mut all = Self::default();
        for (number, ring) in footprint.rings.iter().enumerate() {
            let sides = measured.get(number).map_or(&[][..], Vec::as_slice);
            let named: HashMap<&str, &MeasuredSide<'_>> = sides.iter().map(|side| (side.name, side)).collect();
            let end = |at: usize| ring.sides[(at + 1) % ring.sides.len()].start;
            let motion = |(at, side): (usize, &crate::outline::Side)| SideMotion {
                inwards: named.get(side.name.as_str()).and_then(|named| named.moved(&[side.start, end(at)])),
                ..SideMotion::default()
            };
            all.sides.push(ring.sides.iter().enumerate().map(motion).collect());
        }
        for (number, ring) in footprint.walls.iter().flatten().enumerate() {
            let sides = measured.get(number).map_or(&[][..], Vec::as_slice);
            let motion = |at: usize| {
                let ends = [ring[at], ring[(at + 1) % ring.len()]];
                // Walls stand as they were walked, or the other way round.
                let candidates = [Some(at), (sides.len()).checked_sub(at + 1)].into_iter().flatten();
                let on_line = |side: &&MeasuredSide<'_>| {
                    let way = (side.ends[1] - side.ends[0]).normalize();
                    let off = |end: &Point2<f64>| way.perp(&(end - side.ends[0])).abs();
                    ends.iter().all(|end| off(end) <= ROUNDING * end.coords.norm().max(1.0))
                };
                candidates.filter_map(|at| sides.get(at)).find(on_line).and_then(|side| side.moved(&ends))
            };
            all.walls.push((0..ring.len()).map(motion).collect());
        }
        all
    }
}

/// Adds the derivatives by one parameter, by central differences of the footprints themselves: `up` and `down` are those of
/// the parameter changed by `step` either way. Whether they have the same sides as these. O(sides).
#[must_use]
pub fn add_differences(
    motions: &mut [BlockMotion],
    still: &[Footprint],
    [up, down]: [&[Footprint]; 2],
    parameter: usize,
    step: f64,
) -> bool {
    if [up, down].iter().any(|moved| !is_alike(still, moved)) {
        return false;
    }
    let slope = |up: f64, down: f64| (parameter, (up - down) / (2.0 * step));
    for (block, motion) in motions.iter_mut().enumerate() {
        let of = |footprints: &[Footprint], ring: usize| footprints[block].rings[ring].corners();
        for (ring, known) in motion.sides.iter_mut().enumerate() {
            let all = [still, up, down].map(|footprints| of(footprints, ring));
            for (at, known) in known.iter_mut().enumerate() {
                if let Some(inwards) = &mut known.inwards {
                    push(inwards, &all, at, slope);
                }
                let side = |footprints: &[Footprint]| footprints[block].rings[ring].sides[at].clone();
                let [still, up, down] = [still, up, down].map(side);
                known.height.extend([slope(up.height, down.height)].into_iter().filter(|entry| entry.1 != 0.0));
                let [here, up, down] = [still, up, down].map(|side| stages(&side));
                known.stages.resize(here.len(), Default::default());
                for (known, (up, down)) in known.stages.iter_mut().zip(up.iter().zip(&down)) {
                    for (known, (up, down)) in known.iter_mut().zip(up.numbers().into_iter().zip(down.numbers())) {
                        known.extend([slope(up, down)].into_iter().filter(|entry| entry.1 != 0.0));
                    }
                }
            }
        }
        for (ring, known) in motion.walls.iter_mut().enumerate() {
            let walls = |footprints: &[Footprint]| footprints[block].walls.as_ref().map(|walls| walls[ring].clone());
            let all = [still, up, down].map(|footprints| walls(footprints).unwrap_or_default());
            for (at, known) in known.iter_mut().enumerate() {
                if let Some(inwards) = known {
                    push(inwards, &all, at, slope);
                }
            }
        }
    }
    true
}

/// Adds how far a side of a ring moves inwards at its ends, from the ring itself and the ring moved either way.
fn push(
    inwards: &mut [Gradient; 2],
    [still, up, down]: &[Vec<Point2<f64>>; 3],
    at: usize,
    slope: impl Fn(f64, f64) -> (usize, f64),
) {
    let next = |ring: &[Point2<f64>]| ring[(at + 1) % ring.len()];
    let ends = [still[at], next(still)];
    // How far the moved line lies inwards of a place: a place lies so far outwards of the line.
    let beyond = |ring: &[Point2<f64>], place: &Point2<f64>| {
        let way = (next(ring) - ring[at]).normalize();
        -way.perp(&(place - ring[at]))
    };
    for (known, place) in inwards.iter_mut().zip(ends) {
        let entry = slope(beyond(up, &place), beyond(down, &place));
        known.extend([entry].into_iter().filter(|entry| entry.1 != 0.0));
    }
}

/// Whether footprints have the same sides and walls.
fn is_alike(one: &[Footprint], other: &[Footprint]) -> bool {
    one.len() == other.len()
        && one.iter().zip(other).all(|(one, other)| {
            let counts = |footprint: &Footprint| -> Vec<usize> {
                let walls = footprint.walls.iter().flatten().map(Vec::len);
                footprint.rings.iter().map(|ring| ring.sides.len()).chain(walls).collect()
            };
            let stages_of = |footprint: &Footprint| -> Vec<usize> {
                footprint.rings.iter().flat_map(|ring| &ring.sides).map(|side| stages(side).len()).collect()
            };
            counts(one) == counts(other) && stages_of(one) == stages_of(other)
        })
}

/// Lets sides that were brought onto the lines of earlier blocks move as those do: for each, its block, ring and number, and
/// those of the side whose line it lies on, in the order of the blocks.
pub fn bring_together(motions: &mut [BlockMotion], footprints: &[Footprint], onto: &[[(usize, usize, usize); 2]]) {
    let ends = |(block, ring, at): (usize, usize, usize)| {
        let sides = &footprints[block].rings[ring].sides;
        [sides[at].start, sides[(at + 1) % sides.len()].start]
    };
    for &[moved, earlier] in onto {
        let (own, theirs) = (ends(moved), ends(earlier));
        let known = motions[earlier.0].sides[earlier.1][earlier.2].inwards.clone();
        let way = theirs[1] - theirs[0];
        let is_against = way.dot(&(own[1] - own[0])) < 0.0;
        let inwards = known.map(|[start, end]| {
            own.map(|place| {
                let share = (place - theirs[0]).dot(&way) / way.norm_squared();
                let times = if is_against { -1.0 } else { 1.0 };
                let mut sum = Gradient::new();
                sum.add(&start, times * (1.0 - share));
                sum.add(&end, times * share);
                sum.merged()
            })
        });
        motions[moved.0].sides[moved.1][moved.2].inwards = inwards;
    }
}
