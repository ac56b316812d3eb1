//! What must hold of every roof before it is answered: one violation a file.

pub mod closed;
pub mod euler;
pub mod flat;
pub mod floor;
pub mod outline;
pub mod plan_area;
pub mod rim;
pub mod simple_faces;

use super::model::Roof;
use super::solid::Triangulator;
use nalgebra::Point2;

/// Something that does not hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Violation {
    /// What should hold, to follow "failed its check that".
    pub check: String,
    /// Names of the faces where it does not.
    pub faces: Vec<String>,
}

/// What a roof is held against.
#[derive(Clone, Copy, Debug)]
pub struct Held<'a> {
    /// The rings of its outline.
    pub outline: &'a [Vec<Point2<f64>>],
    /// The height of its foot.
    pub foot: f64,
    /// Plan area inside the outline.
    pub area: f64,
    /// The geometric tolerance that edges were contracted with.
    pub tolerance: f64,
    /// How well areas must add up.
    pub relative: f64,
}

/// All checks of a solved roof. O(n log n).
///
/// Together they leave only right solids: the faces' triangles have the faces' rings for a boundary, these glue to a
/// surface whose own boundary is the outline, and the walls below the outline and the floor close it.
///
/// # Errors
/// The first violation.
pub fn verify(roof: &Roof, held: &Held) -> Result<(), Violation> {
    closed::check(roof)?;
    let rings = rim::check(roof, held.outline, held.foot, held.tolerance)?;
    euler::check(roof, rings.len())?;
    flat::check(roof, held.tolerance)?;
    plan_area::check(roof, held.area, held.relative)?;
    let mut triangulator = Triangulator::default();
    simple_faces::check(roof, held, &mut triangulator)?;
    floor::check(roof, &rings, &mut triangulator)
}
