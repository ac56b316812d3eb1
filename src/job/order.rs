//! What to order for a solved job, and the same job compared at other pitches.

use super::answer::{Answer, Failure};
use super::model::Job;
use super::solve::{Ground, adjust};
use super::vary;
use crate::base::units::Pitch;
use crate::base::words::Words;
use crate::takeoff::answer::TakeOff;
use crate::takeoff::compare::{self, CompareInput, Row, Trial};
use crate::takeoff::{self, TakeoffInput};

/// The take-off of a solved job.
#[must_use]
pub fn take_off(job: &Job, answer: &Answer) -> TakeOff {
    takeoff::take_off(&TakeoffInput {
        roof: &answer.roof,
        drainage: &answer.drainage,
        openings: &answer.openings,
        covering: &job.covering,
        wind_from: job.site.wind_from,
        north: job.site.north,
        area_sd: answer.spread.total_area,
        words: Words::of(job.units),
    })
}

/// Why pitches cannot be compared.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CompareError {
    /// The roof is given by points alone: there is no eave to turn.
    #[error("the roof is given by points; pitches can only be compared where sides have one")]
    NoEaves,
    /// A side that is not there, or is no eave.
    #[error("side {0} is not an eave of this job")]
    NotAnEave(String),
    /// The measurements themselves give no answer.
    #[error(transparent)]
    Job(#[from] Failure),
    /// No pitch gives the height asked for.
    #[error("no pitch gives a ridge {0:.3} m above datum")]
    NoSuchRidge(f64),
}

/// The job at each pitch. `only` names (block, side) pairs; empty means every eave. O(pitches × solve).
///
/// # Errors
/// [`CompareError`]: nothing to turn.
pub fn compare(job: &Job, only: &[(String, String)], pitches: &[Pitch]) -> Result<Vec<Row>, CompareError> {
    check(job, only)?;
    let input = CompareInput {
        covering: &job.covering,
        wind_from: job.site.wind_from,
        north: job.site.north,
        words: Words::of(job.units),
    };
    let ground = adjust(job)?;
    Ok(compare::compare(pitches, &input, |pitch| trial(job, &ground, only, pitch)))
}

/// The pitch at which the highest point lies `height` metres above datum.
///
/// # Errors
/// [`CompareError`]: nothing to turn, or no such pitch.
pub fn pitch_for_ridge(job: &Job, only: &[(String, String)], height: f64) -> Result<Pitch, CompareError> {
    check(job, only)?;
    let ground = adjust(job)?;
    compare::pitch_for_ridge(height, |pitch| trial(job, &ground, only, pitch)).ok_or(CompareError::NoSuchRidge(height))
}

fn check(job: &Job, only: &[(String, String)]) -> Result<(), CompareError> {
    let missing = only.iter().find(|pair| !vary::has_eaves(job, std::slice::from_ref(pair)));
    match missing {
        Some((block, side)) => Err(CompareError::NotAnEave(format!("{block}/{side}"))),
        None if vary::has_eaves(job, only) => Ok(()),
        None => Err(CompareError::NoEaves),
    }
}

/// The roof at one pitch, on places adjusted once for all.
fn trial(job: &Job, ground: &Ground, only: &[(String, String)], pitch: Pitch) -> Result<Trial, String> {
    let job = vary::at_pitch(job, only, pitch);
    let (roof, openings) = ground.roof_of(&job).map_err(|failure| failure.to_string())?;
    Ok(Trial { roof, openings })
}
