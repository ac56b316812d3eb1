//! The closed solid of a roof and its walls down to the datum, as triangles: for volumes, pictures and export.

use crate::base::ids::FaceId;
use nalgebra::Point3;

/// A closed, outward-facing triangle mesh. Every edge is shared by exactly two triangles that run along it in opposite
/// directions (for a roof without volume, the roof faces alone, open).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Solid {
    /// Places, metres.
    pub positions: Vec<Point3<f64>>,
    /// Anticlockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
    /// The face each triangle belongs to; `None` for walls below the outline and the floor.
    pub face_of: Vec<Option<FaceId>>,
}
