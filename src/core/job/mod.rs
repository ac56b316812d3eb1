//! A whole job and the stages run over it in order. Pure: text comes from `input`, answers leave through `write`.

pub mod answer;
pub mod building;
mod by_outlines;
mod by_points;
mod coverings;
mod edges;
pub mod fault;
pub mod features;
pub mod finding;
pub mod imported;
pub mod marking;
pub mod model;
mod moved;
mod north;
pub mod offer;
pub mod order;
pub mod outlines;
mod pitches;
mod propose;
pub mod quantities;
pub mod reading;
pub mod rings;
mod solve;
pub mod spread;
mod still;
mod unknown;
pub mod vary;

pub use answer::Answer;
pub use edges::measure_edges;
pub use fault::Failure;
pub use fault::Fault;
pub use finding::Finding;
pub use model::Job;
pub use solve::{Options, measured, solve};
