//! The survey's account as JSON: the `survey` key of `solve --json`.

use crate::base::estimate::NINETY_FIVE;
use crate::survey::report::{AdjustedFace, AdjustedPoint, BestNext, Report, Suspect};
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
    suspects: Vec<SuspectTwin<'a>>,
    best_next: Vec<BestNextTwin<'a>>,
    undetermined: &'a [String],
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
struct SuspectTwin<'a> {
    observation: &'a str,
    w: f64,
    redundancy: f64,
    smallest_detectable: Option<f64>,
    unit: &'static str,
}

#[derive(Serialize)]
struct BestNextTwin<'a> {
    observation: &'a str,
    area_sd_after: f64,
    area_95_after: f64,
}

impl<'a> From<&'a Report> for SurveyTwin<'a> {
    fn from(report: &'a Report) -> Self {
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
            suspects: report.suspects.iter().map(SuspectTwin::from).collect(),
            best_next: report.best_next.iter().map(|next| BestNextTwin::of(next, widening)).collect(),
            undetermined: &report.undetermined,
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

impl<'a> From<&'a Suspect> for SuspectTwin<'a> {
    fn from(suspect: &'a Suspect) -> Self {
        let detectable = suspect.smallest_detectable;
        Self {
            observation: &suspect.observation,
            w: suspect.w,
            redundancy: suspect.redundancy,
            smallest_detectable: detectable.is_finite().then_some(detectable),
            unit: suspect.unit,
        }
    }
}

impl<'a> BestNextTwin<'a> {
    fn of(next: &'a BestNext, widening: f64) -> Self {
        Self {
            observation: &next.observation,
            area_sd_after: next.area_sd_after,
            area_95_after: NINETY_FIVE * next.area_sd_after * widening,
        }
    }
}
