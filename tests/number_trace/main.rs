//! No orphan number: what a person reads in text, tables, sheet, drawings and window stands in the answers' JSON.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod agreement;
mod answers;
mod case;
mod exceptions;
mod jobs;
mod printed;
#[cfg(feature = "viewer")]
#[path = "../viewer/renderer.rs"]
mod renderer;
#[cfg(feature = "viewer")]
#[allow(dead_code)]
#[path = "../viewer/state.rs"]
mod state;
mod tables;
mod text;
#[cfg(feature = "viewer")]
mod window;
#[cfg(feature = "viewer")]
mod worked_out;
