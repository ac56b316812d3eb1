//! Where the water of a roof goes: which eave or valley each part of each face drains to, and how much every one carries.
//!
//! Water runs straight down a face. At a fold it runs on over the next face where that one falls away from the fold;
//! where it does not, the fold is a channel and carries the water down to its lower end (`flow`). Within a face only the
//! flow lines through its corners can part waters (`columns`); what lies further down parts them again, and those places
//! are carried back up along the flow (`trace`). So catchments are exact polygons, not samples.
//!
//! An eave is where water leaves the roof, also where a lower roof lies below it: it has a gutter or it drips. Where
//! several eaves meet at a valley's foot they share its water evenly, as gutters that meet do.

mod beside;
mod columns;
mod flow;
mod trace;

use crate::base::ids::{EdgeId, FaceId};
use crate::base::order::SortByNumber as _;
use crate::base::polygon_boolean::{self, Region};
use crate::base::units::PlanArea;
use crate::roof::model::Roof;
use crate::roof::model::finding::Finding;
pub use crate::roof::model::outlet::Outlet;
use beside::{leaves, roof_beside};
use columns::FlowFrame;
use flow::Flow;
use nalgebra::Point2;
use std::collections::BTreeMap;
use trace::Tracer;

impl Outlet {
    /// The word used in answers: the edge's kind, or "pond".
    #[must_use]
    pub fn word(self, roof: &Roof) -> &'static str {
        match self {
            Self::Edge(edge) => roof.edges[edge.index()].kind.word(),
            Self::Pond(_) | Self::Level(_) => "pond",
        }
    }
}

/// A connected part of a face, all of whose water takes one way.
#[derive(Clone, Debug, PartialEq)]
pub struct Catchment {
    /// The face, by its number in the roof.
    pub face: FaceId,
    /// The eave or valley that its water reaches first, folds that it crosses not counted.
    pub outlet: Outlet,
    /// Where it leaves the roof in the end, with the share that does there; shares sum to 1.
    pub ends: Vec<(Outlet, f64)>,
    /// In plan.
    pub region: Region,
}

impl Catchment {
    /// Its plan area. O(corners).
    #[must_use]
    pub fn plan_area(&self) -> PlanArea {
        PlanArea(self.region.area())
    }
}

/// The drainage of a roof.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drainage {
    /// In the order of the faces, within a face by outlet. Their plan areas add up to the roof's.
    pub catchments: Vec<Catchment>,
    /// Plan area whose water each edge carries, by edge, square metres: for an eave all that leaves over it, for a valley
    /// all that runs into it, directly or from a valley above.
    pub carried: Vec<f64>,
}

impl Drainage {
    /// Plan area whose water runs in or over an edge.
    #[must_use]
    pub fn carried_by(&self, edge: EdgeId) -> PlanArea {
        PlanArea(self.carried.get(edge.index()).copied().unwrap_or_default())
    }

    /// A finding for every place from which water has no way off the roof. O(catchments).
    #[must_use]
    pub fn findings(&self, roof: &Roof) -> Vec<Finding> {
        let mut ponds: BTreeMap<Outlet, (f64, Vec<FaceId>)> = BTreeMap::new();
        for catchment in &self.catchments {
            for &(end, share) in catchment.ends.iter().filter(|(end, _)| !matches!(end, Outlet::Edge(_))) {
                let (area, faces) = ponds.entry(end).or_default();
                *area += catchment.plan_area().0 * share;
                if !faces.contains(&catchment.face) {
                    faces.push(catchment.face);
                }
            }
        }
        let finding = |(at, (area, faces)): (Outlet, (f64, Vec<FaceId>))| {
            let beside = at.edge().map_or_else(Vec::new, |edge| roof.edges[edge.index()].faces.to_vec());
            Finding::NoWayOff { at, beside, faces, area }
        };
        ponds.into_iter().map(finding).collect()
    }
}

/// Finds where all water goes. Works on any roof of flat faces, joined or by points; openings are not looked at.
///
/// O(c²) for the c corners of a face, and the ways of its water below.
#[must_use]
pub fn drain(roof: &Roof) -> Drainage {
    let flow = Flow::new(roof);
    let mut tracer = Tracer::new(&flow);
    let mut drainage = Drainage { catchments: Vec::new(), carried: vec![0.0; roof.edges.len()] };
    for (id, face) in roof.roof_faces() {
        let Some(frame) = flow.frame(id) else {
            let rings = std::iter::once(roof.ring(face)).chain(roof.holes(face));
            let rings = rings.map(|ring| ring.iter().map(nalgebra::Point3::xy).collect()).collect();
            let outlet = Outlet::Level(id);
            let ends = vec![(outlet, 1.0)];
            drainage.catchments.push(Catchment { face: id, outlet, ends, region: Region { rings } });
            continue;
        };
        for (way, regions) in regions(roof, &mut tracer, id, frame) {
            let way = tracer.way(way).clone();
            for region in regions {
                let area = region.area();
                let over = way.ends.iter().filter(|(end, _)| !way.runs.iter().any(|(run, _)| end.edge() == Some(*run)));
                let carriers = over.filter_map(|(end, share)| Some((end.edge()?, *share)));
                for (edge, share) in carriers.chain(way.runs.iter().copied()) {
                    drainage.carried[edge.index()] += area * share;
                }
                drainage.catchments.push(Catchment { face: id, outlet: way.first, ends: way.ends.clone(), region });
            }
        }
    }
    drainage
}

