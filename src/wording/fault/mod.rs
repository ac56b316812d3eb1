//! Why there is no answer, in words: what was found, what was expected, and what to do. Lower case, without a full stop.

mod fittings;
mod outline;
mod ring;
mod roof;
mod survey;

pub use fittings::{dormer, opening};
pub use outline::{outline, pitch};
use ring::ring;
pub use roof::{points, roof};
pub use survey::survey;

use super::amount::to_millimetre;
use super::survey::Names;
use crate::job::Job;
use crate::job::fault::Failure;
use crate::job::fault::{Fault, StageError};
use crate::job::order::CompareError;
use crate::outline::pitch::PitchError;
use crate::wording::units::Format;

/// What is wrong: found and expected.
#[must_use]
pub fn message(fault: &Fault, job: &Job) -> String {
    message_in(fault, job, Format::of(job.units))
}

/// The same in units of one's own.
#[must_use]
pub(crate) fn message_in(fault: &Fault, job: &Job, format: Format) -> String {
    match &fault.error {
        StageError::Survey(error) => survey(error, &Names::of(job), format),
        StageError::Outline(error) => outline(error, format),
        StageError::Pitch(error) => pitch(error, format),
        StageError::Roof(error) => roof(error, format),
        StageError::Points(error) => points(error, &Names::of(job), format),
        StageError::Dormer(error) => dormer(error, format),
        StageError::Opening(error) => opening(error, format),
    }
}

/// What to do about it.
#[must_use]
pub fn hint(fault: &Fault) -> &'static str {
    match &fault.error {
        StageError::Survey(error) => survey::hint(error),
        StageError::Outline(error) => outline::hint(error),
        StageError::Pitch(PitchError::OutOfReach { .. }) => {
            "measure it again; look whether the height of the block and the lengths of its sides are right"
        }
        StageError::Pitch(_) => "give ridge_height, or rafter = { side = …, length = … }, on the block",
        StageError::Roof(error) => roof::roof_hint(error),
        StageError::Points(error) => roof::points_hint(error),
        StageError::Dormer(error) => fittings::dormer_hint(error),
        StageError::Opening(error) => fittings::opening_hint(error),
    }
}

/// Every fault of a failure, in one line.
#[must_use]
pub fn describe(failure: &Failure, job: &Job, format: Format) -> String {
    failure.faults.iter().map(|fault| message_in(fault, job, format)).collect::<Vec<_>>().join("; ")
}

/// Why pitches cannot be compared.
#[must_use]
pub(crate) fn not_comparable(error: &CompareError, job: &Job) -> String {
    match error {
        CompareError::NoEaves => {
            "no face has a level eave to turn about, so that its pitch could be another".to_owned()
        }
        CompareError::NotAnEave(side) => format!("side {side} is not an eave of this job"),
        CompareError::Job(failure) => describe(failure, job, Format::of(job.units)),
        CompareError::NoSuchRidge(height) => {
            format!("no pitch gives a ridge {} above datum", to_millimetre(*height, Format::of(job.units)))
        }
    }
}
