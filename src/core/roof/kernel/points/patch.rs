//! A face on its way from points to a roof.

use crate::base::ids::{PlaneId, PointId};
use crate::base::plane::Plane;
use crate::roof::model::FaceKind;

/// A face's best plane before it was met with its neighbours'.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnFit {
    /// The plane.
    pub plane: Plane,
    /// Its points in the order of the face's ring, with the weight of each one's distance from the plane: 1 over its
    /// variance, per square metre.
    pub points: Vec<(PointId, f64)>,
}

/// One face on its way.
#[derive(Clone, Debug)]
pub(crate) struct Patch {
    /// Which face it is.
    pub id: PlaneId,
    /// The name it was given.
    pub name: String,
    /// Its points; anticlockwise seen from outside once oriented.
    pub ring: Vec<PointId>,
    /// Weight of each of them in the fit, in the same order, per square metre.
    pub weights: Vec<f64>,
    /// Standard deviation of a point's distance from the plane.
    pub sigma: f64,
    /// Its plane, normal outwards.
    pub plane: Plane,
    /// Root mean square distance of its points.
    pub misfit: f64,
    /// Roof or wall (within 1° of plumb).
    pub kind: FaceKind,
}

impl Patch {
    /// How it lies by its own points alone.
    pub(crate) fn own_fit(&self) -> OwnFit {
        OwnFit { plane: self.plane, points: self.ring.iter().copied().zip(self.weights.iter().copied()).collect() }
    }
}
