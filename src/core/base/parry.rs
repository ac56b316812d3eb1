//! The only place where nalgebra and parry's own vector types meet.

use nalgebra::{Point3, Vector3};
use parry3d::math::Vector;

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
