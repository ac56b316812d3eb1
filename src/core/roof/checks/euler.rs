//! Corners less edges plus faces: 1 for a surface bounded by one ring, one less for every further ring.

use super::{Check, Violation};
use crate::roof::model::Roof;

/// For a surface bounded by a count of rings. O(n).
///
/// # Errors
/// The count is not that of such a surface.
pub fn check(roof: &Roof, rings: usize) -> Result<(), Violation> {
    let rings = i64::try_from(rings).unwrap_or(i64::MAX);
    let signed = |count: usize| i64::try_from(count).unwrap_or(i64::MAX);
    let faces: i64 = roof.faces.iter().map(|face| 1 - signed(face.holes.len())).sum();
    let found = signed(roof.corners.len()) - signed(roof.edges.len()) + faces;
    if found == 2 - rings {
        Ok(())
    } else {
        Err(Violation { check: Check::Euler { expected: 2 - rings, found }, faces: Vec::new() })
    }
}
