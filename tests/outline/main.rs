//! Outlines and overhangs.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod overhang;
