//! The program itself in a real window; a harness of its own, since nothing else may take its time.
#![cfg(all(feature = "viewer", target_os = "linux"))]
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod display;
#[path = "../viewer/renderer.rs"]
mod renderer;
#[allow(dead_code)]
#[path = "../viewer/state.rs"]
mod state;
mod typing;
