//! Corners less edges plus faces: 1 for a surface bounded by one ring, one less for every further ring.

use super::Violation;
use crate::roof::model::Roof;

/// O(n).
///
/// # Errors
/// The count is not that of a surface bounded by the outline's rings.
pub fn check(roof: &Roof) -> Result<(), Violation> {
    // Rings of the outline: cycles of the edges that have one face.
    let mut next = vec![usize::MAX; roof.corners.len()];
    for edge in roof.edges.iter().filter(|edge| edge.faces.len() == 1) {
        next[edge.from.index()] = edge.to.index();
    }
    let mut rings = 0i64;
    for start in 0..next.len() {
        let mut at = start;
        if next[at] == usize::MAX {
            continue;
        }
        rings += 1;
        while next[at] != usize::MAX {
            at = std::mem::replace(&mut next[at], usize::MAX);
        }
    }
    let signed = |count: usize| i64::try_from(count).unwrap_or(i64::MAX);
    let faces: i64 = roof.faces.iter().map(|face| 1 - signed(face.holes.len())).sum();
    let found = signed(roof.corners.len()) - signed(roof.edges.len()) + faces;
    if found == 2 - rings {
        Ok(())
    } else {
        let check = format!("corners less edges plus faces make {} (found {found})", 2 - rings);
        Err(Violation { check, faces: Vec::new() })
    }
}
