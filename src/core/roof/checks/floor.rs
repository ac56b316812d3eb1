//! The floor below the outline can be cut into triangles that its rings bound.

use super::{Check, Violation};
use crate::roof::model::Roof;
use crate::roof::model::triangulate::Triangulator;

/// The floor's triangles, anticlockwise seen from above. O(n log n).
///
/// # Errors
/// The outline's rings, as the roof has them, bound no floor.
pub fn check(roof: &Roof, rings: &[Vec<u32>], triangulator: &mut Triangulator) -> Result<Vec<[u32; 3]>, Violation> {
    let (triangles, whole) = triangulator.cut_floor(rings, |corner| roof.corners[corner as usize].xy());
    if whole { Ok(triangles) } else { Err(Violation { check: Check::Floor, faces: Vec::new() }) }
}
