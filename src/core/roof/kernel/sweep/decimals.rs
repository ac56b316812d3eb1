//! From metres to the numbers of a sweep and back: decimals as written become whole numbers.
//!
//! A corner written at 2.9 m and one at 1.6 m are 1.3 m apart, and so are 3.9 m and 2.6 m; as binary fractions of a metre
//! they are not. Two things that happen at one height by what is written would happen one after the other, in an order that
//! the outline's place, its first corner or a mirror decides. So places are counted in the largest of 1 m, 0.1 m … 1 nm of
//! which all are whole multiples, and heights likewise, of 1 m … 1 mm; directions with a ratio of small whole numbers get
//! just these as their normal. What is no such decimal keeps its fraction.

use crate::base::units::Pitch;
use crate::outline::{Footprint, Role};
use nalgebra::{Point2, Point3, Vector2};
use smallvec::SmallVec;

/// Finest unit of places: 10⁻⁹ m.
const FINEST_PLACE: i32 = 9;
/// Unit of places that have none in common: 10⁻⁶ m, so that those among them that are decimals stay so.
const MIXED_PLACE: i32 = 6;
/// Finest unit of heights: 10⁻³ m. A speed keeps so many bits less as heights have.
const FINEST_HEIGHT: i32 = 3;
/// Rounding of a number that came about by a few sums, in units of its last place.
const NOISE: f64 = 4.0 * f64::EPSILON;
/// Whole numbers of a direction are no larger, so that offsets along its normal are exact.
const LARGEST_RATIO: f64 = 65_536.0;

/// Whole numbers of a pitch are no larger.
const LARGEST_OF_PITCH: u64 = 4096;
/// No more pitches that are ratios make units.
const MOST_PITCHES: usize = 64;
/// Pitches make units no finer than this part of those that places are written in: a limit that an outline's size and place
/// have no say in, so that of very many pitches the same ones are exact wherever it lies.
const FINEST_OF_PITCHES: f64 = (1u64 << 36) as f64;
/// But for outlines that would be larger in them than this.
const LARGEST_EXTENT: f64 = (1u64 << 50) as f64;

/// Units and origin of a sweep.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Units of places in a metre.
    pub plan: f64,
    /// Units of heights in a metre.
    pub rise: f64,
    /// Units of places as written in a metre, and units of the plan in each of these.
    written: f64,
    finer: f64,
    /// In units of places as written.
    origin: [f64; 2],
    base: f64,
    /// How far a decimal may be off a whole number, in units.
    noise: [f64; 2],
}

/// The whole number next to a number, halves away from zero: [`f64::round`] to the last bit, in a few instructions of any
/// processor where that is a call.
#[must_use]
#[allow(clippy::cast_possible_truncation)]
pub fn nearest(value: f64) -> f64 {
    const ALL_WHOLE: f64 = (1u64 << 52) as f64;
    if value.abs() < ALL_WHOLE {
        let whole = value as i64 as f64;
        let away = if (value - whole).abs() >= 0.5 { 1_f64.copysign(value) } else { 0.0 };
        (whole + away).copysign(value)
    } else {
        value
    }
}

/// A number, whole where it is so to within its rounding.
fn whole(value: f64, noise: f64) -> f64 {
    let near = nearest(value);
    if (value - near).abs() <= noise { near } else { value }
}

/// The units in a metre, powers of ten, in which all of some numbers are whole: the fewest, or none up to a power.
fn units<I: Iterator<Item = f64>>(values: impl Fn() -> I, largest: f64, finest: i32) -> Option<f64> {
    (0..=finest).map(|power| 10f64.powi(power)).find(|units| {
        let noise = NOISE * largest * units;
        noise < 0.25 && values().all(|value| (value * units - nearest(value * units)).abs() <= noise)
    })
}

impl Frame {
    /// The frame of a footprint whose numbers are finite. O(sides).
    #[must_use]
    pub fn of(footprint: &Footprint) -> Self {
        let sides = || footprint.rings.iter().flat_map(|ring| &ring.sides);
        let places = || sides().flat_map(|side| [side.start.x, side.start.y]);
        let furthest = places().fold(0.0, |most: f64, value| most.max(value.abs()));
        let decimal = units(places, furthest, FINEST_PLACE);
        let written = decimal.unwrap_or_else(|| {
            let mixed = 10f64.powi(MIXED_PLACE);
            if NOISE * furthest * mixed < 0.25 { mixed } else { 1.0 }
        });
        let heights = || sides().flat_map(|side| changes(side.height, &side.role));
        let highest = heights().fold(0.0, |most: f64, value| most.max(value.abs()));
        let rise = units(heights, highest, FINEST_HEIGHT).unwrap_or(1.0);
        // So that units of the plan are whole in units of height.
        let written = written.max(rise);
        let noise = [NOISE * furthest * written, NOISE * highest * rise];
        let least = |values: &mut dyn Iterator<Item = f64>| values.fold(f64::INFINITY, f64::min);
        let x = least(&mut sides().map(|side| side.start.x));
        let y = least(&mut sides().map(|side| side.start.y));
        // A verge or an abutment stands plumb from wherever the slopes begin: its own height lifts and lowers nothing.
        let base = least(&mut sides().filter(|side| side.role.slopes()).map(|side| side.height));
        let base = if base.is_finite() { base } else { least(&mut sides().map(|side| side.height)) };
        let finer = if decimal.is_some() {
            let most = |values: &mut dyn Iterator<Item = f64>| values.fold(f64::NEG_INFINITY, f64::max);
            let wide = most(&mut sides().map(|side| side.start.x)) - x;
            let deep = most(&mut sides().map(|side| side.start.y)) - y;
            let pitches = sides().flat_map(|side| side.role.stages().filter_map(|(_, pitch)| pitch));
            finer(pitches, FINEST_OF_PITCHES.min(LARGEST_EXTENT / (wide.max(deep) * written)))
        } else {
            1.0
        };
        let plan = written * finer;
        let origin = [nearest(x * written), nearest(y * written)];
        Self { plan, rise, written, finer, origin, base: whole(base * rise, noise[1]), noise }
    }

