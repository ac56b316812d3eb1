//! The window and its pictures, drawn without a display.
#![cfg(feature = "viewer")]
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod renderer;
mod shot;
mod state;
mod views;
mod window;
