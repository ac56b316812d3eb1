//! Cutting data.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod tables;
mod timber;
