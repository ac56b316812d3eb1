//! What must hold of every roof before it is answered: one violation a file.

pub mod check;
pub mod closed;
pub mod euler;
pub mod flat;
pub mod floor;
pub mod outline;
pub mod plan_area;
pub mod rim;
pub mod simple_faces;

use super::model::triangulate::Triangulator;
use super::model::{Roof, Triangles};
use check::moved;
pub use check::{Check, Held, Violation};

/// All checks of a solved roof. O(n log n).
///
/// Together they leave only right solids: the faces' triangles have the faces' rings for a boundary, these glue to a
/// surface whose own boundary is the outline, and the walls below the outline and the floor close it. The triangles are
/// handed on, for a solid built of others would not be the one checked.
///
/// # Errors
/// The first violation.
pub(crate) fn verify(roof: &Roof, held: &Held) -> Result<Triangles, Violation> {
    closed::check(roof)?;
    let rings = rim::check(roof, held.outline, held.foot, held.tolerance)?;
    euler::check(roof, rings.len())?;
    flat::check(roof, held.tolerance)?;
    plan_area::check(roof, held.area, held.relative)?;
    let mut triangulator = Triangulator::with_room(held.outline.iter().map(Vec::len).sum());
    let mut triangles = simple_faces::check(roof, held, &mut triangulator)?;
    triangles.floor = floor::check(roof, &rings, &mut triangulator)?;
    Ok(triangles)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::*;
    use crate::base::units::Pitch;
    use crate::outline::{Footprint, Ring, Role, Side, TakesOver};
    use crate::roof::{Options, solve_one};
    use nalgebra::Point2;

    /// A hip roof over 8 by 6 m, the foot at 2.5 m.
    fn hip() -> (Roof, Vec<Vec<Point2<f64>>>) {
        let eave = || Role::Eave { pitch: Pitch::from_degrees(40.0).unwrap(), breaks: Vec::new() };
        let corners = [[0.0, 0.0], [8.0, 0.0], [8.0, 6.0], [0.0, 6.0]];
        let side = |(at, corner): (usize, [f64; 2])| Side {
            name: at.to_string().into(),
            start: corner.into(),
            height: 2.5,
            role: eave(),
        };
        let ring = Ring { sides: corners.into_iter().enumerate().map(side).collect() };
        let outline = vec![ring.corners()];
        let footprint =
            Footprint { name: "b".into(), height: 2.5, rings: vec![ring], walls: None, take_over: TakesOver::Flatter };
        (solve_one(&footprint, &Options::default()).unwrap(), outline)
    }

    fn held(outline: &[Vec<Point2<f64>>]) -> Held<'_> {
        Held { outline, foot: 2.5, area: 48.0, tolerance: 1e-6, relative: 1e-9 }
    }

    #[test]
    fn a_hole_in_the_roof_is_no_outline() {
        let (roof, outline) = hip();
        verify(&roof, &held(&outline)).unwrap();
        // Without one face its hips become edges with one face.
        let mut open = roof.clone();
        let lost = open.faces.len() - 1;
        open.faces.pop();
        for edge in &mut open.edges {
            edge.faces.retain(|face| face.index() != lost);
            if edge.faces.len() == 1 && !open.faces[edge.faces[0].index()].ring.is_empty() {
                // Run so that its face lies to the left, as the roof's own edges do.
                let ring = &open.faces[edge.faces[0].index()].ring;
                let at = ring.iter().position(|&corner| corner == edge.from).unwrap();
                if ring[(at + 1) % ring.len()] != edge.to {
                    std::mem::swap(&mut edge.from, &mut edge.to);
                }
            }
        }
        open.edges.retain(|edge| !edge.faces.is_empty());
        assert!(rim::check(&open, &outline, 2.5, 1e-6).is_err());
        assert!(verify(&open, &held(&outline)).is_err());
    }

    #[test]
    fn a_rim_beside_the_outline_or_above_its_foot_is_refused() {
        let (roof, outline) = hip();
        assert_eq!(rim::check(&roof, &outline, 2.5, 1e-6).unwrap().len(), 1);
        assert!(rim::check(&roof, &outline, 2.4, 1e-6).is_err());
        let mut other = outline.clone();
        other[0][2].x += 0.01;
        assert!(rim::check(&roof, &other, 2.5, 1e-6).is_err());
        other = outline.clone();
        other[0].insert(1, Point2::new(4.0, 0.0));
        assert!(rim::check(&roof, &other, 2.5, 1e-6).is_err());
        other.push(outline[0].clone());
        assert!(rim::check(&roof, &other, 2.5, 1e-6).is_err());
    }
}
