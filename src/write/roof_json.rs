//! The answer of `solve` as JSON: serialisable twins of the core's types, in the contract's order of keys.
//!
//! Lengths are metres, areas square metres, angles degrees, whatever the job's own units are.

use super::name::NameTwin;
use crate::base::estimate::Estimate;
use crate::base::ids::{EdgeId, FaceId};
use crate::base::name::Name;
use crate::job::answer::Answer;
use crate::job::model::Job;
use crate::job::quantities::{KindTotal, PitchTotal};
use crate::roof::analysis::drainage::{Catchment, Outlet};
use crate::roof::model::{Edge, EdgeKind, Face, FaceKind, Roof, SweepEvent};
use crate::wording::{About, estimate};
use crate::write::building_json::BuildingTwin;
use crate::write::dimensions_json::{DimensionsTwin, OpeningTwin, ShapeTwin};
use crate::write::each::Each;
use crate::write::framing_json::FramingTwin;
use crate::write::note_json::NoteTwin;
use crate::write::set_out_json::SetOutTwin;
use crate::write::survey_json::SurveyTwin;
use nalgebra::{Point2, Point3};
use serde::Serialize;
use std::collections::BTreeMap;

/// The format's name and version.
pub const FORMAT: &str = "eavewright-roof/1";

/// A solved roof as JSON.
#[derive(Serialize)]
pub struct RoofTwin<'a> {
    format: &'static str,
    title: &'a str,
    units: &'static str,
    faces: Each<'a, FaceTwin<'a>>,
    edges: Each<'a, EdgeTwin<'a>>,
    totals: TotalsTwin,
    dimensions: DimensionsTwin<'a>,
    openings: Vec<OpeningTwin<'a>>,
    set_out: Vec<SetOutTwin<'a>>,
    building: BuildingTwin,
    drainage: Each<'a, CatchmentTwin<'a>>,
    framing: FramingTwin<'a>,
    survey: SurveyTwin<'a>,
    notes: Vec<NoteTwin>,
    #[serde(skip_serializing_if = "Option::is_none")]
    steps: Option<Each<'a, StepTwin<'a>>>,
}

#[derive(Serialize)]
struct FaceTwin<'a> {
    name: NameTwin<'a>,
    block: Option<&'a str>,
    side: Option<&'a str>,
    sides: Vec<String>,
    kind: &'static str,
    area: Option<f64>,
    area_sd: Option<f64>,
    area_95: Option<f64>,
    plan_area: Option<f64>,
    plan_area_95: Option<f64>,
    openings_area: Option<f64>,
    net_area: Option<f64>,
    net_area_95: Option<f64>,
    pitch: Option<f64>,
    pitch_sd: Option<f64>,
    pitch_95: Option<f64>,
    off_95: Option<f64>,
    /// Why the area is `null`.
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<String>,
    aspect: Option<f64>,
    ring: Vec<[f64; 3]>,
    holes: Vec<Vec<[f64; 3]>>,
    edges: Vec<usize>,
    shape: Option<ShapeTwin>,
}

#[derive(Serialize)]
struct EdgeTwin<'a> {
    id: usize,
    kind: &'static str,
    /// `null` where it was not determined, like a face's area.
    length: Option<f64>,
    length_sd: Option<f64>,
    length_95: Option<f64>,
    plan_length: Option<f64>,
    plan_length_95: Option<f64>,
    slope: Option<f64>,
    slope_95: Option<f64>,
    /// Why the length is `null`.
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<String>,
    from: [f64; 3],
    to: [f64; 3],
    faces: Vec<NameTwin<'a>>,
    dihedral: Option<f64>,
    drains: Option<f64>,
}

/// A part of a face whose water takes one way.
#[derive(Serialize)]
struct CatchmentTwin<'a> {
    face: NameTwin<'a>,
    edge: Option<usize>,
    kind: &'static str,
    plan_area: f64,
    polygon: Vec<[f64; 2]>,
    holes: Vec<Vec<[f64; 2]>>,
    ends: Vec<EndTwin>,
}

/// Where it leaves the roof, and which share of it.
#[derive(Serialize)]
struct EndTwin {
    edge: Option<usize>,
    kind: &'static str,
    share: f64,
}

