//! From footprints, or from faces by points, to a verified roof.

pub mod frame;
pub mod model;
pub mod opening;
pub mod points;
pub mod solid;

pub use model::{Edge, EdgeKind, Face, FaceKind, Roof};
