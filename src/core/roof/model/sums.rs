//! Sums over a roof, each worked out here and nowhere else.

use super::{EdgeKind, FaceKind, Roof};
use crate::base::ids::{EdgeId, FaceId};
use crate::base::order::SortByNumber as _;
use crate::base::tolerance::SAME_PITCH;
use crate::base::units::{PlanArea, TrueArea, TrueLength};
use std::collections::BTreeMap;

impl Roof {
    /// Area of all roof faces on the slope, openings not taken off. O(corners).
    #[must_use]
    pub fn total_area(&self) -> TrueArea {
        self.roof_faces().map(|(_, face)| self.area(face)).sum()
    }

    /// Area of all roof faces in plan. O(corners).
    #[must_use]
    pub fn total_plan_area(&self) -> PlanArea {
        self.roof_faces().map(|(_, face)| self.plan_area(face)).sum()
    }

    /// Area of all walls: gables, cheeks and other plumb parts above the outline. O(corners).
    #[must_use]
    pub fn walls_area(&self) -> TrueArea {
        self.faces.iter().filter(|face| face.kind == FaceKind::Wall).map(|face| self.area(face)).sum()
    }

    /// Length of several edges together. O(edges).
    #[must_use]
    pub fn length_of(&self, edges: &[EdgeId]) -> TrueLength {
        edges.iter().map(|edge| self.length(&self.edges[edge.index()])).sum()
    }

    /// Area of several faces together, openings not taken off. O(corners).
    #[must_use]
    pub(crate) fn area_of(&self, faces: &[FaceId]) -> TrueArea {
        faces.iter().map(|face| self.area(&self.faces[face.index()])).sum()
    }

    /// The edges of each kind, those of walls alone left out, in the order of [`EdgeKind`]. O(edges).
    #[must_use]
    pub fn edges_by_kind(&self) -> BTreeMap<EdgeKind, Vec<EdgeId>> {
        let mut groups: BTreeMap<EdgeKind, Vec<EdgeId>> = BTreeMap::new();
        for (index, edge) in self.edges.iter().enumerate().filter(|(_, edge)| !edge.kind.is_wall_only()) {
            groups.entry(edge.kind).or_default().push(EdgeId::new(index));
        }
        groups
    }

    /// Roof faces of one pitch, flattest first, each group led by its flattest; no group is empty. O(n log n) in the faces.
    #[must_use]
    pub(crate) fn faces_by_pitch(&self) -> Vec<Vec<FaceId>> {
        let mut faces: Vec<(f64, FaceId)> = self.roof_faces().map(|(id, face)| (face.plane.pitch(), id)).collect();
        faces.sort_by_number(|a| a.0);
        let mut groups: Vec<(f64, Vec<FaceId>)> = Vec::new();
        for (pitch, face) in faces {
            match groups.last_mut() {
                Some((first, members)) if pitch - *first < SAME_PITCH => members.push(face),
                _ => groups.push((pitch, vec![face])),
            }
        }
        groups.into_iter().map(|(_, members)| members).collect()
    }
}