    /// A place on the site plan in units from the origin.
    #[must_use]
    pub fn local(&self, place: &Point2<f64>) -> Vector2<f64> {
        // Multiplied last: far away, places in the finer units are no whole numbers of 53 bits.
        let one = |axis: usize| (whole(place[axis] * self.written, self.noise[0]) - self.origin[axis]) * self.finer;
        Vector2::new(one(0), one(1))
    }

    /// How many units of the plan a slope goes in per unit of height, and whether that is exact.
    #[must_use]
    pub fn run(&self, pitch: Pitch) -> (f64, bool) {
        let units = self.written / self.rise;
        let exact = ratio_of(pitch).and_then(|(rise, run)| {
            let (odd, twos) = (rise >> rise.trailing_zeros(), (1_u64 << rise.trailing_zeros()) as f64);
            let over = self.finer / odd as f64;
            (over.fract() == 0.0).then(|| units * over * run as f64 / twos)
        });
        exact.map_or_else(|| (units * self.finer * run_of(pitch), false), |run| (run, true))
    }

    /// A height above datum in units from the base.
    #[must_use]
    pub(crate) fn above_base(&self, height: f64) -> f64 {
        whole(height * self.rise, self.noise[1]) - self.base
    }

    /// A height in units from the base as metres above datum.
    #[must_use]
    pub fn height(&self, above_base: f64) -> f64 {
        (self.base + above_base) / self.rise
    }

    /// A place in units as metres: on the site plan and above datum.
    #[must_use]
    pub fn place(&self, [x, y, z]: [f64; 3]) -> Point3<f64> {
        let at = |axis: usize, local: f64| (self.origin[axis] + local / self.finer) / self.written;
        Point3::new(at(0, x), at(1, y), (self.base + z) / self.rise)
    }

    /// What a plane `n · p = d + s z` in units is as `n · p = offset + slope z` in metres of the site: (slope, offset).
    #[must_use]
    pub fn plane(&self, normal: [f64; 2], speed: f64, offset: f64) -> (f64, f64) {
        let at_origin = (normal[0] * self.origin[0] + normal[1] * self.origin[1]) * self.finer;
        (speed * self.rise / self.plan, (offset + at_origin - speed * self.base) / self.plan)
    }
}

/// Greatest common divisor.
#[must_use]
pub fn common(mut a: u64, mut b: u64) -> u64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// The whole number that all runs of pitches that are ratios become whole by when multiplied with it, but for powers of two:
/// of as many as do not make it larger than `most`, the smallest first.
fn finer(pitches: impl Iterator<Item = Pitch>, most: f64) -> f64 {
    let mut last = None;
    let mut rises: SmallVec<[u64; 8]> = SmallVec::new();
    for pitch in pitches {
        if last == Some(pitch) {
            continue;
        }
        last = Some(pitch);
        let Some((rise, _)) = ratio_of(pitch) else { continue };
        let odd = rise >> rise.trailing_zeros();
        if odd > 1 && rises.len() < MOST_PITCHES && !rises.contains(&odd) {
            rises.push(odd);
        }
    }
    rises.sort_unstable();
    rises.into_iter().fold(1, |all: u64, rise| {
        let more = all / common(all, rise) * rise;
        if more as f64 <= most { more } else { all }
    }) as f64
}

/// A pitch as rise over run in small whole numbers without a common factor, where it is so to its last bits (the convergents
/// of its continued fraction).
#[must_use]
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn ratio_of(pitch: Pitch) -> Option<(u64, u64)> {
    let tangent = pitch.tangent();
    let (mut rise, mut run) = ([0_u64, 1], [1_u64, 0]);
    let mut rest = tangent;
    loop {
        let whole = rest.floor();
        if whole > LARGEST_OF_PITCH as f64 {
            return None;
        }
        let next = |pair: [u64; 2]| [pair[1], whole as u64 * pair[1] + pair[0]];
        (rise, run) = (next(rise), next(run));
        if rise[1].max(run[1]) > LARGEST_OF_PITCH {
            return None;
        }
        if (rise[1] as f64 / run[1] as f64 - tangent).abs() <= 2.0 * f64::EPSILON * tangent {
            return Some((rise[1], run[1]));
        }
        rest = 1.0 / (rest - whole);
    }
}