/// The parts of a face by the way their water takes, in plan.
fn regions(roof: &Roof, tracer: &mut Tracer, face: FaceId, frame: &FlowFrame) -> Vec<(usize, Vec<Region>)> {
    // Neighbours share a whole flow line, so two sets of columns that do not touch are laid together at once.
    let mut strips: BTreeMap<usize, [Vec<Vec<Point2<f64>>>; 2]> = BTreeMap::new();
    let mut ends: Vec<f64> = Vec::new();
    let columns = tracer.columns_of(face);
    for column in columns.clone() {
        ends.push(tracer.column(column).w[0]);
        for part in tracer.parts(column) {
            ends.push(part.w[1]);
        }
    }
    ends.sort_by(f64::total_cmp);
    ends.dedup();
    for column in columns {
        for part in tracer.parts(column) {
            let [first, last] = part.w.map(|w| ends.partition_point(|end| *end < w));
            for at in first..last {
                let shape = tracer.column(column).between([ends[at], ends[at + 1]]);
                strips.entry(part.way).or_default()[at % 2].push(shape);
            }
        }
    }
    let stated = &roof.faces[face.index()];
    let corners = roof.ring(stated).into_iter().chain(roof.holes(stated).into_iter().flatten());
    let corners = CornersByPlace::new(corners.map(|corner| corner.xy()));
    strips
        .into_iter()
        .map(|(way, [even, odd])| {
            let parts = polygon_boolean::joined(&even, &odd).into_iter();
            (way, parts.map(|region| in_plan(&region, frame, &corners)).collect())
        })
        .collect()
}

/// A region back in plan, without corners that only the cutting made; corners of the face keep their very places.
fn in_plan(region: &Region, frame: &FlowFrame, corners: &CornersByPlace) -> Region {
    let near = frame.rounding();
    let plain = |ring: &Vec<Point2<f64>>| {
        let place = |place: &Point2<f64>| {
            let place = frame.back(place);
            corners.near(&place, near).unwrap_or(place)
        };
        without_straight(ring, near).iter().map(place).collect()
    };
    Region { rings: region.rings.iter().map(plain).collect() }
}

/// A ring without the corners at which it runs straight on, to within `near`, one after the other from the first; three
/// at least are kept. O(corners).
fn without_straight(ring: &[Point2<f64>], near: f64) -> Vec<Point2<f64>> {
    let mut kept: Vec<Point2<f64>> = Vec::with_capacity(ring.len());
    let Some(&last) = ring.last() else { return kept };
    for (at, &here) in ring.iter().enumerate() {
        let left = kept.len() + ring.len() - at;
        let before = kept.last().copied().unwrap_or(last);
        let after = ring.get(at + 1).or(kept.first()).copied().unwrap_or(here);
        let along = after - before;
        let off = (here - before).perp(&along).abs() / along.norm();
        if left <= 3 || off.is_nan() || off > near || (here - before).dot(&(after - here)) <= 0.0 {
            kept.push(here);
        }
    }
    kept
}

/// A face's corners in plan, to be found by place.
struct CornersByPlace {
    /// From west to east, each with its number round the face.
    sorted: Vec<(usize, Point2<f64>)>,
}

impl CornersByPlace {
    fn new(corners: impl Iterator<Item = Point2<f64>>) -> Self {
        let mut sorted: Vec<(usize, Point2<f64>)> = corners.enumerate().collect();
        sorted.sort_by_number(|a| a.1.x);
        Self { sorted }
    }

    /// The first round the face that is no farther from a place. O(log corners).
    fn near(&self, place: &Point2<f64>, distance: f64) -> Option<Point2<f64>> {
        let first = self.sorted.partition_point(|(_, corner)| corner.x < place.x - 2.0 * distance);
        let near = self.sorted[first..].iter().take_while(|(_, corner)| corner.x <= place.x + 2.0 * distance);
        let near = near.filter(|(_, corner)| (corner - place).norm() <= distance);
        near.min_by_key(|(number, _)| *number).map(|&(_, corner)| corner)
    }
}
