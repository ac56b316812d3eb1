//! The plan areas of the roof faces are positive, and with what little the walls lean they add up to the outline's.
//!
//! A wall stands over its side as plumb as sides nearly in one line let it: it counts with the plan area, positive or
//! negative, that it covers. The sum is then the outline's area whatever the planes are, unless a face is missing, there
//! twice or turned over.

use super::{Check, Violation};
use crate::base::polygon::vector_area_of;
use crate::roof::model::{FaceKind, Roof};

/// O(n).
///
/// # Errors
/// The sum differs by more than `relative` of the outline's area, or a roof face's area is not positive.
pub fn check(roof: &Roof, outline_area: f64, relative: f64) -> Result<(), Violation> {
    let allowed = relative * outline_area;
    let mut sum = 0.0;
    for face in &roof.faces {
        let rings = std::iter::once(&face.ring).chain(&face.holes);
        let area: f64 = rings.map(|ring| vector_area_of(ring.iter().map(|&corner| roof.at(corner))).z).sum();
        sum += area;
        if face.kind == FaceKind::Roof && area < -allowed {
            return Err(Violation { check: Check::PlanAreaPositive, faces: vec![face.id.clone()] });
        }
    }
    if (sum - outline_area).abs() <= allowed {
        Ok(())
    } else {
        Err(Violation { check: Check::PlanArea { expected: outline_area, found: sum }, faces: Vec::new() })
    }
}
