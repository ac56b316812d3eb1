//! How fast sides go in: pitches that are ratios of small whole numbers keep their ratios to the last bit.
//!
//! A slope of 3 in 1 goes in by a third of its rise, which no binary fraction is, and a side that runs aslant goes in by
//! that times an irrational length of its normal. Rounded one by one, two speeds of which one is the other's double are so
//! no longer, and what meets at one height by what is written meets at two. So places are counted in units that such thirds
//! are whole in ([`super::decimals::Frame`]), and the speeds of one direction are whole multiples of one rounded number.

use super::decimals::{Frame, common};
use super::lines::SupportLine;
use super::plane::Scale;
use crate::base::units::Pitch;
use crate::outline::{Footprint, Side};
use smallvec::SmallVec;

/// Slopes of one side that differ by less than this part are one slope.
const SAME_SPEED: f64 = 1e-9;

/// Runs are told apart from whole multiples of this, so that the numbers of which divisors are sought are whole.
const GRAIN: f64 = 1.0 / 4096.0;

/// A speed is no larger multiple of what its direction shares: the rounding of that grows with it.
const LARGEST_MULTIPLE: u64 = 8;

/// A slope of a side from a height on.
#[derive(Clone, Copy, Debug)]
pub struct Slope {
    /// Where it begins, in units above the base.
    pub height: f64,
    /// How often it goes as fast as `base`.
    times: f64,
    /// A speed that the slopes of one direction share.
    base: f64,
}

impl Slope {
    /// Its speed along the normal.
    #[must_use]
    pub fn speed(&self) -> f64 {
        self.times * self.base
    }

    /// Its speed as a whole number.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)]
    pub fn whole(&self, scale: Scale) -> i64 {
        self.times as i64 * scale.whole(self.base)
    }
}

/// How far slopes of a pitch go in per unit of height, which sides of one pitch share.
#[derive(Default)]
struct Runs {
    last: Option<(Pitch, (f64, bool))>,
}

impl Runs {
    /// The run, and whether it is exact.
    fn of(&mut self, frame: &Frame, pitch: Pitch) -> (f64, bool) {
        match self.last {
            Some((known, run)) if known == pitch => run,
            _ => self.last.insert((pitch, frame.run(pitch))).1,
        }
    }
}

/// The greatest common divisor of the exact runs of each direction that is aslant by no whole length, in grains; 0 where
/// there is none.
fn divisors(footprint: &Footprint, frame: &Frame, lines: &[SupportLine], runs: &mut Runs) -> SmallVec<[u64; 8]> {
    let mut out: SmallVec<[u64; 8]> = SmallVec::new();
    for line in lines.iter().filter(|line| line.norm != 1.0) {
        if out.len() <= line.class {
            out.resize(line.class + 1, 0);
        }
        for pitch in footprint.rings[line.ring].sides[line.side].role.stages().filter_map(|(_, pitch)| pitch) {
            if let Some(grains) = grains(runs.of(frame, pitch)) {
                out[line.class] = common(out[line.class], grains);
            }
        }
    }
    out
}

/// An exact run in grains, where it is whole in them.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn grains((run, is_exact): (f64, bool)) -> Option<u64> {
    let grains = run / GRAIN;
    (is_exact && grains.fract() == 0.0 && grains < 2f64.powi(53)).then_some(grains as u64)
}

/// The slopes of all lines' sides, line after line, each line's from the base upwards; and where each line's end.
pub(super) fn slopes(
    footprint: &Footprint,
    frame: &Frame,
    lines: &[SupportLine],
) -> (Vec<Slope>, SmallVec<[usize; 32]>) {
    let mut runs = Runs::default();
    let divisors = divisors(footprint, frame, lines, &mut runs);
    let mut slopes: Vec<Slope> = Vec::with_capacity(lines.len() * 2);
    let mut ends = SmallVec::with_capacity(lines.len());
    for line in lines {
        let divisor = if line.norm == 1.0 { 0 } else { divisors.get(line.class).copied().unwrap_or(0) };
        profile(&footprint.rings[line.ring].sides[line.side], line.norm, divisor, (frame, &mut runs), &mut slopes);
        ends.push(slopes.len());
    }
    (slopes, ends)
}

/// Adds the slopes of a side. `norm` is the length of the normal that speeds count along.
fn profile(side: &Side, norm: f64, divisor: u64, (frame, runs): (&Frame, &mut Runs), out: &mut Vec<Slope>) {
    let first = out.len();
    let rests = (frame.above_base(side.height) > 0.0).then_some((0.0, None));
    let own = side.role.stages().map(|(rise, pitch)| (frame.above_base(side.height + rise), pitch));
    for (height, pitch) in rests.into_iter().chain(own) {
        let (times, base) = pitch.map_or((1.0, 0.0), |pitch| {
            let run = runs.of(frame, pitch);
            match grains(run).filter(|grains| divisor > 0 && grains / divisor <= LARGEST_MULTIPLE) {
                Some(grains) => ((grains / divisor) as f64, norm * (divisor as f64 * GRAIN)),
                None => (1.0, norm * run.0),
            }
        });
        let slope = Slope { height, times, base };
        // Speeds closer than this would meet at a height that rounding decides.
        let same = |last: &Slope| {
            let (last, speed) = (last.speed(), slope.speed());
            (last - speed).abs() <= SAME_SPEED * last.max(speed)
        };
        if !out[first..].last().is_some_and(same) {
            out.push(slope);
        }
    }
}
