//! How a roof comes about from the eaves up: what happens to the shrinking outline at which height, read from the solved
//! roof itself, so that joined blocks and faces by points tell their story too.

use super::cut::{Cut, CutLine};
use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::order::SortByNumber as _;
use crate::base::plane::Plane;
use crate::base::union_find::UnionFind;
use crate::roof::model::solid::Solid;
use crate::roof::model::{EdgeKind, Face, FaceKind, Roof};
use nalgebra::Vector3;
use std::collections::BTreeMap;

/// Something that happens on the way up.
#[derive(Clone, Debug, PartialEq)]
pub struct RiseEvent {
    /// Above datum, metres.
    pub height: f64,
    /// The corners where it happens: one, or those that level lines of this height join.
    pub corners: Vec<CornerId>,
    /// Sloping lines from below that end here.
    pub end: Vec<EdgeId>,
    /// Sloping lines that begin here.
    pub begin: Vec<EdgeId>,
    /// Level lines that are made here all at once: ridges, pitch breaks, tops.
    pub level: Vec<EdgeId>,
    /// Roof faces that have their highest place here: their sides are used up.
    pub used_up: Vec<FaceId>,
}

/// From the lowest eave to the highest point of the roof, metres above datum.
#[must_use]
pub fn span(roof: &Roof) -> [f64; 2] {
    let eaves = roof.edges.iter().filter(|edge| edge.kind == EdgeKind::Eave);
    let lowest = eaves.map(|edge| roof.at(edge.from).z.min(roof.at(edge.to).z)).reduce(f64::min);
    let all = || roof.corners.iter().map(|corner| corner.z);
    let low = lowest.or_else(|| all().reduce(f64::min)).unwrap_or_default();
    [low, all().reduce(f64::max).unwrap_or(low)]
}

/// The eaves' planes risen some way: what is left of the outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Risen {
    /// Above the lowest eave, metres.
    pub rise: f64,
    /// The level plane at that height.
    pub plane: Plane,
    /// The outline left.
    pub cut: Cut,
    /// What it still holds, square metres.
    pub area: f64,
    /// Pieces it has parted into, and courtyards in them.
    pub pieces: [usize; 2],
    /// How far sides have moved in, those of one pitch together, the flattest first.
    pub moves: Vec<Moved>,
}

/// Sides of one pitch that have moved in.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// Their pitch, radians.
    pub pitch: f64,
    /// How far, metres: the rise over the pitch's tangent.
    pub by: f64,
    /// The faces over them.
    pub faces: Vec<FaceId>,
}

/// Pitches nearer than this are told as one, radians.
const ONE_PITCH: f64 = 1e-6;

impl Risen {
    /// A share of the way, 0 to 1, from the lowest eave to the highest point. O(triangles + faces log faces).
    #[must_use]
    pub fn at(roof: &Roof, solid: &Solid, share: f64) -> Self {
        let [low, high] = span(roof);
        let rise = (high - low) * share;
        let plane = Plane { normal: Vector3::z(), offset: low + rise };
        let cut = Cut::of(solid, &plane);
        let outward = |line: &&CutLine| crate::base::polygon::vector_area(&line.places).z > 0.0;
        let outer = cut.lines.iter().filter(outward).count();
        Self {
            rise,
            plane,
            area: cut.area(&plane),
            pieces: [outer, cut.lines.len() - outer],
            cut,
            moves: moves(roof, rise),
        }
    }
}

fn moves(roof: &Roof, rise: f64) -> Vec<Moved> {
    let rises = |face: &Face| face.edges.iter().any(|edge| roof.edges[edge.index()].kind == EdgeKind::Eave);
    let mut faces: Vec<(f64, FaceId)> = roof
        .roof_faces()
        .map(|(id, face)| (face.plane.pitch(), id, face))
        .filter(|(pitch, _, face)| *pitch > 0.0 && rises(face))
        .map(|(pitch, id, _)| (pitch, id))
        .collect();
    faces.sort_by_number(|a| a.0);
    let mut moves: Vec<Moved> = Vec::new();
    for (pitch, face) in faces {
        match moves.last_mut().filter(|last| pitch - last.pitch <= ONE_PITCH) {
            Some(last) => last.faces.push(face),
            None => moves.push(Moved { pitch, by: rise / pitch.tan(), faces: vec![face] }),
        }
    }
    for moved in &mut moves {
        moved.faces.sort_unstable();
    }
    moves
}

