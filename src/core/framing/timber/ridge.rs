//! Ridge boards: ridges in one line are one board, cut where an opening stands astride them.

use super::cut::at_edge;
use super::model::{Against, Carcass, EndCut, Home, Timber, TimberKind, Timbers};
use super::node::Meetings;
use super::plan::{left_of, level};
use super::run::RidgeRun;
use crate::base::ids::{CornerId, EdgeId};
use crate::base::order::SortByNumber as _;
use crate::base::plane::Plane;
use crate::base::tolerance;
use crate::roof::Roof;
use crate::roof::model::frame::FaceFrame;
use nalgebra::{Vector2, Vector3};

/// Adds the boards of every run.
pub(super) fn boards(carcass: &Carcass<'_>, meetings: &Meetings, timbers: &mut Timbers) {
    let Some(section) = carcass.spec.sections.ridge else { return };
    for (index, run) in meetings.runs.iter().enumerate() {
        let roof = carcass.roof;
        let (start, end) = (run.corners[0], run.corners[run.corners.len() - 1]);
        let line = [roof.at(start), roof.at(end)];
        let along = (line[1] - line[0]).normalize();
        let ends = [0, 1].map(|end| {
            let cuts = meetings.cuts_of_ridge(carcass, index, end);
            if cuts.is_empty() { free_end(carcass, run, end) } else { cuts }
        });
        let mut planes = sides_of(carcass, run, section.thickness, section.depth, along);
        // The slopes of the folds at either end go on down over the board's end.
        for (corner, away) in [(start, run.direction), (end, -run.direction)] {
            planes.extend(falling_beyond(roof, corner, -away));
        }
        let lowered = lowered(roof, run, section.thickness);
        let gaps = gaps(carcass, run);
        let mut from = ends[0].clone();
        for gap in gaps.into_iter().chain([None]) {
            let to = match gap {
                Some([low, _]) => vec![across(roof, start, run.direction, low, -1.0)],
                None => ends[1].clone(),
            };
            let (home, planes) = (Home::Edge(run.edges[0]), planes.clone());
            let board = Timber::new(TimberKind::Ridge, home, line, section, planes, [from, to]);
            timbers.keep(Timber { lowered, ..board });
            from = match gap {
                Some([_, high]) => vec![across(roof, start, run.direction, high, 1.0)],
                None => Vec::new(),
            };
        }
    }
}

/// A cut square across a run, so far from its start.
fn across(roof: &Roof, start: CornerId, direction: Vector2<f64>, at: f64, keep: f64) -> EndCut {
    EndCut::plumb(&(roof.at(start) + level(direction) * at), direction * keep, Against::Trimmer)
}

/// Sides, both slopes, top and bottom of a run's board.
fn sides_of(carcass: &Carcass<'_>, run: &RidgeRun, thickness: f64, depth: f64, along: Vector3<f64>) -> Vec<Plane> {
    let roof = carcass.roof;
    let at = roof.at(run.corners[0]);
    let side = level(left_of(run.direction));
    let mut planes: Vec<Plane> = [side, -side]
        .iter()
        .map(|normal| Plane { normal: *normal, offset: normal.dot(&at.coords) + thickness / 2.0 })
        .collect();
    let top = (Vector3::z() - along * along.z).normalize();
    let over = top.dot(&(at.coords - Vector3::z() * lowered(roof, run, thickness)));
    planes.push(Plane { normal: top, offset: over });
    planes.push(Plane { normal: -top, offset: depth - over });
    planes
}

/// How far a board's flat top lies under the ridge so that both slopes clear it, plumb, metres.
fn lowered(roof: &Roof, run: &RidgeRun, thickness: f64) -> f64 {
    let beside = run.edges.iter().flat_map(|edge| &roof.edges[edge.index()].faces);
    let steepest = beside.map(|face| roof.faces[face.index()].plane.pitch().tan()).fold(0.0, f64::max);
    thickness / 2.0 * steepest
}

/// The planes of faces at a corner that fall away in a direction.
fn falling_beyond(roof: &Roof, corner: CornerId, ahead: Vector2<f64>) -> Vec<Plane> {
    let here = roof.roof_faces().filter(|(_, face)| face.ring.contains(&corner));
    let falls = |plane: &Plane| plane.downslope().is_some_and(|down| down.dot(&ahead) > 0.5);
    here.map(|(_, face)| face.plane).filter(falls).collect()
}

/// The cut of a ridge's end where nothing but verges, walls or free edges meet it.
fn free_end(carcass: &Carcass<'_>, run: &RidgeRun, end: usize) -> Vec<EndCut> {
    let roof = carcass.roof;
    let last = run.corners.len() - 1;
    let (corner, edge, keep) = if end == 0 {
        (run.corners[0], run.edges[0], run.direction)
    } else {
        (run.corners[last], run.edges[last - 1], -run.direction)
    };
    let faces = &roof.edges[edge.index()].faces;
    let ends_here = |id: &EdgeId| {
        let of = &roof.edges[id.index()];
        *id != edge && (of.from == corner || of.to == corner)
    };
    let beside = faces.iter().filter_map(|face| {
        let here = roof.faces[face.index()].edges.iter().find(|id| ends_here(id))?;
        Some(at_edge(carcass, *face, *here, true))
    });
    let cuts: Vec<EndCut> = beside.filter(|cut| -cut.plane.normal.xy().dot(&keep) > tolerance::BESIDE).collect();
    if cuts.is_empty() { vec![EndCut::plumb(&roof.at(corner), keep, Against::Wall)] } else { cuts }
}

/// Where openings stand astride a run: from where to where along it, in order; each `Some`.
fn gaps(carcass: &Carcass<'_>, run: &RidgeRun) -> Vec<Option<[f64; 2]>> {
    let roof = carcass.roof;
    let start = roof.at(run.corners[0]);
    let beside: Vec<_> = run.edges.iter().flat_map(|edge| &roof.edges[edge.index()].faces).copied().collect();
    let mut gaps: Vec<[f64; 2]> = Vec::new();
    for opening in carcass.openings.iter().filter(|opening| beside.contains(&opening.face)) {
        let Some(frame) = FaceFrame::of(roof, &roof.faces[opening.face.index()]) else { continue };
        let on_line = opening.ring.iter().filter_map(|place| {
            let way = frame.to_space(place) - start;
            let at = way.xy().dot(&run.direction);
            ((way.xy() - run.direction * at).norm() <= tolerance::BESIDE).then_some(at)
        });
        let (low, high) = on_line.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), at| (l.min(at), h.max(at)));
        if high - low > tolerance::BESIDE {
            match gaps.iter_mut().find(|gap| gap[0] <= high && low <= gap[1]) {
                Some(gap) => *gap = [gap[0].min(low), gap[1].max(high)],
                None => gaps.push([low, high]),
            }
        }
    }
    gaps.sort_by_number(|a| a[0]);
    gaps.into_iter().map(Some).collect()
}
