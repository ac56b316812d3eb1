//! Outlines from map files: `GeoJSON` (RFC 7946) and one feature a line (RFC 8142), `FlatGeobuf`, `GeoParquet`. A file is cut into
//! pieces one after the other, and pieces are read wherever a processor is free.

pub mod crs;
pub mod feature;
#[cfg(feature = "flatgeobuf")]
pub mod flatgeobuf;
pub mod geojson;
pub mod lines;
#[cfg(feature = "geoparquet")]
pub mod parquet;

use crate::job::features::Feature;
pub use feature::{Defaults, Row};
use std::io;

/// A piece of a file: some features that have not been read yet.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What it holds.
    pub content: Content,
    /// Bytes of the file up to its end, for progress; rows where a file has no such count.
    pub end: u64,
    /// How many features stand before it.
    pub before: u64,
    /// How many it holds.
    pub count: u64,
}

/// What a piece holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Content {
    /// Texts of features: each its line, and where it begins and ends in the text.
    Texts {
        /// The text.
        text: Vec<u8>,
        /// Line, first byte, byte after the last.
        features: Vec<(u64, usize, usize)>,
    },
    /// Rows with their geometries in the well-known binary form.
    Rows(Vec<Row>),
}

/// A file of features.
pub trait Pieces: Send {
    /// The next piece; `None` at the end. Takes memory for one piece alone.
    ///
    /// # Errors
    /// What the system says, or that the file is not what its name says.
    fn next_piece(&mut self) -> io::Result<Option<Piece>>;

    /// How large the whole is, in the unit of [`Piece::end`]; `None` for a stream.
    fn size(&self) -> Option<u64>;

    /// What the file says of its places, known at the latest after the first piece.
    fn system(&self) -> crs::System;
}

/// Reads a piece. O(its bytes).
#[must_use]
pub fn read(piece: &Piece, defaults: &Defaults) -> Vec<Feature> {
    match &piece.content {
        Content::Texts { text, features } => {
            features.iter().map(|&(line, from, to)| feature::of_text(line, &text[from..to], defaults)).collect()
        }
        Content::Rows(rows) => rows.iter().map(|row| feature::of_row(row, defaults)).collect(),
    }
}
