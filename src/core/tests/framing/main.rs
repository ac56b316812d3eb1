//! Cutting data.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod counts;
mod published;
mod tables;
mod timber;
mod vectors;
