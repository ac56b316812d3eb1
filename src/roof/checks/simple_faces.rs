//! No face's outline crosses itself: its triangles all turn one way, their areas add up to its own and what bounds them
//! together is its rings.
//!
//! With faces glued along shared edges to one surface bounded by the outline, this leaves no overlap in plan.

use super::{Held, Violation};
use crate::roof::model::Roof;
use crate::roof::solid::Triangulator;

/// Corners lie off their faces' lines by what sides were brought into line, contracted or not: needles of a face overlap
/// by as much, as a part of the outline's area.
const OVERLAP: f64 = 1e-9;

/// O(n log n).
///
/// # Errors
/// Faces whose triangles do not add up.
pub fn check(roof: &Roof, held: &Held, triangulator: &mut Triangulator) -> Result<(), Violation> {
    let allowed = OVERLAP * held.area + held.tolerance * held.tolerance;
    let mut faces = Vec::new();
    for face in roof.faces.iter().filter(|face| face.ring.len() > 3 || !face.holes.is_empty()) {
        let whole = roof.area(face).0;
        let at = |corner: u32| roof.corners[corner as usize];
        let (mut sum, mut turned) = (0.0, 0.0);
        for [a, b, c] in triangulator.cut(roof, face) {
            let area = (at(b) - at(a)).cross(&(at(c) - at(a))).dot(&face.plane.normal) / 2.0;
            sum += area.abs();
            turned += (-area).max(0.0);
        }
        if (sum - whole).abs() > allowed || turned > allowed || !triangulator.is_whole() {
            faces.push(face.name.clone());
        }
    }
    if faces.is_empty() { Ok(()) } else { Err(Violation { check: "no face's outline crosses itself".into(), faces }) }
}
