//! How sure the pitches of a job are: each was found once for all slopes that have it, and moves them together.
//!
//! A pitch that is written and was read too is the mean of both, each by its weight `1 / sigma²` (the adjustment of direct
//! observations of one unknown). What is left over is told where it is more than 3.29 standard deviations, once in a
//! thousand cases by chance.

use super::finding::Finding;
use super::model::{Job, PitchSureness, SideReading, Slope, StatedPitch};
use crate::base::ids::SideId;
use crate::base::name::SideName;
use crate::base::units::Pitch;
use crate::framing;
use crate::outline::block::{Block, BlockRole, BlockSide};
use crate::outline::{Dormer, Role};
use crate::roof::Roof;
use crate::survey::sigma;
use std::borrow::Cow;

/// A difference of more standard deviations than this is told.
const TOLD: f64 = 3.29;

/// A pitch that is not exact, with how sure it is and what has it.
#[derive(Clone, Debug)]
pub(super) struct UnsurePitch<'a> {
    pub slopes: &'a [Slope],
    /// Standard deviation, radians.
    pub sd: f64,
}

/// The blocks of a job with each pitch as written and read together, and how unsure those pitches are.
pub(super) struct Settled<'a> {
    pub blocks: Cow<'a, [Block]>,
    pub unsure: Vec<UnsurePitch<'a>>,
    pub findings: Vec<Finding>,
}

/// Brings the pitches written on sides and those read on them together. `roof` gives the roof of the pitches as written,
/// where a standard deviation follows from the length of a rafter.
pub(super) fn settle(job: &Job, roof: impl FnOnce() -> Option<Roof>) -> Settled<'_> {
    let by_rafter = job.pitches.iter().any(|pitch| pitch.sureness == PitchSureness::RafterTape);
    let roof = by_rafter.then(roof).flatten();
    let mut settled = Settled { blocks: Cow::Borrowed(&job.blocks), unsure: Vec::new(), findings: Vec::new() };
    for stated in &job.pitches {
        let sd = match stated.sureness {
            PitchSureness::Sigma(sd) => sd,
            PitchSureness::RafterTape => by_taped_rafter(job, stated, roof.as_ref()),
        };
        let of_it = |reading: &&SideReading| stated.slopes.contains(&Slope::Side { side: reading.side, part: 0 });
        let readings: Vec<&SideReading> = job.side_readings.iter().filter(of_it).collect();
        let all = std::iter::once((stated.pitch.radians(), sd));
        let all: Vec<(f64, f64)> = all.chain(readings.iter().map(|reading| (reading.pitch, reading.sigma))).collect();
        let (mean, mean_sd) = mean_of(&all);
        settled.findings.extend(describe(job, stated, &readings, (mean, mean_sd)));
        if mean != stated.pitch.radians() && !readings.is_empty() {
            turn(settled.blocks.to_mut(), &mut [], &stated.slopes, mean - stated.pitch.radians());
        }
        if mean_sd > 0.0 {
            settled.unsure.push(UnsurePitch { slopes: &stated.slopes, sd: mean_sd });
        }
    }
    settled
}

/// The mean of observations of one number and its standard deviation; an exact one decides alone.
pub(super) fn mean_of(observed: &[(f64, f64)]) -> (f64, f64) {
    if let Some((exact, _)) = observed.iter().find(|(_, sd)| *sd == 0.0) {
        return (*exact, 0.0);
    }
    let weight: f64 = observed.iter().map(|(_, sd)| sd.powi(-2)).sum();
    let sum: f64 = observed.iter().map(|(value, sd)| value * sd.powi(-2)).sum();
    match observed {
        [(only, sd)] => (*only, *sd),
        _ => (sum / weight, weight.sqrt().recip()),
    }
}

/// A pitch found from a rafter r taped up the slope: cos p = run / r, so its standard deviation is that of the tape over
/// r tan p. Where the roof has no such rafter, that of a level and rule.
fn by_taped_rafter(job: &Job, stated: &StatedPitch, roof: Option<&Roof>) -> f64 {
    let rafter = |slope: &Slope| {
        let Slope::Side { side, .. } = slope else { return None };
        let (block, side) = named(job, *side)?;
        framing::longest_rafter(roof?, &SideName::new(&block.name, &side.name))
    };
    let longest = stated.slopes.iter().filter_map(rafter).reduce(f64::max);
    longest.map_or(sigma::PITCH_LEVEL_AND_RULE, |rafter| sigma::SLOPE_TAPE.fixed / (rafter * stated.pitch.tangent()))
}

/// What was made of a pitch that was written and read.
fn describe(
    job: &Job,
    stated: &StatedPitch,
    readings: &[&SideReading],
    (mean, mean_sd): (f64, f64),
) -> Option<Finding> {
    let off = |reading: &SideReading| (reading.pitch - mean).abs();
    let worst = readings.iter().max_by(|a, b| off(a).total_cmp(&off(b)))?;
    // Of an observation and the mean that it is part of: the variances' difference.
    let sd = (worst.sigma.powi(2) - mean_sd.powi(2)).max(0.0).sqrt();
    let (block, side) = named(job, worst.side)?;
    Some(Finding::PitchRead {
        side: SideName::new(&block.name, &side.name),
        written: stated.pitch.radians(),
        read: worst.pitch,
        taken: mean,
        is_apart: off(worst) > TOLD * sd.max(f64::EPSILON),
    })
}

fn named(job: &Job, side: SideId) -> Option<(&Block, &BlockSide)> {
    let block = job.blocks.get(side.block.index())?;
    Some((block, block.rings.get(side.ring as usize)?.sides.get(side.side as usize)?))
}

/// Turns slopes by an angle, radians; what would stand plumb or lie level then stays.
pub(super) fn turn(blocks: &mut [Block], dormers: &mut [Dormer], slopes: &[Slope], by: f64) {
    for slope in slopes {
        let pitch = match slope {
            Slope::Side { side, part } => blocks.get_mut(side.block.index()).and_then(|block| {
                let side = block.rings.get_mut(side.ring as usize)?.sides.get_mut(side.side as usize)?;
                pitch_of(&mut side.role, *part)
            }),
            Slope::Dormer(index) => dormers.get_mut(*index).map(|dormer| &mut dormer.pitch),
        };
        if let Some(pitch) = pitch
            && let Ok(turned) = Pitch::from_rise_over_run((pitch.radians() + by).tan(), 1.0)
        {
            *pitch = turned;
        }
    }
}

/// The pitch of a part of a side: 0 its first, then above each break.
fn pitch_of(role: &mut BlockRole, part: usize) -> Option<&mut Pitch> {
    let BlockRole::Known(role) = role else { return None };
    match (role, part.checked_sub(1)) {
        (Role::Eave { pitch, .. } | Role::Gablet { pitch, .. } | Role::HalfHip { pitch, .. }, None) => Some(pitch),
        (Role::Eave { breaks, .. }, Some(above)) => breaks.get_mut(above).map(|(_, pitch)| pitch),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mean_goes_by_weights() {
        // Two readings of 34 and 36 with 0.1 and 0.3: the first counts nine times.
        let (mean, sd) = mean_of(&[(34.0, 0.1), (36.0, 0.3)]);
        assert!((mean - 34.2).abs() < 1e-12 && (sd - (0.009_f64).sqrt()).abs() < 1e-12, "{mean} {sd}");
        assert_eq!(mean_of(&[(34.0, 0.0), (36.0, 0.3)]), (34.0, 0.0));
        assert_eq!(mean_of(&[(0.3, 0.005)]), (0.3, 0.005));
    }
}
