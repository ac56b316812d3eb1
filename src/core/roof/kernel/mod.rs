//! Makes roofs: the sweep of an outline, the envelope of joined blocks, faces by points.

pub mod assemble;
pub mod dormer;
pub mod envelope;
pub mod error;
pub mod points;
pub mod policies;
pub mod solve;
pub mod sweep;
