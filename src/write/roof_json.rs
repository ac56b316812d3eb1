//! The answer of `solve` as JSON: serialisable twins of the core's types, in the contract's order of keys.
//!
//! Lengths are metres, areas square metres, angles degrees, whatever the job's own units are.

use crate::base::ids::{EdgeId, FaceId};
use crate::base::name::Name;
use crate::job::answer::Answer;
use crate::job::model::Job;
use crate::roof::drainage::{Catchment, Outlet};
use crate::roof::model::{Edge, EdgeKind, Face, FaceKind, Roof, SweepEvent};
use crate::write::framing_json::FramingTwin;
use crate::write::note_json::NoteTwin;
use crate::write::survey_json::SurveyTwin;
use nalgebra::{Point2, Point3};
use serde::Serialize;
use std::collections::BTreeMap;

/// The format's name and version.
pub const FORMAT: &str = "eavewright-roof/1";

/// Pitches nearer than this, degrees, are summed as one in `by_pitch`: a thousandth is far below any reading.
const SAME_PITCH: f64 = 1e-3;

/// A solved roof as JSON.
#[derive(Serialize)]
pub struct RoofTwin<'a> {
    format: &'static str,
    title: &'a str,
    units: &'static str,
    faces: Vec<FaceTwin<'a>>,
    edges: Vec<EdgeTwin<'a>>,
    totals: Totals,
    drainage: Vec<CatchmentTwin<'a>>,
    framing: FramingTwin<'a>,
    survey: SurveyTwin<'a>,
    notes: Vec<NoteTwin>,
    #[serde(skip_serializing_if = "Option::is_none")]
    steps: Option<Vec<StepTwin<'a>>>,
}

#[derive(Serialize)]
struct FaceTwin<'a> {
    name: &'a str,
    block: Option<&'a str>,
    side: Option<&'a str>,
    sides: Vec<&'a str>,
    kind: &'static str,
    area: Option<f64>,
    area_sd: Option<f64>,
    plan_area: f64,
    openings_area: f64,
    pitch: f64,
    pitch_sd: Option<f64>,
    aspect: Option<f64>,
    ring: Vec<[f64; 3]>,
    holes: Vec<Vec<[f64; 3]>>,
    edges: Vec<usize>,
}

#[derive(Serialize)]
struct EdgeTwin<'a> {
    id: usize,
    kind: &'static str,
    /// `null` where it was not determined, like a face's area.
    length: Option<f64>,
    length_sd: Option<f64>,
    plan_length: f64,
    slope: f64,
    from: [f64; 3],
    to: [f64; 3],
    faces: Vec<&'a str>,
    dihedral: Option<f64>,
    drains: Option<f64>,
}

/// A part of a face whose water takes one way.
#[derive(Serialize)]
struct CatchmentTwin<'a> {
    face: &'a str,
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

#[derive(Serialize)]
struct Totals {
    /// `null` where no face is located.
    area: Option<f64>,
    area_sd: Option<f64>,
    plan_area: Option<f64>,
    volume: Option<f64>,
    ridge_height: Option<f64>,
    by_pitch: Vec<PitchSum>,
    by_kind: BTreeMap<&'static str, KindSum>,
}

#[derive(Serialize)]
struct PitchSum {
    pitch: f64,
    area: f64,
}

#[derive(Default, Serialize)]
struct KindSum {
    count: usize,
    length: f64,
}

#[derive(Serialize)]
struct StepTwin<'a> {
    height: f64,
    kind: &'static str,
    at: [f64; 2],
    sides: &'a [String],
}

impl<'a> RoofTwin<'a> {
    /// The twin of an answer. `steps` adds the events of the sweep. O(corners).
    #[must_use]
    pub fn new(job: &'a Job, answer: &'a Answer, steps: bool) -> Self {
        let roof = &answer.roof;
        let north = job.site.north;
        let faces = roof.faces.iter().enumerate();
        Self {
            format: FORMAT,
            title: &job.title,
            units: job.units.symbol(),
            faces: faces.map(|(index, face)| face_twin(answer, FaceId::new(index), face, north)).collect(),
            edges: roof.edges.iter().enumerate().map(|(index, edge)| edge_twin(answer, index, edge)).collect(),
            totals: totals(answer),
            drainage: answer.drainage.catchments.iter().map(|part| catchment_twin(roof, part)).collect(),
            framing: FramingTwin::new(roof, &answer.framing),
            survey: SurveyTwin::from(&answer.survey),
            notes: answer.notes.iter().map(NoteTwin::from).collect(),
            steps: steps.then(|| roof.events.iter().map(step_twin).collect()),
        }
    }
}

fn place(point: Point3<f64>) -> [f64; 3] {
    // Adding zero turns a negative zero into zero.
    [point.x + 0.0, point.y + 0.0, point.z + 0.0]
}

