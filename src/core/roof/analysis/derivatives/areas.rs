//! How areas in plan move: by what each edge goes out along its length.

use super::elements::Elements;
use crate::base::gradient::Gradient;
use crate::base::ids::FaceId;
use crate::roof::model::{FaceKind, Roof};
use crate::survey::quantity;
use nalgebra::{Point3, Vector2};

/// Planes whose slopes differ by less than this across their edge do not tell where it is.
const SAME: f64 = 1e-9;

/// Of a roof face, from its own plane and those beyond its edges: an edge is where both are as high, or stands on what is
/// plumb. To first order its middle tells for all of it. `None` where it is not known what lies beyond.
pub(crate) fn in_plan(roof: &Roof, elements: &Elements, id: FaceId) -> Option<Gradient> {
    let face = &roof.faces[id.index()];
    if face.kind == FaceKind::Wall {
        return Some(Gradient::new());
    }
    let &own = elements.slopes_of(id).first()?;
    let mut sum = Gradient::new();
    let rings = std::iter::once(&face.ring).chain(&face.holes);
    let runs = rings.flat_map(|ring| (0..ring.len()).map(move |at| [ring[at], ring[(at + 1) % ring.len()]]));
    for (ends, &edge) in runs.zip(&face.edges) {
        let [from, to] = ends.map(|corner| roof.at(corner).xy());
        let (way, middle) = (to - from, nalgebra::center(&from, &to));
        let length = way.norm();
        if length == 0.0 {
            continue;
        }
        // The face lies to the left.
        let outwards = Vector2::new(way.y, -way.x) / length;
        let beyond = roof.edges[edge.index()].faces.iter().copied().find(|other| *other != id);
        let wall = beyond.filter(|other| roof.faces[other.index()].kind == FaceKind::Wall);
        if let Some(other) = beyond.filter(|_| wall.is_none()) {
            let &other = elements.slopes_of(other).first()?;
            let across = (elements.rise(other) - elements.rise(own)).dot(&outwards);
            if across.abs() < SAME {
                return None;
            }
            let known = elements.lift(own, &middle, length / across, &mut sum)
                && elements.lift(other, &middle, -length / across, &mut sum);
            known.then_some(())?;
        } else {
            let on = wall.map_or_else(|| elements.under(edge), |wall| Some(elements.uprights_of(wall)));
            let &upright = on?.first()?;
            let inwards = elements.uprights[upright].normal().dot(&outwards);
            elements.push(upright, &middle, length * inwards, &mut sum).then_some(())?;
        }
    }
    Some(sum.merged())
}

/// The same from its corners.
pub(crate) fn by_corners(roof: &Roof, corners: &[[Gradient; 3]], id: FaceId) -> Gradient {
    let face = &roof.faces[id.index()];
    let mut sum = Gradient::new();
    for (ring, sign) in std::iter::once((&face.ring, 1.0)).chain(face.holes.iter().map(|hole| (hole, -1.0))) {
        let flat: Vec<_> = ring.iter().map(|&corner| (3 * corner.index(), Point3::xy(&roof.at(corner)))).collect();
        for (coordinate, slope) in quantity::plan_area(&flat).gradient {
            sum.add(&corners[coordinate / 3][coordinate % 3], sign * slope);
        }
    }
    sum.merged()
}
