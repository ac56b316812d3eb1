//! A pitch that was found once, found again after something it hangs on has moved a little: how the uncertainty of places
//! and readings reaches it.

use super::block::Block;
use super::pitch::{Trial, with_pitch};
use crate::base::units::Pitch;

/// Part of the slope over which the measures' derivatives by it are taken.
const PROBE: f64 = 1e-4;
/// Newton's steps with derivatives that stay: each brings some four digits.
const TURNS: usize = 8;

/// What the readings of a block are changed by, metres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ReadingOff {
    /// Added to the ridge height.
    pub ridge_height: f64,
    /// Added to the taped rafter.
    pub rafter: f64,
}

/// The pitch near a known one at which the block measures as it was measured: with one measure exactly, with both by
/// least squares. `trial` solves the block with a pitch filled in. `None` where a trial fails or no measure changes with
/// the pitch. Some six trials.
pub fn near<E>(
    block: &Block,
    known: Pitch,
    off: ReadingOff,
    mut trial: impl FnMut(&Block) -> Result<Trial, E>,
) -> Option<Pitch> {
    let ridge_height = block.ridge_height.map(|height| height + off.ridge_height);
    let rafter = block.rafter.map(|(_, length)| length + off.rafter);
    let mut misses = |tangent: f64| -> Option<[f64; 2]> {
        let pitch = Pitch::from_rise_over_run(tangent, 1.0).ok()?;
        let found = trial(&with_pitch(block, pitch)).ok()?;
        let of_rafter = match rafter {
            Some(wanted) => found.rafter? - wanted,
            None => 0.0,
        };
        Some([ridge_height.map_or(0.0, |wanted| found.ridge_height - wanted), of_rafter])
    };
    let mut tangent = known.tangent();
    let probe = PROBE * tangent;
    let (low, high) = (misses(tangent - probe)?, misses(tangent + probe)?);
    let slope = [0, 1].map(|k| (high[k] - low[k]) / (2.0 * probe));
    let square = slope[0] * slope[0] + slope[1] * slope[1];
    if square == 0.0 {
        return None;
    }
    for _ in 0..TURNS {
        let miss = misses(tangent)?;
        let change = -(slope[0] * miss[0] + slope[1] * miss[1]) / square;
        tangent += change;
        if change.abs() <= f64::EPSILON.sqrt() * tangent {
            break;
        }
    }
    Pitch::from_rise_over_run(tangent, 1.0).ok()
}
