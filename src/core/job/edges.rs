//! Edges measured in the photos of a solved job.

use super::answer::Answer;
use super::fault::Failure;
use super::model::Job;
use super::{fault, rings};
use crate::picture::Grey;
use crate::picture::join::{self, Joined};

/// Measures every edge of the roof that the photos show and joins them to what was measured by hand: one picture a photo of
/// the job, in order, `None` where there is none.
///
/// # Errors
/// [`Failure`]: measurements that cannot be brought together.
pub fn measure_edges(job: &Job, answer: &Answer, pictures: &[Option<Grey>]) -> Result<Joined, Failure> {
    join::join(&rings::inputs(job), &job.survey, &answer.roof, pictures).map_err(|error| fault::of(job, error))
}