fn face_twin<'a>(answer: &'a Answer, id: FaceId, face: &'a Face, north: f64) -> FaceTwin<'a> {
    let roof = &answer.roof;
    let openings = answer.openings.iter().filter(|opening| opening.face == id);
    FaceTwin {
        name: &face.name,
        block: face.block.as_deref(),
        side: face.side.as_deref(),
        sides: face.sides.iter().map(Name::as_str).collect(),
        kind: match face.kind {
            FaceKind::Roof => "roof",
            FaceKind::Wall => "wall",
        },
        area: answer.area_of(id),
        area_sd: answer.spread.area_of(id),
        plan_area: if face.kind == FaceKind::Roof { roof.plan_area(face).0 } else { 0.0 },
        openings_area: openings.map(|opening| opening.area).fold(0.0, std::ops::Add::add),
        pitch: face.plane.pitch().to_degrees(),
        pitch_sd: answer.spread.face_pitch.get(id.index()).copied().flatten().map(f64::to_degrees),
        aspect: aspect(face, north),
        ring: roof.ring(face).into_iter().map(place).collect(),
        holes: roof.holes(face).into_iter().map(|hole| hole.into_iter().map(place).collect()).collect(),
        edges: face.edges.iter().map(|edge| edge.index()).collect(),
    }
}

/// Bearing water runs, degrees clockwise from north in 0..360; `None` for a level face.
fn aspect(face: &Face, north: f64) -> Option<f64> {
    let down = face.plane.downslope()?;
    let bearing = (north + down.x.atan2(down.y)).to_degrees().rem_euclid(360.0);
    // The remainder of a tiny negative number rounds up to 360 itself.
    Some(if bearing >= 360.0 { 0.0 } else { bearing })
}

fn edge_twin<'a>(answer: &'a Answer, index: usize, edge: &Edge) -> EdgeTwin<'a> {
    let roof = &answer.roof;
    EdgeTwin {
        id: index,
        kind: edge.kind.word(),
        length: answer.length_of(EdgeId::new(index)),
        length_sd: answer.spread.length_of(EdgeId::new(index)),
        plan_length: roof.plan_length(edge).0,
        slope: roof.slope(edge).to_degrees(),
        from: place(roof.at(edge.from)),
        to: place(roof.at(edge.to)),
        faces: edge.faces.iter().map(|face| roof.faces[face.index()].name.as_str()).collect(),
        dihedral: edge.dihedral.map(f64::to_degrees),
        drains: Some(answer.drainage.carried_by(EdgeId::new(index)).0)
            .filter(|area| *area > 0.0 || matches!(edge.kind, EdgeKind::Eave | EdgeKind::Valley)),
    }
}

fn catchment_twin<'a>(roof: &'a Roof, part: &Catchment) -> CatchmentTwin<'a> {
    let edge = |outlet: Outlet| outlet.edge().map(EdgeId::index);
    let ring = |ring: &Vec<Point2<f64>>| ring.iter().map(|place| [place.x + 0.0, place.y + 0.0]).collect();
    let end = |&(outlet, share): &(Outlet, f64)| EndTwin { edge: edge(outlet), kind: outlet.word(roof), share };
    CatchmentTwin {
        face: &roof.faces[part.face.index()].name,
        edge: edge(part.outlet),
        kind: part.outlet.word(roof),
        plan_area: part.plan_area().0,
        polygon: part.region.rings.first().map(ring).unwrap_or_default(),
        holes: part.region.rings.iter().skip(1).map(ring).collect(),
        ends: part.ends.iter().map(end).collect(),
    }
}

fn totals(answer: &Answer) -> Totals {
    let roof = &answer.roof;
    let is_there = !roof.faces.is_empty();
    let area: f64 = roof.roof_faces().map(|(_, face)| roof.area(face).0).sum();
    let plan_area: f64 = roof.roof_faces().map(|(_, face)| roof.plan_area(face).0).sum();
    Totals {
        area: is_there.then_some(area),
        area_sd: answer.spread.total_area,
        plan_area: is_there.then_some(plan_area),
        volume: roof.volume,
        ridge_height: roof.ridge_height(),
        by_pitch: by_pitch(roof),
        by_kind: by_kind(roof),
    }
}

/// Areas summed by pitch, flattest first.
fn by_pitch(roof: &Roof) -> Vec<PitchSum> {
    let mut pairs: Vec<(f64, f64)> =
        roof.roof_faces().map(|(_, face)| (face.plane.pitch().to_degrees(), roof.area(face).0)).collect();
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut sums: Vec<PitchSum> = Vec::new();
    for (pitch, area) in pairs {
        match sums.last_mut() {
            Some(sum) if pitch - sum.pitch < SAME_PITCH => sum.area += area,
            _ => sums.push(PitchSum { pitch, area }),
        }
    }
    sums
}

/// Counts and true lengths by kind, edges of walls alone left out.
fn by_kind(roof: &Roof) -> BTreeMap<&'static str, KindSum> {
    let mut sums: BTreeMap<&'static str, KindSum> = BTreeMap::new();
    let kinds = roof.edges.iter().filter(|edge| !edge.kind.is_wall_only());
    for edge in kinds {
        let sum = sums.entry(EdgeKind::word(edge.kind)).or_default();
        sum.count += 1;
        sum.length += roof.length(edge).0;
    }
    sums
}

fn step_twin(event: &SweepEvent) -> StepTwin<'_> {
    StepTwin { height: event.height, kind: event.kind, at: [event.at.x + 0.0, event.at.y + 0.0], sides: &event.sides }
}
