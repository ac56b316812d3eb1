//! What stands out of the roof: plumb prisms over openings whose height the file states.

use super::model::Raised;
use crate::base::order::SortByNumber as _;
use crate::base::polygon::signed_area;
use crate::base::tolerance::BESIDE;
use crate::roof::Roof;
use crate::roof::analysis::opening::{self, Opening, OpeningShape};
use crate::roof::model::frame::FaceFrame;
use nalgebra::{Point2, Point3};

/// A prism for every opening with a height. Preconditions: each can be cut from the roof. O(openings · corners).
pub(super) fn raised(roof: &Roof, openings: &[Opening]) -> Vec<Raised> {
    openings.iter().filter_map(|stated| prism(roof, stated, stated.height?)).collect()
}

fn prism(roof: &Roof, stated: &Opening, height: f64) -> Option<Raised> {
    let pieces = opening::cut(roof, std::slice::from_ref(stated)).ok()?;
    let mut on_roof: Vec<Point3<f64>> = Vec::new();
    for piece in &pieces {
        let frame = FaceFrame::of(roof, &roof.faces[piece.face.index()])?;
        on_roof.extend(piece.ring.iter().map(|place| frame.to_space(place)));
    }
    let mut plan: Vec<Point2<f64>> = match &stated.shape {
        OpeningShape::Plan(plan) => plan.clone(),
        OpeningShape::InFace { .. } => on_roof.iter().map(Point3::xy).collect(),
    };
    if signed_area(&plan) < 0.0 {
        plan.reverse();
    }
    let lowest = on_roof.iter().map(|place| place.z).fold(f64::INFINITY, f64::min);
    let highest = on_roof.iter().map(|place| place.z).fold(f64::NEG_INFINITY, f64::max);
    let foot = |index: usize| {
        let (from, to) = (plan[index], plan[(index + 1) % plan.len()]);
        side(&on_roof, from, to, lowest)
    };
    let feet: Vec<Vec<Point3<f64>>> = (0..plan.len()).map(foot).collect();
    highest.is_finite().then(|| Raised { kind: stated.kind.clone(), feet, top: highest + height })
}

/// The foot of one side on the roof: the places of the cut that lie on it, in order; its ends stand at the lowest of all where
/// they lie beside the roof.
fn side(on_roof: &[Point3<f64>], from: Point2<f64>, to: Point2<f64>, lowest: f64) -> Vec<Point3<f64>> {
    let way = to - from;
    let length = way.norm();
    let along = way / length;
    let mut found: Vec<(f64, Point3<f64>)> = on_roof
        .iter()
        .map(|place| (along.dot(&(place.xy() - from)), *place))
        .filter(|(at, place)| {
            (-BESIDE..=length + BESIDE).contains(at) && along.perp(&(place.xy() - from)).abs() <= BESIDE
        })
        .collect();
    for (at, end) in [(0.0, from), (length, to)] {
        if !found.iter().any(|(known, _)| (known - at).abs() <= BESIDE) {
            found.push((at, Point3::new(end.x, end.y, lowest)));
        }
    }
    found.sort_by_number(|a| a.0);
    found.dedup_by(|a, b| (a.1 - b.1).norm() <= BESIDE);
    found.into_iter().map(|(_, place)| place).collect()
}
