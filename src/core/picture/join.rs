//! Edges measured in photos join the adjustment; what they gain, and which of them do not fit.

use super::edges::{EdgeInPhoto, edges, pairs};
use super::grey::Grey;
use crate::base::ids::PointId;
use crate::roof::Roof;
use crate::survey::model::{RingInput, SeenLine, Survey};
use crate::survey::observation::ObservationId;
use crate::survey::report::Report;
use crate::survey::{Adjusted, SurveyError, adjust};
use std::collections::BTreeMap;

/// What measuring the edges of all photos came to.
#[derive(Clone, Debug)]
pub struct Joined {
    /// The survey with the edges that fit, instead of those measured before.
    pub survey: Survey,
    /// Its adjustment.
    pub adjusted: Adjusted,
    /// The adjustment without any measured edge.
    pub before: Report,
    /// Every edge that the photos show.
    pub edges: Vec<EdgeInPhoto>,
    /// Those that were found and left out, by photo and ends: the other measurements contradict them.
    pub left_out: Vec<LeftOut>,
}

/// An edge that was left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeftOut {
    /// An index into [`Survey::photos`].
    pub photo: usize,
    /// The points at its ends.
    pub ends: [PointId; 2],
    /// How many of its standard deviations it misses in the mean of its places (root mean square).
    pub by: f64,
}

/// An edge misses when its places do by this many standard deviations in the mean.
const MISSES: f64 = 2.5;
/// Marks place an edge within this many of their standard deviations.
const OF_MARKS: f64 = 4.0;
/// The first search reaches at least so far, pixels.
const FIRST: f64 = 5.0;
/// The second search, with edges in the adjustment, pixels.
const SECOND: f64 = 4.0;

/// The survey without edges measured in its photos.
#[must_use]
pub fn without(survey: &Survey) -> Survey {
    let mut plain = survey.clone();
    plain.photos.iter_mut().for_each(|photo| photo.lines.retain(|line| !line.is_measured));
    plain
}

/// The survey with measured edges, less some.
fn with(plain: &Survey, found: &[EdgeInPhoto], left_out: &[LeftOut]) -> Survey {
    let mut survey = plain.clone();
    for edge in found {
        let is_out = left_out.iter().any(|out| out.photo == edge.photo && out.ends == edge.ends);
        if let (Ok(places), false) = (&edge.found, is_out) {
            let sigmas = vec![places.sigma; places.at.len()];
            let line = SeenLine { ends: edge.ends, at: places.at.clone(), sigmas, is_measured: true };
            survey.photos[edge.photo].lines.push(line);
        }
    }
    survey
}

/// Measures all edges of all photos of which the picture is there, joins them to the adjustment, leaves out those that do
/// not fit, and measures once more from there.
///
/// # Errors
/// [`SurveyError`]: the survey can't be adjusted, with the edges or without.
pub fn join(
    rings: &[RingInput<'_>],
    survey: &Survey,
    roof: &Roof,
    greys: &[Option<Grey>],
) -> Result<Joined, SurveyError> {
    let plain = without(survey);
    let before = adjust(rings, &plain)?;
    let pairs = pairs(rings, &plain);
    let measure = |report: &Report, reach: &dyn Fn(usize) -> f64| -> Vec<EdgeInPhoto> {
        let of = |(photo, grey): (usize, &Option<Grey>)| {
            let grey = grey.as_ref()?;
            Some(edges(&pairs, (&plain, roof, report), photo, grey, reach(photo)))
        };
        greys.iter().enumerate().take(plain.photos.len()).filter_map(of).flatten().collect()
    };
    let of_marks = |photo: usize| {
        let sigma = plain.photos[photo].marks.iter().map(|mark| mark.sigma).fold(0.0, f64::max);
        (OF_MARKS * sigma).max(FIRST)
    };
    let first = measure(&before.report, &of_marks);
    let (_, adjusted, _) = fitting(rings, &plain, &first)?;
    let edges = measure(&adjusted.report, &|photo| of_marks(photo).min(SECOND));
    let (survey, adjusted, left_out) = fitting(rings, &plain, &edges)?;
    Ok(Joined { survey, adjusted, before: before.report, edges, left_out })
}

/// Adjusts with all edges, then without the one that misses most, until none misses.
fn fitting(
    rings: &[RingInput<'_>],
    plain: &Survey,
    found: &[EdgeInPhoto],
) -> Result<(Survey, Adjusted, Vec<LeftOut>), SurveyError> {
    let mut left_out: Vec<LeftOut> = Vec::new();
    loop {
        let survey = with(plain, found, &left_out);
        let adjusted = adjust(rings, &survey)?;
        match worst(&survey, &adjusted.report).filter(|worst| worst.by > MISSES) {
            Some(worst) => left_out.push(worst),
            None => return Ok((survey, adjusted, left_out)),
        }
    }
}

/// The measured edge whose places miss most.
fn worst(survey: &Survey, report: &Report) -> Option<LeftOut> {
    let mut sums: BTreeMap<(usize, [PointId; 2]), (f64, f64)> = BTreeMap::new();
    for check in &report.checks {
        let ObservationId::Line { photo, ends, .. } = check.observation else { continue };
        let is_measured = survey.photos[photo].lines.iter().any(|line| line.ends == ends && line.is_measured);
        if let (true, Some(w)) = (is_measured, check.w) {
            let sum = sums.entry((photo, ends)).or_default();
            *sum = (sum.0 + w * w, sum.1 + 1.0);
        }
    }
    let by = |((photo, ends), (squares, count)): ((usize, [PointId; 2]), (f64, f64))| LeftOut {
        photo,
        ends,
        by: (squares / count).sqrt(),
    };
    sums.into_iter().map(by).max_by(|a, b| a.by.total_cmp(&b.by))
}
