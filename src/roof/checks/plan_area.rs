//! The plan areas of the roof faces are positive and add up to the outline's.

use super::Violation;
use crate::roof::model::{FaceKind, Roof};

/// O(n).
///
/// # Errors
/// The sum differs by more than `relative` of the outline's area, or a face's area is not positive.
pub fn check(roof: &Roof, outline_area: f64, relative: f64) -> Result<(), Violation> {
    let allowed = relative * outline_area;
    let mut sum = 0.0;
    for face in roof.faces.iter().filter(|face| face.kind == FaceKind::Roof) {
        let area = roof.plan_area(face).0;
        sum += area;
        if area < -allowed {
            return Err(Violation { check: "plan areas are positive".into(), faces: vec![face.name.clone()] });
        }
    }
    if (sum - outline_area).abs() <= allowed {
        Ok(())
    } else {
        let check = format!("plan areas add up to the outline's {outline_area:.6} m² (found {sum:.6} m²)");
        Err(Violation { check, faces: Vec::new() })
    }
}
