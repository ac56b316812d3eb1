//! The sheets that overhangs are in a solid, and the tolerance of the roof that they hang on.

use crate::base::polygon::{extent, signed_area};
use crate::base::tolerance::default_for;
use crate::roof::model::Roof;
use nalgebra::Point3;

/// How many tolerances an overhang's sheet is thick.
const SHEET: f64 = 100.0;

/// How thick the sheets of a roof's overhangs are in its solid, metres.
#[must_use]
pub fn thickness(roof: &Roof) -> f64 {
    SHEET * tolerance(roof)
}

/// Places of a roof that are nearer in plan are one, metres.
pub fn tolerance(roof: &Roof) -> f64 {
    let plan: Vec<_> = roof.corners.iter().map(Point3::xy).collect();
    default_for(extent(&plan))
}

/// Whether some of a roof hangs over its walls.
#[must_use]
pub fn overhangs(roof: &Roof) -> bool {
    let within: f64 = roof.feet.iter().map(|ring| signed_area(ring)).sum();
    let plan: Vec<_> = roof.corners.iter().map(Point3::xy).collect();
    roof.total_plan_area().0 - within > tolerance(roof) * extent(&plan)
}
