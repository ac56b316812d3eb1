//! Answers and drawings in open formats: SVG, PDF, DXF, glTF, CSV, JSON.

mod cells;
pub mod cityjson;
pub mod dimensions_json;
pub mod dxf;
mod each;
pub mod framing_json;
pub mod gltf;
pub mod html;
mod layout_json;
mod name;
pub mod note_json;
pub mod obj;
mod ods;
pub mod offer_json;
mod package;
pub mod palette;
pub mod pdf;
mod pdf_tags;
pub mod repair_json;
pub mod roof_json;
pub mod spreadsheet;
pub mod stl;
pub mod survey_json;
pub mod svg;
pub mod takeoff_json;
mod xlsx;
