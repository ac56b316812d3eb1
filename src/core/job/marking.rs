//! What the marks of a job's photos tell by themselves, before any face is built of them.

use super::fault::{self, Failure};
use super::model::Job;
use super::rings;
use crate::survey::foreseen::Foreseen;
use crate::survey::report::Report;
use crate::survey::{self, Adjusted};

/// What is known of a job's points and photos.
#[derive(Clone, Debug, Default)]
pub struct Marking {
    /// The adjustment's account of itself: places, photos, doubts.
    pub report: Report,
    /// Where points that are not marked must appear in the photos.
    pub foreseen: Vec<Foreseen>,
}

/// Brings a job's measurements together, and foresees where points that are not yet marked in a photo appear in it. From six
/// marks that two photos share on, the next ones lie on lines of sight; from three photos or other measurements on, in
/// ellipses. O(photos × points) beside the adjustment.
///
/// # Errors
/// [`Failure`]: measurements that cannot be brought together.
pub fn marking(job: &Job) -> Result<Marking, Failure> {
    let rings = rings::inputs(job);
    let options = survey::Options { swaps: false, foresee: true };
    let adjusted = survey::adjust_with(&rings, &job.survey, &options).map_err(|error| fault::of(job, error))?;
    let Adjusted { report, foreseen, .. } = adjusted;
    Ok(Marking { report, foreseen })
}
