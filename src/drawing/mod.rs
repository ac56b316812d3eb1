//! Drawings free of any device or format: plan, true shapes, sections, net, and the sheet of a job.
//!
//! A drawing is ink on paper in millimetres ([`Drawing`]); the writers turn it into SVG, PDF and DXF. Every kind of
//! drawing is a function from a solved roof and a [`Context`] to pages.
//!
//! [`typeset`] knows paper, pages, labels, dimensions and tables and nothing of what is drawn; [`views`] draws a roof with
//! it; [`job_sheet`] puts views and tables in the order of work. Each knows those before it.

pub mod job_sheet;
pub mod typeset;
pub mod views;

pub use typeset::context::Context;
pub use typeset::figure::Figure;
pub use typeset::file_names::number_pages;
pub use typeset::model::{Anchor, Drawing, Item, Photo, Text, View};
pub use typeset::pen::{Pen, Tone};
