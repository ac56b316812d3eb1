//! What must hold whatever comes in: one check a file, each of any bytes. The targets of the fuzzer call them, and so do the
//! tests (`tests/job/fuzzed.rs`), over the corpora kept here and over files of the project with bytes changed.

pub mod card;
pub mod command;
pub mod import;
pub mod kernel;
pub mod outlines;
pub mod picture;
pub mod quantity;
pub mod roof_file;
pub mod survey;
