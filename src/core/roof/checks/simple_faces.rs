//! No face's outline crosses itself: its triangles all turn one way, their areas add up to its own and what bounds them
//! together is its rings.
//!
//! With faces glued along shared edges to one surface bounded by the outline, this leaves no overlap in plan.

use super::{Check, Held, Violation};
use crate::roof::model::triangulate::Triangulator;
use crate::roof::model::{Roof, Triangles};

/// Corners lie off their faces' lines by what sides were brought into line, contracted or not: needles of a face overlap
/// by as much, as a part of the outline's area.
const OVERLAP: f64 = 1e-9;

/// The faces' triangles, the floor still without. O(n log n).
///
/// # Errors
/// Faces whose triangles do not add up.
pub fn check(roof: &Roof, held: &Held, triangulator: &mut Triangulator) -> Result<Triangles, Violation> {
    let allowed = OVERLAP * held.area + held.tolerance * held.tolerance;
    let mut faces = Vec::new();
    let count: usize = roof.faces.iter().map(|face| face.edges.len().saturating_sub(2) + 2 * face.holes.len()).sum();
    let mut triangles =
        Triangles { faces: Vec::with_capacity(count), ends: Vec::with_capacity(roof.faces.len()), floor: Vec::new() };
    for face in &roof.faces {
        for triangle in triangulator.cut(roof, face) {
            triangles.faces.push(triangle);
        }
        #[allow(clippy::cast_possible_truncation)]
        triangles.ends.push(triangles.faces.len() as u32);
        if face.edges.len() == 3 || triangulator.is_fan() {
            continue;
        }
        let (sum, turned) = triangulator.areas();
        if (sum - roof.area(face).0).abs() > allowed || turned > allowed || !triangulator.is_whole() {
            faces.push(face.id.clone());
        }
    }
    if faces.is_empty() { Ok(triangles) } else { Err(Violation { check: Check::SimpleFaces, faces }) }
}
