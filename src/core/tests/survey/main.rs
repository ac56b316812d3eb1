//! The adjustment, from its equations to what it answers, without a roof file.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod blame;
mod dual;
mod foreseen;
mod gable;
mod jacobians;
mod known;
mod lines;
mod minimum;
mod nist;
mod offset;
mod outside;
mod planar;
mod sheets;
mod undirected;
