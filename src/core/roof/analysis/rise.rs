//! How a roof comes about from the eaves up: what happens to the shrinking outline at which height, read from the solved
//! roof itself, so that joined blocks and faces by points tell their story too.

use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::union_find::UnionFind;
use crate::roof::model::{EdgeKind, FaceKind, Roof};
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
    list.sort_by(|a, b| a.height.total_cmp(&b.height));
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