/// How far a slope goes in per metre of rise, rounded to where that of a pitch written as rise and run, or of 45°, is
/// what it says.
#[must_use]
pub(crate) fn run_of(pitch: Pitch) -> f64 {
    const BITS: f64 = (1u64 << 46) as f64;
    let run = 1.0 / pitch.tangent();
    let size = run.log2().ceil().exp2();
    nearest(run / size * BITS) / BITS * size
}

/// A side's own height and those at which its slope changes, metres above datum.
fn changes(height: f64, role: &Role) -> impl Iterator<Item = f64> + Clone + '_ {
    role.stages().map(move |(rise, _)| height + rise)
}

/// The direction between two places as a pair of whole numbers without a common factor, over a power of two, where they
/// are whole and small; turned by quarters to where x is positive and y not negative.
#[must_use]
pub fn ratio(way: &Vector2<f64>) -> Option<[f64; 2]> {
    let is_whole = |value: f64| value.fract() == 0.0 && value.abs() < 1e15;
    if !is_whole(way.x) || !is_whole(way.y) {
        return None;
    }
    let (mut x, mut y) = (way.x.abs(), way.y.abs());
    if (way.x > 0.0) != (way.y > 0.0) && way.x != 0.0 && way.y != 0.0 {
        std::mem::swap(&mut x, &mut y);
    }
    if x == 0.0 {
        (x, y) = (y, 0.0);
    }
    let (mut a, mut b) = (x, y);
    while b != 0.0 {
        (a, b) = (b, a % b);
    }
    let (x, y) = (x / a, y / a);
    if x.max(y) > LARGEST_RATIO {
        return None;
    }
    let over = x.max(y).log2().ceil().exp2();
    Some([x / over, y / over])
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn the_nearest_whole_number_is_that_of_the_library() {
        let near = [
            0.0,
            0.3,
            0.5,
            0.499_999_999_999_999_94,
            1.5,
            2.5,
            1e15 + 0.5,
            4_503_599_627_370_495.5,
            1e17,
            f64::INFINITY,
        ];
        for value in
            near.into_iter().flat_map(|value| [value, value.next_up(), value.next_down()]).flat_map(|v| [v, -v])
        {
            assert_eq!(nearest(value).to_bits(), value.round().to_bits(), "{value:e}");
        }
        assert!(nearest(f64::NAN).is_nan());
    }

    #[test]
    fn decimals_are_whole_wherever_the_site_lies() {
        for shift in [0.0, 500_000.0, -500_000.0] {
            let places = [2.9, 1.6, 0.8, 3.9].map(|value: f64| value + shift);
            let furthest = places.iter().fold(0.0, |most: f64, value| most.max(value.abs()));
            assert_eq!(units(|| places.iter().copied(), furthest, FINEST_PLACE), Some(10.0));
            let tens = places.map(|value| whole(value * 10.0, NOISE * furthest * 10.0));
            assert_eq!([tens[0] - tens[1], tens[3] - tens[2]], [13.0, 31.0]);
        }
        // A sixty-fourth of an inch, and what is no decimal at all.
        assert_eq!(units(|| [0.000_396_875, 1.0].into_iter(), 1.0, FINEST_PLACE), Some(1e9));
        assert_eq!(units(|| [std::f64::consts::PI].into_iter(), 4.0, FINEST_PLACE), None);
    }

    #[test]
    fn pitches_that_are_ratios_make_units_their_runs_are_whole_in() {
        let ratio = |rise: f64, run: f64| Pitch::from_rise_over_run(rise, run).unwrap();
        assert_eq!(ratio_of(ratio(7.0, 12.0)), Some((7, 12)));
        assert_eq!(ratio_of(ratio(0.7, 1.0)), Some((7, 10)));
        assert_eq!(ratio_of(ratio(9.0, 3.0)), Some((3, 1)));
        assert_eq!(ratio_of(Pitch::from_degrees(45.0).unwrap()), Some((1, 1)));
        assert_eq!(ratio_of(Pitch::from_degrees(35.0).unwrap()), None);
        let pitches = || [ratio(7.0, 12.0), ratio(3.0, 1.0), ratio(6.0, 12.0), ratio(9.0, 4.0)].into_iter();
        assert_eq!(finer(pitches(), 1e9), 63.0);
        // Of too many the smallest alone.
        assert_eq!(finer(pitches(), 40.0), 21.0);
    }

    #[test]
    fn directions_have_one_ratio_in_every_quarter() {
        for way in [[4.0, 2.0], [-2.0, 4.0], [-4.0, -2.0], [6.0, -12.0]] {
            assert_eq!(ratio(&way.into()), Some([1.0, 0.5]));
        }
        for way in [[3.0, 0.0], [0.0, 7.0], [-1.0, 0.0], [0.0, -2.0]] {
            assert_eq!(ratio(&way.into()), Some([1.0, 0.0]));
        }
        assert_eq!(ratio(&[0.5, 1.0].into()), None);
        assert_eq!(ratio(&[100_003.0, 7.0].into()), None);
    }
}
