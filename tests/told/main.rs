//! No orphan number: what a person reads in text, tables, sheet, drawings and window stands in the answers' JSON.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod answers;
#[cfg(feature = "viewer")]
#[allow(dead_code)]
#[path = "../viewer/desk.rs"]
mod desk;
mod exceptions;
mod jobs;
mod printed;
#[cfg(feature = "viewer")]
#[path = "../viewer/renderer.rs"]
mod renderer;
mod text;
#[cfg(feature = "viewer")]
mod window;
