//! The solid that is drawn of a building: its roof with edges as deep as they are, its walls where they stand.

use super::model::{Building, Raised};
use crate::job::model::Job;
use crate::roof::Roof;
use crate::roof::kernel::shell;
use crate::roof::model::solid::{Solid, build};
use crate::roof::model::triangulate::Triangulator;
use nalgebra::{Point2, Point3};

/// How deep the roof's edges are, plumb: of the fascia, else of the rafters' feet cut plumb at the steepest pitch stated, else of
/// the deck; 0 where none is stated.
pub(super) fn edge_depth(job: &Job) -> f64 {
    let sections = job.framing.as_ref().map(|framing| framing.sections);
    let fascia = sections.and_then(|sections| sections.fascia).map(|fascia| fascia.depth);
    let rafter = sections.and_then(|sections| sections.rafter).map(|rafter| rafter.depth);
    let deck = job.covering.card.deck.as_ref().map(|deck| deck.thickness);
    fascia.or(rafter).or(deck).unwrap_or(0.0)
}

/// The building from a datum up. Where no walls are known, or its overhangs make no closed solid of that depth, walls stand
/// under the edge of the roof. O(n log n) without overhangs; with them O(s²) for s edges.
#[must_use]
pub fn solid(roof: &Roof, building: &Building, datum: f64) -> Solid {
    if roof.feet.is_empty() || !shell::overhangs(roof) {
        return build(roof, datum);
    }
    let depth = building.edge_depth.max(shell::thickness(roof));
    shell::solid_with_sheets(roof, datum, depth).unwrap_or_else(|_| build(roof, datum))
}

/// What stands out of the roof as closed solids, each by its name: what it is, numbered where there are several of a kind.
/// Each stands plumb on the level of its lowest foot, so that all of it below the roof lies within the building. O(corners).
#[must_use]
pub fn raised_solids(building: &Building) -> Vec<(String, Solid)> {
    let raised = &building.raised;
    let of_kind = |until: usize, kind: &str| raised[..until].iter().filter(|prism| prism.kind == kind).count();
    let named = |(index, prism): (usize, &Raised)| {
        let is_alone = of_kind(raised.len(), &prism.kind) == 1;
        let name =
            if is_alone { prism.kind.clone() } else { format!("{} {}", prism.kind, of_kind(index, &prism.kind) + 1) };
        (name, of_prism(prism))
    };
    raised.iter().enumerate().map(named).filter(|(_, solid)| !solid.triangles.is_empty()).collect()
}

#[allow(clippy::cast_possible_truncation)]
fn of_prism(prism: &Raised) -> Solid {
    let plan: Vec<Point2<f64>> = prism.feet.iter().filter_map(|foot| foot.first()).map(Point3::xy).collect();
    let low = prism.feet.iter().flatten().map(|place| place.z).fold(f64::INFINITY, f64::min);
    let count = plan.len() as u32;
    if count < 3 || low >= prism.top {
        return Solid::default();
    }
    let level = |height: f64| plan.iter().map(move |place| Point3::new(place.x, place.y, height));
    let positions: Vec<Point3<f64>> = level(low).chain(level(prism.top)).collect();
    let sides = (0..count).flat_map(|from| {
        let to = (from + 1) % count;
        [[from, to, to + count], [from, to + count, from + count]]
    });
    let (ends, _) = Triangulator::default().cut_floor(&[(0..count).collect()], |at| plan[at as usize]);
    let both = ends.iter().flat_map(|&[a, b, c]| [[a, c, b], [a + count, b + count, c + count]]);
    let triangles: Vec<[u32; 3]> = sides.chain(both).collect();
    Solid { face_of: vec![None; triangles.len()], positions, triangles }
}

/// A building's solid with what stands out of its roof, as one body to be looked at: parts of it overlap. O(n).
#[must_use]
pub fn with_raised(solid: &Solid, building: &Building) -> Solid {
    let mut whole = solid.clone();
    for (_, part) in raised_solids(building) {
        #[allow(clippy::cast_possible_truncation)]
        let first = whole.positions.len() as u32;
        whole.positions.extend(part.positions);
        whole.triangles.extend(part.triangles.iter().map(|triangle| triangle.map(|corner| corner + first)));
        whole.face_of.extend(part.face_of);
    }
    whole
}
