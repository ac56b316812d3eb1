//! What must hold of every roof before it is answered: one violation a file.

pub mod closed;
pub mod euler;
pub mod flat;
pub mod outline;
pub mod plan_area;
pub mod simple_faces;

use super::model::Roof;

/// Something that does not hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Violation {
    /// What should hold, to follow "failed its check that".
    pub check: String,
    /// Names of the faces where it does not.
    pub faces: Vec<String>,
}

/// All checks of a solved roof. `outline_area` is the plan area inside its outline, `tolerance` the geometric one that
/// edges were contracted with, `relative` how well areas must add up. O(n log n).
///
/// # Errors
/// The first violation.
pub fn verify(roof: &Roof, outline_area: f64, tolerance: f64, relative: f64) -> Result<(), Violation> {
    closed::check(roof)?;
    euler::check(roof)?;
    flat::check(roof, tolerance)?;
    plan_area::check(roof, outline_area, relative)?;
    simple_faces::check(roof, outline_area, relative, tolerance)
}
