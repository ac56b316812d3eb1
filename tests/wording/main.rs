//! What is said of findings and errors.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod findings;
mod quantities;
mod refused;
