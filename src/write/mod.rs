//! Answers and drawings in open formats: SVG, PDF, DXF, glTF, CSV, JSON.

pub mod gltf;
pub mod obj;
pub mod palette;
pub mod stl;
pub mod svg;
