//! The only place where nalgebra and parry's own vector types meet.

use nalgebra::{Point3, Vector3};
use parry3d::bounding_volume::{Aabb, BoundingVolume as _};
use parry3d::math::{Pose, Vector};
use parry3d::query;
use parry3d::shape::{ConvexPolyhedron, Shape as _};

/// To parry.
#[must_use]
pub fn to_parry(point: &Point3<f64>) -> Vector {
    Vector::new(point.x, point.y, point.z)
}

/// From parry.
#[must_use]
pub fn from_parry(vector: Vector) -> Vector3<f64> {
    Vector3::new(vector.x, vector.y, vector.z)
}

/// A convex body by its corners, for asking whether two reach into one another.
#[derive(Clone, Debug)]
pub struct Hull {
    body: ConvexPolyhedron,
    extent: Aabb,
}

impl Hull {
    /// The hull of corners; `None` where they span no body. O(corners log corners).
    #[must_use]
    pub fn of(corners: &[Point3<f64>]) -> Option<Self> {
        let corners: Vec<Vector> = corners.iter().map(to_parry).collect();
        let body = ConvexPolyhedron::from_convex_hull(&corners)?;
        let extent = body.compute_aabb(&Pose::identity());
        Some(Self { body, extent })
    }

    /// How deep another reaches into it, metres; 0 where they touch or stand apart. Near O(corners).
    #[must_use]
    pub fn overlap(&self, other: &Self) -> f64 {
        if !self.extent.intersects(&other.extent) {
            return 0.0;
        }
        let here = Pose::identity();
        let touch = query::contact(&here, &self.body, &here, &other.body, 0.0).ok().flatten();
        touch.map_or(0.0, |touch| (-touch.dist).max(0.0))
    }

    /// From where to where it reaches along x, metres.
    #[must_use]
    pub fn reach(&self) -> [f64; 2] {
        [self.extent.mins.x, self.extent.maxs.x]
    }
}
