//! What to mind of cutting data, as data.

use crate::base::finding::{self, Severity};
use crate::base::ids::{EdgeId, FaceId};

/// A finding about cutting data.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// Lengths and cuts are geometry, of theoretical lines.
    GeometryOnly,
    /// Hips and valleys between faces of different pitch: backing differs a side and jacks do not meet in pairs.
    JacksNotInPairs {
        /// These.
        uneven: Vec<EdgeId>,
        /// The faces beside them.
        faces: Vec<FaceId>,
        /// How many hips and valleys there are in all.
        folds: usize,
    },
}

impl finding::Finding for Finding {
    fn code(&self) -> &'static str {
        match self {
            Self::GeometryOnly => "framing-geometry-only",
            Self::JacksNotInPairs { .. } => "jacks-not-in-pairs",
        }
    }

    fn severity(&self) -> Severity {
        Severity::Mind
    }

    fn faces(&self) -> Vec<FaceId> {
        match self {
            Self::GeometryOnly => Vec::new(),
            Self::JacksNotInPairs { faces, .. } => faces.clone(),
        }
    }

    #[allow(clippy::cast_precision_loss)]
    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::GeometryOnly => Vec::new(),
            Self::JacksNotInPairs { uneven, folds, .. } => {
                vec![("uneven", uneven.len() as f64), ("folds", *folds as f64)]
            }
        }
    }
}
