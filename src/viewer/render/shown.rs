//! The answer on show: what the panels and the 3D view read.

use super::scene::Scene;
use crate::base::ids::{EdgeId, FaceId};
use crate::base::name::SideName;
use crate::roof::FaceKind;
use crate::viewer::backend::{Answered, Unsure};
use std::sync::Arc;

/// The last answer that could be given.
pub struct Shown {
    /// The answer.
    pub answered: Answered,
    /// Its scene.
    pub scene: Arc<Scene>,
    /// How unsure it is.
    pub unsure: Unsure,
}

impl Shown {
    /// An answer with its scene.
    #[must_use]
    pub fn new(answered: Answered, scene: Scene) -> Self {
        let unsure = answered.unsure();
        Self { answered, scene: Arc::new(scene), unsure }
    }

    /// The face after or before one, roof faces only.
    #[must_use]
    pub fn beside(&self, face: Option<FaceId>, forward: bool) -> Option<FaceId> {
        let faces: Vec<FaceId> = self.answered.answer.roof.roof_faces().map(|(id, _)| id).collect();
        let place = face.and_then(|face| faces.iter().position(|&id| id == face));
        match (place, forward) {
            (None, true) => faces.first().copied(),
            (None, false) => faces.last().copied(),
            (Some(at), true) => faces.get((at + 1) % faces.len().max(1)).copied(),
            (Some(at), false) => faces.get((at + faces.len() - 1) % faces.len().max(1)).copied(),
        }
    }

    /// The roof face that rises from a side of a block; `None` where no face does.
    #[must_use]
    pub(crate) fn face_of_side(&self, block: &str, side: &str) -> Option<FaceId> {
        self.answered.answer.roof.face_over(&SideName::new(block, side))
    }

    /// Edges of a face, longest first, without those of walls.
    #[must_use]
    pub(crate) fn edges_of(&self, face: FaceId) -> Vec<EdgeId> {
        let roof = &self.answered.answer.roof;
        let Some(face) = roof.faces.get(face.index()) else { return Vec::new() };
        let own = |id: &EdgeId| face.kind == FaceKind::Wall || !roof.edges[id.index()].kind.is_wall_only();
        let mut edges: Vec<EdgeId> = face.edges.iter().copied().filter(own).collect();
        edges.sort_by(|a, b| {
            let length = |id: &EdgeId| roof.length(&roof.edges[id.index()]);
            length(b).total_cmp(&length(a))
        });
        edges
    }
}
