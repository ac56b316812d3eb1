//! Hip and valley rafters.

use super::cut::at_edge;
use super::model::{Against, Carcass, EndCut, Home, Timber, TimberKind, Timbers};
use super::node::{Meetings, low_and_high};
use super::plan::{cross, inward, left_of, level};
use crate::base::ids::{EdgeId, FaceId};
use crate::base::plane::Plane;
use crate::base::tolerance;
use crate::roof::EdgeKind;
use crate::roof::model::classify;
use crate::roof::model::frame::FaceFrame;
use nalgebra::{Point3, Vector2, Vector3};

/// Adds every hip and valley.
pub(super) fn folds(carcass: &Carcass<'_>, meetings: &Meetings, timbers: &mut Timbers) {
    let roof = carcass.roof;
    for (index, edge) in roof.edges.iter().enumerate() {
        let id = EdgeId::new(index);
        let kind = match edge.kind {
            EdgeKind::Hip => TimberKind::Hip,
            EdgeKind::Valley => TimberKind::Valley,
            _ => continue,
        };
        let [low, high] = low_and_high(roof, id).map(|corner| roof.at(corner));
        let rise = high - low;
        // A level fold is a joint between rafters, no rafter itself.
        if rise.z <= classify::LEVEL * rise.norm() {
            continue;
        }
        if is_cut_through(carcass, &edge.faces, &low, &high) {
            timbers.cut_through.push(id);
            continue;
        }
        timbers.extend_with(fold(carcass, meetings, id, kind));
    }
}

/// Whether an opening of the faces beside it stands over a fold's line.
fn is_cut_through(carcass: &Carcass<'_>, faces: &[FaceId], low: &Point3<f64>, high: &Point3<f64>) -> bool {
    let along = (high - low).normalize();
    let mut openings = carcass.openings.iter().filter(|opening| faces.contains(&opening.face));
    openings.any(|opening| {
        let Some(frame) = FaceFrame::of(carcass.roof, &carcass.roof.faces[opening.face.index()]) else { return false };
        let on_line = opening.ring.iter().filter(|place| {
            let way = frame.to_space(place) - low;
            (way - along * way.dot(&along)).norm() <= tolerance::BESIDE
        });
        on_line.count() > 1
    })
}

fn fold(carcass: &Carcass<'_>, meetings: &Meetings, id: EdgeId, kind: TimberKind) -> Option<Timber> {
    let (roof, spec) = (carcass.roof, carcass.spec);
    let corners = low_and_high(roof, id);
    let line = corners.map(|corner| roof.at(corner));
    let along = (line[1] - line[0]).normalize();
    let plan = along.xy().try_normalize(f64::MIN_POSITIVE)?;
    let section = if kind == TimberKind::Hip { spec.sections.hip() } else { spec.sections.valley() };
    let faces: Vec<Plane> = roof.edges[id.index()].faces.iter().map(|face| roof.faces[face.index()].plane).collect();
    let side = level(left_of(plan));
    let up = along.cross(&side) * -1.0;
    let up = if up.z < 0.0 { -up } else { up };
    let is_backed = kind == TimberKind::Hip && spec.backed;
    // A lowered hip's top corners lie in the lower of both slopes there.
    let lowered = if kind == TimberKind::Hip && !is_backed { clears_by(&faces, &side, section.thickness) } else { 0.0 };
    let mut planes: Vec<Plane> = [side, -side]
        .iter()
        .map(|normal| Plane { normal: *normal, offset: normal.dot(&line[0].coords) + section.thickness / 2.0 })
        .collect();
    let top = up.dot(&(line[0].coords - Vector3::z() * lowered));
    if is_backed {
        planes.extend(faces.iter().copied());
    } else {
        planes.push(Plane { normal: up, offset: top });
    }
    planes.push(Plane { normal: -up, offset: section.depth - top });
    let ends = [0, 1].map(|end| {
        let mut cuts = meetings.cuts_of_fold(carcass, corners[end], id);
        cuts.extend(at_open_edges(carcass, id, end));
        let keep = if end == 0 { plan } else { -plan };
        cuts.retain(|cut| -cut.plane.normal.xy().dot(&keep) > tolerance::BESIDE);
        if cuts.is_empty() { vec![EndCut::plumb(&line[end], keep, Against::Mitre)] } else { cuts }
    });
    let backing = if is_backed { backing(&faces, &side, &up) } else { [0.0; 2] };
    Some(Timber { lowered, backing, ..Timber::new(kind, Home::Edge(id), line, section, planes, ends) })
}

/// How far a timber of a thickness is lowered, plumb, so that its top corners clear both slopes.
fn clears_by(faces: &[Plane], side: &Vector3<f64>, thickness: f64) -> f64 {
    // Half the thickness out to either side, each slope's height over the line.
    let at = |plane: &Plane, out: f64| -(plane.normal.dot(side) * out) / plane.normal.z;
    let left = faces.iter().map(|plane| at(plane, thickness / 2.0)).fold(0.0, f64::min);
    let right = faces.iter().map(|plane| at(plane, -thickness / 2.0)).fold(0.0, f64::min);
    -left.min(right)
}

/// How far the slopes lean from square across a hip's top: left and right, radians.
fn backing(faces: &[Plane], side: &Vector3<f64>, up: &Vector3<f64>) -> [f64; 2] {
    let lean = |to: f64| {
        let leaning = faces.iter().map(|plane| (plane.normal.dot(side) * to).atan2(plane.normal.dot(up)));
        leaning.fold(0.0, f64::max)
    };
    [lean(1.0), lean(-1.0)]
}

/// The cuts of a fold's end at eaves, verges, walls and pitch breaks of both its faces there. A valley's foot stands in an inner
/// corner and is cut square where both fascias meet.
fn at_open_edges(carcass: &Carcass<'_>, id: EdgeId, end: usize) -> Vec<EndCut> {
    let roof = carcass.roof;
    let corners = low_and_high(roof, id);
    let corner = corners[end];
    let plan = (roof.at(corners[1]) - roof.at(corners[0])).xy();
    let keep = if end == 0 { plan } else { -plan };
    let here = |face: &FaceId| -> Option<EndCut> {
        let of = &roof.faces[face.index()];
        let edge = of.edges.iter().copied().find(|other| {
            let ends = &roof.edges[other.index()];
            *other != id && (ends.from == corner || ends.to == corner)
        })?;
        let open = !matches!(roof.edges[edge.index()].kind, EdgeKind::Ridge | EdgeKind::Hip | EdgeKind::Valley);
        (open && inward(roof, of, edge) != Vector2::zeros()).then(|| at_edge(carcass, *face, edge, true))
    };
    let cuts: Vec<EndCut> = roof.edges[id.index()].faces.iter().filter_map(here).collect();
    let is_valley = roof.edges[id.index()].kind == EdgeKind::Valley;
    match cuts[..] {
        [a, b] if is_valley && end == 0 => {
            let (n, m) = (a.plane.normal.xy(), b.plane.normal.xy());
            let turn = cross(n, m);
            if turn.abs() < tolerance::STRAIGHT {
                return cuts;
            }
            // Where both lines meet, square across the valley.
            let x = (a.plane.offset * m.y - b.plane.offset * n.y) / turn;
            let y = (n.x * b.plane.offset - m.x * a.plane.offset) / turn;
            vec![EndCut::plumb(&Point3::new(x, y, 0.0), keep, a.against)]
        }
        _ => cuts,
    }
}
