//! Roof files, cards and photos as they are read, and what is said of mistakes in them.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod diagnostics;
mod editing;
mod formats;
mod keys;
mod photo_files;
mod reading;
mod reading_safely;
