//! Roof files and material cards, read with every mistake reported in one go.
//!
//! The text becomes a tree that knows where everything stands (`document`), which is walked by hand: each getter of
//! `reader` and `measures` either gives a value or says what is wrong with it and lets the walk go on. `schema` holds
//! every table with its keys. What comes out is a [`Job`](crate::job::Job) in metres and radians, and a [`SourceMap`] from the job's
//! places back to the text.

mod bare_unit;
mod block;
pub mod card;
mod card_goods;
mod card_values;
mod cards;
mod circles;
mod covering;
mod datum;
mod document;
pub mod edit;
mod files;
mod fittings;
mod framing;
mod image_facts;
pub mod import;
mod measures;
mod methods;
mod names;
mod nearest;
mod node;
mod observations;
mod offer;
mod outline_check;
pub mod outlines;
mod photos;
pub mod picture;
mod points;
pub mod prices;
mod problems;
mod reader;
mod regular;
mod repair;
mod reported;
mod ring;
mod role;
mod roof_file;
pub mod schema;
mod sheets;
mod source_map;
mod values;

pub(crate) use files::unread;
pub use files::{Beside, Files, NoFiles, whole};
pub use roof_file::Read;
pub use schema::covering::PRICED;
pub use source_map::SourceMap;

use crate::base::diagnostic::Diagnostic;

/// Reads a roof file.
///
/// `name` is what the user calls the file; `files` serves the photos and cards it names. Besides the job come warnings
/// and notes. Linear in the text, apart from names, which are looked up in order.
///
/// # Errors
/// Everything that is wrong with it, in file order; warnings and notes among it.
pub fn read(name: &str, text: &str, files: &dyn Files) -> Result<Read, Vec<Diagnostic>> {
    roof_file::read(name, text, files, true)
}

/// The same of a file that need not describe a roof yet: what was measured can be worked with before.
///
/// # Errors
/// As [`read`], but that a file without a roof is none.
pub fn read_measurements(name: &str, text: &str, files: &dyn Files) -> Result<Read, Vec<Diagnostic>> {
    roof_file::read(name, text, files, false)
}