/// Everything that happens above the eaves, lowest first. Corners whose heights differ by less than `tolerance` (metres)
/// and that a level line joins are one happening. O(corners log corners + edges).
#[must_use]
pub fn rise_events(roof: &Roof, tolerance: f64) -> Vec<RiseEvent> {
    let mut at_corner: Vec<Vec<EdgeId>> = vec![Vec::new(); roof.corners.len()];
    for (index, edge) in roof.edges.iter().enumerate().filter(|(_, edge)| !edge.kind.is_wall_only()) {
        for corner in [edge.from, edge.to] {
            at_corner[corner.index()].push(EdgeId::new(index));
        }
    }
    let is_level = |id: EdgeId| {
        let edge = &roof.edges[id.index()];
        (roof.at(edge.to).z - roof.at(edge.from).z).abs() <= tolerance
    };
    let group_of = groups(roof, is_level);
    let mut found: BTreeMap<usize, RiseEvent> = BTreeMap::new();
    for (index, edges) in at_corner.iter().enumerate().filter(|(_, edges)| !edges.is_empty()) {
        let corner = CornerId::new(index);
        let height = roof.at(corner).z;
        let event = found.entry(group_of[index]).or_insert_with(|| RiseEvent {
            height,
            corners: Vec::new(),
            end: Vec::new(),
            begin: Vec::new(),
            level: Vec::new(),
            used_up: Vec::new(),
        });
        event.corners.push(corner);
        for &id in edges {
            let edge = &roof.edges[id.index()];
            let list = if is_level(id) {
                &mut event.level
            } else if roof.at(if edge.from == corner { edge.to } else { edge.from }).z < height {
                &mut event.end
            } else {
                &mut event.begin
            };
            if !list.contains(&id) {
                list.push(id);
            }
        }
    }
    for (id, face) in roof.roof_faces() {
        let highest = face.ring.iter().copied().max_by(|a, b| roof.at(*a).z.total_cmp(&roof.at(*b).z));
        let top = highest.and_then(|corner| found.get_mut(&group_of[corner.index()]));
        if let Some(event) = top {
            event.used_up.push(id);
        }
    }
    let mut list: Vec<RiseEvent> =
        found.into_values().filter(|event| !event.end.is_empty() || is_break(roof, event)).collect();
    list.sort_by_number(|a| a.height);
    list
}

/// A level pitch break between verges that stand still still is something that happens.
fn is_break(roof: &Roof, event: &RiseEvent) -> bool {
    event.level.iter().any(|id| roof.edges[id.index()].kind == EdgeKind::PitchBreak)
}

/// A number for each corner, the same for corners that level lines join; eaves join nothing, or a whole outline would be
/// one place.
#[allow(clippy::cast_possible_truncation)]
fn groups(roof: &Roof, is_level: impl Fn(EdgeId) -> bool) -> Vec<usize> {
    let number = |corner: usize| corner as u32;
    let mut groups = UnionFind::new(roof.corners.len());
    for (index, edge) in roof.edges.iter().enumerate() {
        let joins = matches!(edge.kind, EdgeKind::Ridge | EdgeKind::PitchBreak | EdgeKind::Top | EdgeKind::Valley);
        if joins && is_level(EdgeId::new(index)) {
            groups.join(number(edge.from.index()), number(edge.to.index()));
        }
    }
    (0..roof.corners.len()).map(|corner| groups.root(number(corner)) as usize).collect()
}

impl RiseEvent {
    /// The roof faces that an edge lies between, walls left out.
    #[must_use]
    pub fn faces_of(roof: &Roof, edge: EdgeId) -> Vec<FaceId> {
        let faces = roof.edges[edge.index()].faces.iter().copied();
        faces.filter(|face| roof.faces[face.index()].kind == FaceKind::Roof).collect()
    }
}
