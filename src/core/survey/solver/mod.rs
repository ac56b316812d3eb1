//! Least squares free of any surveying: sparse rows, exact constraints, a skyline Cholesky factor, Marquardt's
//! iteration and the analysis of its result.

pub mod cofactor;
pub mod elimination;
mod inverse;
pub mod marquardt;
pub mod rows;
pub mod skyline;
