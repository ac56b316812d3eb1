//! Lengths, pitches and the plain words of the core.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod quantities;