/// `null` where not determined: `reason` says why the whole is not.
#[derive(Serialize)]
struct TotalsTwin {
    faces: usize,
    area: Option<f64>,
    area_sd: Option<f64>,
    area_95: Option<f64>,
    plan_area: Option<f64>,
    plan_area_95: Option<f64>,
    openings: usize,
    openings_area: Option<f64>,
    net_area: Option<f64>,
    net_area_95: Option<f64>,
    walls_area: Option<f64>,
    walls_area_95: Option<f64>,
    volume: Option<f64>,
    volume_95: Option<f64>,
    ridge_height: Option<f64>,
    ridge_height_95: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<String>,
    by_pitch: Vec<PitchSum>,
    by_kind: BTreeMap<&'static str, KindSum>,
}

#[derive(Serialize)]
struct PitchSum {
    pitch: Option<f64>,
    area: Option<f64>,
    area_sd: Option<f64>,
    area_95: Option<f64>,
}

#[derive(Serialize)]
struct KindSum {
    count: usize,
    length: Option<f64>,
    length_sd: Option<f64>,
    length_95: Option<f64>,
}

#[derive(Serialize)]
struct StepTwin<'a> {
    height: f64,
    kind: &'static str,
    at: [f64; 2],
    sides: Vec<&'a str>,
}

impl<'a> RoofTwin<'a> {
    /// The twin of an answer. `steps` adds the events of the sweep. O(corners).
    #[must_use]
    pub fn new(job: &'a Job, answer: &'a Answer, steps: bool) -> Self {
        let roof = &answer.roof;
        let about = About::of(job, roof);
        let north = job.site.north;
        let face = move |(index, face)| face_twin(answer, FaceId::new(index), face, north);
        let edge = move |(index, edge)| edge_twin(answer, index, edge);
        let catchment = move |part| catchment_twin(roof, part);
        Self {
            format: FORMAT,
            title: &job.title,
            units: job.units.symbol(),
            faces: Each::new(move || roof.faces.iter().enumerate().map(face)),
            edges: Each::new(move || roof.edges.iter().enumerate().map(edge)),
            totals: totals(answer),
            dimensions: DimensionsTwin::of(job, answer),
            openings: answer.openings.iter().map(|opening| OpeningTwin::of(roof, opening)).collect(),
            set_out: SetOutTwin::all(answer),
            building: BuildingTwin::of(&answer.building),
            drainage: Each::new(move || answer.drainage.catchments.iter().map(catchment)),
            framing: FramingTwin::new(roof, &answer.framing, about.units),
            survey: SurveyTwin::new(job, &answer.survey),
            notes: NoteTwin::all(&about, &answer.findings),
            steps: steps.then(|| Each::new(|| roof.events.iter().map(step_twin))),
        }
    }
}

fn place(point: Point3<f64>) -> [f64; 3] {
    // Adding zero turns a negative zero into zero.
    [point.x + 0.0, point.y + 0.0, point.z + 0.0]
}

fn face_twin<'a>(answer: &'a Answer, id: FaceId, face: &'a Face, north: f64) -> FaceTwin<'a> {
    let (roof, of) = (&answer.roof, answer.of_face(id));
    FaceTwin {
        name: NameTwin(&face.id),
        block: face.block().map(Name::as_str),
        side: face.side().map(|side| side.side.as_str()),
        sides: face.side_names().iter().map(ToString::to_string).collect(),
        kind: match face.kind {
            FaceKind::Roof => "roof",
            FaceKind::Wall => "wall",
        },
        area: of.area.value(),
        area_sd: of.area.sd(),
        area_95: of.area.within_95(),
        plan_area: of.plan_area.value(),
        plan_area_95: of.plan_area.within_95(),
        openings_area: of.openings_area.value(),
        net_area: of.net_area.value(),
        net_area_95: of.net_area.within_95(),
        pitch: degrees(&of.pitch),
        pitch_sd: of.pitch.sd().map(f64::to_degrees),
        pitch_95: of.pitch.within_95().map(f64::to_degrees),
        off_95: of.off_95,
        reason: estimate::why(&of.area),
        aspect: aspect(face, north),
        ring: roof.ring(face).into_iter().map(place).collect(),
        holes: roof.holes(face).into_iter().map(|hole| hole.into_iter().map(place).collect()).collect(),
        edges: face.edges.iter().map(|edge| edge.index()).collect(),
        shape: ShapeTwin::of(roof, face).filter(|_| of.area.value().is_some()),
    }
}

