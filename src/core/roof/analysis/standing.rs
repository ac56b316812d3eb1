//! Where openings and dormers stand in their faces, as they are set out on site: along the eave from either end, up the slope
//! from the eave, down it from the ridge or whatever level edge ends the face above them. Metres, in the face's own frame.

use super::opening::CutOpening;
use crate::base::ids::{EdgeId, FaceId};
use crate::base::name::{Name, SideName};
use crate::base::tolerance::{self, SMALLEST};
use crate::roof::model::frame::FaceFrame;
use crate::roof::model::{EdgeKind, Face, FaceKind, Roof};
use nalgebra::Point2;

/// What stands in a face.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// What of an opening is cut from this face, by its number among the openings cut.
    Opening(usize),
    /// A dormer, by its name.
    Dormer(Name),
}

/// Where something stands in a face.
#[derive(Clone, Debug, PartialEq)]
pub struct SettingOut {
    /// What.
    pub what: Standing,
    /// In which face.
    pub face: FaceId,
    /// Along the eave from its left end seen from outside: to the left and to the right side of what stands there, metres.
    pub from_left: [f64; 2],
    /// Along the eave from its right end: to the right and to the left side; `None` where the face has no eave.
    pub from_right: Option<[f64; 2]>,
    /// Up the slope from the eave, or from the face's lowest point where it has none: to the lower and the upper side.
    pub up: [f64; 2],
    /// From the level edge above; `None` where hips or verges end the face above it.
    pub down: Option<Down>,
}

/// Down the slope from a level edge above.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Down {
    /// The edge: a ridge, a free top, a wall's foot, a break of the slope.
    pub edge: EdgeId,
    /// To the upper side of what stands there, metres.
    pub distance: f64,
}

/// A dormer by its name with the side of the face it stands in.
#[derive(Clone, Debug, PartialEq)]
pub struct Host {
    /// The dormer.
    pub dormer: Name,
    /// The side.
    pub side: SideName,
}

/// Where every opening and every dormer of a roof stands; those in level faces, which have no eave to measure from, are left
/// out. Openings come first, in their order. O((openings + dormers) · corners).
#[must_use]
pub fn set_out(roof: &Roof, openings: &[CutOpening], hosts: &[Host]) -> Vec<SettingOut> {
    let of_opening = |(index, opening): (usize, &CutOpening)| {
        let (face, frame) = framed(roof, opening.face)?;
        Some(placed(roof, (opening.face, face), &frame, Standing::Opening(index), &opening.ring))
    };
    let of_dormer = |host: &Host| {
        let mut faces = roof.roof_faces().filter(|(_, face)| face.is_of(&host.side));
        let found = faces.by_ref().filter_map(|(id, face)| {
            let frame = FaceFrame::of(roof, face)?;
            Some(((id, face), frame, in_plane(roof, face, &frame, &host.dormer)))
        });
        // Of several pieces over one side that in whose plane it meets the roof.
        let ((id, face), frame, ring) = found.max_by_key(|(.., ring)| ring.len())?;
        let is_area = ring.len() >= 3;
        is_area.then(|| placed(roof, (id, face), &frame, Standing::Dormer(host.dormer.clone()), &ring))
    };
    openings.iter().enumerate().filter_map(of_opening).chain(hosts.iter().filter_map(of_dormer)).collect()
}

fn framed(roof: &Roof, id: FaceId) -> Option<(&Face, FaceFrame)> {
    let face = roof.faces.get(id.index())?;
    Some((face, FaceFrame::of(roof, face)?))
}

/// Corners of a dormer's faces that lie in the plane of its host, in the host's frame.
fn in_plane(roof: &Roof, host: &Face, frame: &FaceFrame, dormer: &Name) -> Vec<Point2<f64>> {
    let own = roof.faces.iter().filter(|face| face.side().is_some_and(|side| side.block == *dormer));
    let corners = own.flat_map(|face| roof.ring(face));
    let mut places: Vec<Point2<f64>> = corners
        .filter(|corner| host.plane.distance(corner).abs() <= tolerance::BESIDE / 2.0)
        .map(|corner| frame.to_face(&corner))
        .collect();
    places.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    places.dedup_by(|a, b| (*a - *b).norm() <= SMALLEST);
    places
}

fn placed(
    roof: &Roof,
    (id, face): (FaceId, &Face),
    frame: &FaceFrame,
    what: Standing,
    ring: &[Point2<f64>],
) -> SettingOut {
    let reach = |pick: fn(&Point2<f64>) -> f64| {
        let all = ring.iter().map(pick);
        [all.clone().fold(f64::INFINITY, f64::min), all.fold(f64::NEG_INFINITY, f64::max)]
    };
    let (along, up) = (reach(|place| place.x), reach(|place| place.y));
    let right = right_end(roof, face, frame);
    SettingOut {
        what,
        face: id,
        from_left: along,
        from_right: right.map(|right| [right - along[1], right - along[0]]),
        up,
        down: level_above(roof, face, frame, along, up[1]),
    }
}

/// Eaves of one face no further apart up the slope are one line, metres: a measured one is never quite level.
const ONE_EAVE: f64 = 0.05;

/// How far the lowest eave reaches to the right.
fn right_end(roof: &Roof, face: &Face, frame: &FaceFrame) -> Option<f64> {
    let eaves = face.edges.iter().map(|id| &roof.edges[id.index()]).filter(|edge| edge.kind == EdgeKind::Eave);
    let ends = eaves.flat_map(|edge| [edge.from, edge.to]).map(|corner| frame.to_face(&roof.at(corner)));
    ends.filter(|end| end.y.abs() <= ONE_EAVE).map(|end| end.x).reduce(f64::max)
}

/// The lowest level edge over a stretch of the face that ends it upwards, at or above a height up the slope: of those over the
/// stretch, else of all.
fn level_above(roof: &Roof, face: &Face, frame: &FaceFrame, along: [f64; 2], up: f64) -> Option<Down> {
    let level = |&id: &EdgeId| {
        let edge = &roof.edges[id.index()];
        let [a, b] = [edge.from, edge.to].map(|corner| frame.to_face(&roof.at(corner)));
        let ends_it = match edge.kind {
            EdgeKind::Ridge | EdgeKind::Top | EdgeKind::PitchBreak => true,
            EdgeKind::Abutment => edge.faces.iter().any(|other| roof.faces[other.index()].kind == FaceKind::Wall),
            _ => false,
        };
        let is_level = (a.y - b.y).abs() <= tolerance::BESIDE;
        let height = f64::midpoint(a.y, b.y);
        let over = a.x.min(b.x) < along[1] && a.x.max(b.x) > along[0];
        (ends_it && is_level && height >= up - tolerance::BESIDE).then_some((!over, height, id))
    };
    let found = face.edges.iter().filter_map(level).min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    found.map(|(_, height, edge)| Down { edge, distance: (height - up).max(0.0) })
}
