//! What to order for a solved job, and the same job compared at other pitches.

use super::answer::{Answer, Failure};
use super::model::Job;
use super::solve::{Ground, adjust};
use super::vary;
use crate::base::estimate::{Estimate, Reason};
use crate::base::finding::{Finding, Severity, plainly_shown};
use crate::base::ids::FaceId;
use crate::base::name::SideName;
use crate::base::units::Pitch;
use crate::takeoff::answer::TakeOff;
use crate::takeoff::compare::{self, CompareInput, Trial};
use crate::takeoff::{self, TakeoffInput, finding};

/// The take-off of a solved job; of one whose measurements do not determine a roof face's area, an order of nothing that
/// says so.
#[must_use]
pub fn take_off(job: &Job, answer: &Answer) -> TakeOff {
    let open = |id: &FaceId| answer.area(*id).value().is_none();
    let faces: Vec<FaceId> = answer.roof.roof_faces().map(|(id, _)| id).filter(open).collect();
    if !faces.is_empty() {
        let area = Estimate::not_determined(Reason::PartNotDetermined);
        return TakeOff::nothing(area, vec![finding::Finding::AreaNotDetermined { faces }]);
    }
    takeoff::take_off(&TakeoffInput {
        roof: &answer.roof,
        drainage: &answer.drainage,
        openings: &answer.openings,
        covering: &job.covering,
        wind_from: job.site.wind_from,
        north: job.site.north,
        area_sd: answer.totals().net_area.sd(),
    })
}

/// Why pitches cannot be compared.
#[derive(Clone, Debug, PartialEq)]
pub enum CompareError {
    /// The roof is given by points alone: there is no eave to turn.
    NoEaves,
    /// A side that is not there, or is no eave.
    NotAnEave(SideName),
    /// The measurements themselves give no answer.
    Job(Failure),
    /// No pitch gives the height asked for, metres.
    NoSuchRidge(f64),
}

plainly_shown!(CompareError);

impl From<Failure> for CompareError {
    fn from(failure: Failure) -> Self {
        Self::Job(failure)
    }
}

impl Finding for CompareError {
    fn code(&self) -> &'static str {
        "not-comparable"
    }

    fn severity(&self) -> Severity {
        Severity::Stop
    }

    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::NoSuchRidge(height) => vec![("ridge_height", *height)],
            Self::NoEaves | Self::NotAnEave(_) | Self::Job(_) => Vec::new(),
        }
    }
}

/// A job at one pitch, with what is wrong where it has no answer there.
pub type Row = compare::Row<Failure>;

/// The job at each pitch. `only` names (block, side) pairs; empty means every eave.
/// O(pitches × solve).
///
/// # Errors
/// [`CompareError`]: nothing to turn.
pub fn compare(job: &Job, only: &[(String, String)], pitches: &[Pitch]) -> Result<Vec<Row>, CompareError> {
    check(job, only)?;
    let input = CompareInput { covering: &job.covering, wind_from: job.site.wind_from, north: job.site.north };
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
        Some((block, side)) => Err(CompareError::NotAnEave(SideName::new(block, side))),
        None if vary::has_eaves(job, only) => Ok(()),
        None => Err(CompareError::NoEaves),
    }
}

/// The roof at one pitch, on places adjusted once for all.
fn trial(job: &Job, ground: &Ground, only: &[(String, String)], pitch: Pitch) -> Result<Trial, Failure> {
    let job = vary::at_pitch(job, only, pitch);
    let (roof, openings) = ground.roof_of(&job)?;
    Ok(Trial { roof, openings })
}
