//! The floor below the outline can be cut into triangles that its rings bound.

use super::Violation;
use crate::roof::model::Roof;
use crate::roof::solid::{self, Triangulator};

/// O(n log n).
///
/// # Errors
/// The outline's rings, as the roof has them, bound no floor.
pub fn check(roof: &Roof, rings: &[Vec<u32>], triangulator: &mut Triangulator) -> Result<(), Violation> {
    let place = |corner: u32| roof.corners[corner as usize].xy();
    let (_, whole) = solid::floor_triangles(rings, place, triangulator);
    if whole {
        Ok(())
    } else {
        Err(Violation { check: "a floor closes it below the outline".into(), faces: Vec::new() })
    }
}
