//! Surveys: invented, recorded and simulated.

pub mod cases;
pub mod field;
pub mod invented;
pub mod random;
pub mod simulated;
