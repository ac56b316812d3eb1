//! The survey's account as JSON: the `survey` key of `solve --json`.

use crate::base::estimate::NINETY_FIVE;
use crate::job::Job;
use crate::survey::report::{AdjustedFace, AdjustedPoint, BestNext, Report, Suspect};
use crate::wording::survey::{Names, undetermined};
use crate::wording::units::Format;
use serde::Serialize;
use std::collections::BTreeMap;

/// Twin of [`Report`].
#[derive(Serialize)]
pub struct SurveyTwin<'a> {
    points: BTreeMap<&'a str, PointTwin>,
    faces: BTreeMap<&'a str, FaceTwin>,
    /// What every ± told is multiplied by for measurements that disagree; the `sd` here are by the sigmas as stated.
    widened_by: f64,
    misclosure: Option<f64>,
    misclosures: BTreeMap<&'a str, f64>,
    chi2: Option<f64>,
    chi2_bounds: Option<[f64; 2]>,
    dof: usize,
    suspects: Vec<SuspectTwin>,
    best_next: Vec<BestNextTwin>,
    undetermined: Vec<String>,
}

#[derive(Serialize)]
struct PointTwin {
    at: Option<[f64; 3]>,
    sd: Option<[f64; 3]>,
    located: bool,
}

#[derive(Serialize)]
struct FaceTwin {
    area: Option<f64>,
    area_sd: Option<f64>,
    area_95: Option<f64>,
    pitch: Option<f64>,
    pitch_sd: Option<f64>,
    pitch_95: Option<f64>,
}

#[derive(Serialize)]
struct SuspectTwin {
    observation: String,
    w: f64,
    redundancy: f64,
    smallest_detectable: Option<f64>,
    /// The error that would explain it alone, positive where too much was read.
    error: Option<f64>,
    unit: &'static str,
}

#[derive(Serialize)]
struct BestNextTwin {
    observation: String,
    /// `null` where the total area is then not yet determined.
    area_sd_after: Option<f64>,
    area_95_after: Option<f64>,
    area_95_now: Option<f64>,
    /// Where it tells which of two observations is to blame.
    #[serde(skip_serializing_if = "Option::is_none")]
    parts: Option<PartingTwin>,
}

#[derive(Serialize)]
struct PartingTwin {
    /// The two observations.
    between: [String; 2],
    /// What it would read where the first is wrong and where the second is, metres or degrees.
    expected: [f64; 2],
    /// Whether it is one of the two, taken again.
    again: bool,
}

impl<'a> SurveyTwin<'a> {
    /// The twin of a job's report.
    #[must_use]
    pub fn new(job: &Job, report: &'a Report) -> Self {
        let (names, format) = (Names::of(job), Format::of(job.units));
        let widening = report.widening();
        let misclosures = report.misclosures.iter().map(|(block, gap)| (block.as_str(), *gap));
        Self {
            points: report.points.iter().map(|point| (point.name.as_str(), PointTwin::from(point))).collect(),
            faces: report.faces.iter().map(|face| (face.name.as_str(), FaceTwin::of(face, widening))).collect(),
            widened_by: widening,
            misclosure: report.misclosures.iter().map(|(_, gap)| *gap).reduce(f64::max),
            misclosures: misclosures.collect(),
            chi2: report.chi2,
            chi2_bounds: report.chi2_bounds,
            dof: report.dof,
            suspects: report.suspects.iter().map(|suspect| SuspectTwin::new(&names, suspect)).collect(),
            best_next: report.best_next.iter().map(|next| BestNextTwin::new(&names, report, next)).collect(),
            undetermined: report.undetermined.iter().map(|open| undetermined(&names, open, format)).collect(),
        }
    }
}

impl From<&AdjustedPoint> for PointTwin {
    fn from(point: &AdjustedPoint) -> Self {
        let at = [point.at.x + 0.0, point.at.y + 0.0, point.at.z + 0.0];
        Self { at: at.iter().all(|value| value.is_finite()).then_some(at), sd: point.sd, located: point.located }
    }
}

impl FaceTwin {
    fn of(face: &AdjustedFace, widening: f64) -> Self {
        let within = |sd: f64| NINETY_FIVE * sd * widening;
        Self {
            area: face.area,
            area_sd: face.area_sd,
            area_95: face.area_sd.map(within),
            pitch: face.pitch.map(f64::to_degrees),
            pitch_sd: face.pitch_sd.map(f64::to_degrees),
            pitch_95: face.pitch_sd.map(within).map(f64::to_degrees),
        }
    }
}

impl SuspectTwin {
    fn new(names: &Names<'_>, suspect: &Suspect) -> Self {
        let in_json = |value: f64| Some(suspect.unit.in_json(value)).filter(|value| value.is_finite());
        Self {
            observation: names.observation(suspect.observation),
            w: suspect.w,
            redundancy: suspect.redundancy,
            smallest_detectable: in_json(suspect.smallest_detectable),
            error: in_json(suspect.error()),
            unit: suspect.unit.word(),
        }
    }
}

impl BestNextTwin {
    fn new(names: &Names<'_>, report: &Report, next: &BestNext) -> Self {
        Self {
            observation: names.proposal(next.observation),
            area_sd_after: next.area_sd_after,
            area_95_after: report.area_95_after(next),
            area_95_now: report.area_95(),
            parts: next.parts.map(|parts| PartingTwin {
                between: parts.between.map(|one| names.observation(one)),
                expected: parts.expected.map(|value| next.observation.unit().in_json(value)),
                again: parts.again,
            }),
        }
    }
}
