//! The command line as a script and a person see it.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod batch;
mod commands;
mod compare;
mod findings_first;
mod import;
mod writing_files;
