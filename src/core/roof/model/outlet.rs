//! Where water goes.

use crate::base::ids::{EdgeId, FaceId};

/// What water reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Outlet {
    /// An edge: an eave, a valley, a verge that it runs off, the foot of a wall it runs along.
    Edge(EdgeId),
    /// A channel along this edge from which it has no way on.
    Pond(EdgeId),
    /// A level face: it has no way at all.
    Level(FaceId),
}

impl Outlet {
    /// The edge, where it has one.
    #[must_use]
    pub fn edge(self) -> Option<EdgeId> {
        match self {
            Self::Edge(edge) | Self::Pond(edge) => Some(edge),
            Self::Level(_) => None,
        }
    }
}
