//! Answers and drawings in open formats: SVG, PDF, DXF, glTF, CSV, JSON.

pub mod dxf;
pub mod gltf;
pub mod html;
pub mod note_json;
pub mod obj;
pub mod palette;
pub mod pdf;
pub mod stl;
pub mod svg;
pub mod takeoff_json;