/// Bearing water runs, degrees clockwise from north in 0..360; `None` for a level face.
pub(super) fn aspect(face: &Face, north: f64) -> Option<f64> {
    let down = face.plane.downslope()?;
    let bearing = (north + down.x.atan2(down.y)).to_degrees().rem_euclid(360.0);
    // The remainder of a tiny negative number rounds up to 360 itself.
    Some(if bearing >= 360.0 { 0.0 } else { bearing })
}

fn edge_twin<'a>(answer: &'a Answer, index: usize, edge: &Edge) -> EdgeTwin<'a> {
    let (roof, id) = (&answer.roof, EdgeId::new(index));
    let of = answer.of_edge(id);
    let carried = of.carries.value();
    EdgeTwin {
        id: index,
        kind: edge.kind.word(),
        length: of.length.value(),
        length_sd: of.length.sd(),
        length_95: of.length.within_95(),
        plan_length: of.plan_length.value(),
        plan_length_95: of.plan_length.within_95(),
        slope: degrees(&of.slope),
        slope_95: of.slope.within_95().map(f64::to_degrees),
        reason: estimate::why(&of.length),
        from: place(roof.at(edge.from)),
        to: place(roof.at(edge.to)),
        faces: edge.faces.iter().map(|&face| NameTwin::of(roof, face)).collect(),
        dihedral: of.dihedral.as_ref().and_then(degrees),
        drains: carried.filter(|area| *area > 0.0 || matches!(edge.kind, EdgeKind::Eave | EdgeKind::Valley)),
    }
}

fn catchment_twin<'a>(roof: &'a Roof, part: &Catchment) -> CatchmentTwin<'a> {
    let edge = |outlet: Outlet| outlet.edge().map(EdgeId::index);
    let ring = |ring: &Vec<Point2<f64>>| ring.iter().map(|place| [place.x + 0.0, place.y + 0.0]).collect();
    let end = |&(outlet, share): &(Outlet, f64)| EndTwin { edge: edge(outlet), kind: outlet.word(roof), share };
    CatchmentTwin {
        face: NameTwin::of(roof, part.face),
        edge: edge(part.outlet),
        kind: part.outlet.word(roof),
        plan_area: part.plan_area().into(),
        polygon: part.region.rings.first().map(ring).unwrap_or_default(),
        holes: part.region.rings.iter().skip(1).map(ring).collect(),
        ends: part.ends.iter().map(end).collect(),
    }
}

fn totals(answer: &Answer) -> TotalsTwin {
    let totals = answer.totals();
    let pitch = |sum: &PitchTotal| PitchSum {
        pitch: degrees(&sum.pitch),
        area: sum.area.value(),
        area_sd: sum.area.sd(),
        area_95: sum.area.within_95(),
    };
    let kind = |sum: &KindTotal| {
        let (length, length_95) = (sum.length.value(), sum.length.within_95());
        (sum.kind.word(), KindSum { count: sum.count, length, length_sd: sum.length.sd(), length_95 })
    };
    TotalsTwin {
        faces: totals.faces,
        area: totals.area.value(),
        area_sd: totals.area.sd(),
        area_95: totals.area.within_95(),
        plan_area: totals.plan_area.value(),
        plan_area_95: totals.plan_area.within_95(),
        openings: totals.openings,
        openings_area: totals.openings_area.value(),
        net_area: totals.net_area.value(),
        net_area_95: totals.net_area.within_95(),
        walls_area: totals.walls_area.value(),
        walls_area_95: totals.walls_area.within_95(),
        volume: totals.volume.value(),
        volume_95: totals.volume.within_95(),
        ridge_height: totals.ridge_height.value(),
        ridge_height_95: totals.ridge_height.within_95(),
        reason: estimate::why(&totals.area),
        by_pitch: totals.by_pitch.iter().map(pitch).collect(),
        by_kind: totals.by_kind.iter().map(kind).collect(),
    }
}

/// An angle in degrees.
fn degrees(angle: &Estimate) -> Option<f64> {
    angle.value().map(f64::to_degrees)
}

fn step_twin(event: &SweepEvent) -> StepTwin<'_> {
    StepTwin {
        height: event.height,
        kind: event.kind,
        at: [event.at.x + 0.0, event.at.y + 0.0],
        sides: event.sides.iter().map(|side| side.side.as_str()).collect(),
    }
}
