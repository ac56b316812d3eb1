//! Every corner of a face lies on its plane, and no roof face stands plumb or overhangs.

use super::{Check, Violation};
use crate::roof::model::{FaceKind, Roof};

/// O(n).
///
/// # Errors
/// Faces with a corner off their plane.
pub fn check(roof: &Roof, tolerance: f64) -> Result<(), Violation> {
    let allowed = super::moved(roof, tolerance);
    let off = |face: &&crate::roof::Face| {
        let far = |&corner: &_| face.plane.distance(&roof.at(corner)).abs() > allowed;
        face.ring.iter().any(far)
            || face.holes.iter().flatten().any(far)
            || (face.kind == FaceKind::Roof && face.plane.normal.z <= 0.0)
    };
    let faces: Vec<_> = roof.faces.iter().filter(off).map(|face| face.id.clone()).collect();
    if faces.is_empty() { Ok(()) } else { Err(Violation { check: Check::Flat, faces }) }
}
