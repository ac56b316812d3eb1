//! Whole jobs through every stage.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod building;
mod fuzzed;
mod pitch_sigma;
mod pitch_spread;
mod stages;
