//! Answers and drawings in open formats: SVG, PDF, DXF, glTF, IFC, `CityJSON`, CSV, JSON.

pub mod batch;
mod cells;
pub mod dimensions_json;
pub mod dxf;
mod each;
pub mod framing_json;
pub mod html;
mod layout_json;
pub mod model;
mod name;
pub mod note_json;
mod ods;
pub mod offer_json;
mod package;
pub mod page;
pub mod palette;
pub mod pdf;
mod pdf_tags;
pub mod repair_json;
pub mod roof_file;
pub mod roof_json;
pub mod spreadsheet;
pub mod survey_json;
pub mod svg;
pub mod takeoff_json;
pub mod timber_json;
mod xlsx;
