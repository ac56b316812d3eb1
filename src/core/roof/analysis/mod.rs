//! What a solved roof is asked: where water runs, what an opening takes and where it stands, where a plane cuts, what is
//! dimensioned.

pub mod chord;
pub mod clearance;
pub mod cut;
pub mod derivatives;
pub mod dimensions;
pub mod drainage;
pub mod opening;
pub mod rise;
pub mod section;
pub mod standing;
pub mod turn;
