//! What lies beside an edge, as far as water is concerned.

use crate::base::ids::{EdgeId, FaceId};
use crate::roof::model::{EdgeKind, FaceKind, Roof};

/// Whether water that reaches an edge of a kind has left the roof.
pub(super) fn leaves(kind: EdgeKind) -> bool {
    kind == EdgeKind::Eave
}

/// The roof faces beside an edge.
pub(super) fn roof_beside(roof: &Roof, edge: EdgeId) -> impl Iterator<Item = FaceId> {
    roof.edges[edge.index()].faces.iter().copied().filter(|face| roof.faces[face.index()].kind == FaceKind::Roof)
}
