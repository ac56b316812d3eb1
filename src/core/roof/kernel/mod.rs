//! Makes roofs: the sweep of an outline, the envelope of joined blocks, faces by points; and the solid that leaves.

pub mod assemble;
pub mod dormer;
pub mod envelope;
pub mod error;
pub mod options;
pub mod points;
pub mod policies;
pub mod run_in;
pub mod shell;
pub mod solve;
pub mod stopping;
pub mod sweep;
