//! Rainwater: what each eave drains, gutters and pipes.
//!
//! EN 12056-3, effective area A = L (B + H / 2) for length L, plan depth B and height H of the slope above: the plan area
//! and half of what the slope shows to driven rain. Which water reaches which eave is the drainage's to say
//! ([`crate::roof::analysis::drainage`]); here each part of it counts by the slope it falls on.

use super::runs::straight;
use crate::base::ids::{EdgeId, FaceId};
use crate::base::{polygon, tolerance};
use crate::roof::analysis::drainage::{Drainage, Outlet};
use crate::roof::{Edge, EdgeKind, Roof};
use nalgebra::{Point2, Point3};

/// What an eave carries away.
#[derive(Clone, Debug, PartialEq)]
pub struct Gutter {
    /// One end of the straight run.
    pub from: Point3<f64>,
    /// The other.
    pub to: Point3<f64>,
    /// Its length, metres.
    pub length: f64,
    /// Effective area it drains, square metres.
    pub area: f64,
    /// The eaves it hangs along.
    pub edges: Vec<EdgeId>,
}

/// Effective area of a rectangular slope: EN 12056-3, A = L (B + H / 2).
#[must_use]
pub fn effective_area(length: f64, plan_depth: f64, height: f64) -> f64 {
    length * (plan_depth + height / 2.0)
}

/// What each straight run of eaves drains, by the roof's own drainage; eaves of dormers, which stand on the roof itself, have
/// no gutter: what they drain runs on to the eaves below. O(catchments), and O(n²) for n eaves.
#[must_use]
pub fn gutters(roof: &Roof, drainage: &Drainage) -> Vec<Gutter> {
    let mut drained = vec![0.0; roof.edges.len()];
    for catchment in &drainage.catchments {
        let rise_over_run = roof.faces[catchment.face.index()].plane.pitch().tan();
        // One metre of eave with the catchment's plan area behind it.
        let effective = effective_area(1.0, catchment.plan_area().0, catchment.plan_area().0 * rise_over_run);
        for &(end, share) in &catchment.ends {
            if let Outlet::Edge(edge) = end {
                drained[edge.index()] += effective * share;
            }
        }
    }
    let on_roof: Vec<(EdgeId, FaceId)> = roof
        .edges
        .iter()
        .enumerate()
        .filter(|(_, edge)| edge.kind == EdgeKind::Eave)
        .filter_map(|(index, edge)| stands_on(roof, edge).map(|face| (EdgeId::new(index), face)))
        .collect();
    for (edge, face) in &on_roof {
        let water = std::mem::take(&mut drained[edge.index()]);
        let below = roof.faces[face.index()].edges.iter().find(|id| roof.edges[id.index()].kind == EdgeKind::Eave);
        if let Some(below) = below {
            drained[below.index()] += water;
        }
    }
    straight(roof, EdgeKind::Eave)
        .into_iter()
        .filter(|run| !run.edges.iter().all(|edge| on_roof.iter().any(|(other, _)| other == edge)))
        .map(|run| Gutter {
            from: run.from,
            to: run.to,
            length: run.length(),
            area: run.edges.iter().map(|edge| drained[edge.index()]).sum(),
            edges: run.edges,
        })
        .collect()
}

/// The roof face that an eave stands on, as a dormer's does: it lies below all of it, and meets it at one end.
fn stands_on(roof: &Roof, eave: &Edge) -> Option<FaceId> {
    let [from, to] = [roof.at(eave.from), roof.at(eave.to)];
    let middle = nalgebra::center(&from, &to);
    roof.roof_faces().find_map(|(id, face)| {
        let above = |place: &Point3<f64>| face.plane.distance(place) / face.plane.normal.z;
        let is_under = || {
            let ring: Vec<Point2<f64>> = roof.ring(face).iter().map(Point3::xy).collect();
            polygon::contains(&ring, &middle.xy()) && above(&middle) > MEETS
        };
        let meets = above(&from).abs() < MEETS || above(&to).abs() < MEETS;
        (!eave.faces.contains(&id) && face.plane.normal.z > MEETS && meets && is_under()).then_some(id)
    })
}

/// An eave nearer to a face than this meets it, metres.
const MEETS: f64 = 0.010;

/// Gutters that lead into one another round corners.
#[derive(Clone, Debug, PartialEq)]
pub struct GutterRun {
    /// Its straight stretches.
    pub stretches: Vec<Gutter>,
    /// Corners between them.
    pub corners: u32,
    /// Free ends: none where it runs all round.
    pub ends: u32,
}

impl GutterRun {
    /// Outlets it takes, each of which drains so many square metres: one at least, however many corners it has.
    #[must_use]
    pub fn outlets(&self, drains: f64) -> u32 {
        let area: f64 = self.stretches.iter().map(|stretch| stretch.area).sum();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let outlets = (area / drains).ceil().max(1.0) as u32;
        outlets
    }

    /// Height above datum, where heights are measured from, metres.
    #[must_use]
    pub fn height(&self) -> f64 {
        let heights = self.stretches.iter().map(|stretch| stretch.from.z.min(stretch.to.z));
        heights.fold(f64::INFINITY, f64::min).max(0.0)
    }
}

/// The gutters of a roof, those that meet at a corner as one. O(n²) for n straight stretches.
#[must_use]
pub fn runs(roof: &Roof, drainage: &Drainage) -> Vec<GutterRun> {
    let near = |a: &Point3<f64>, b: &Point3<f64>| (a - b).norm() < MEETS;
    let mut runs: Vec<GutterRun> = Vec::new();
    for stretch in gutters(roof, drainage) {
        let ends = [stretch.from, stretch.to];
        let meets = |run: &GutterRun| -> u32 {
            let theirs = run.stretches.iter().flat_map(|other| [other.from, other.to]);
            let count = theirs.filter(|end| ends.iter().any(|own| near(own, end))).count();
            u32::try_from(count).unwrap_or(u32::MAX)
        };
        let (joined, others): (Vec<GutterRun>, Vec<GutterRun>) = runs.into_iter().partition(|run| meets(run) > 0);
        let mut whole = GutterRun { stretches: Vec::new(), corners: joined.iter().map(&meets).sum(), ends: 0 };
        for run in joined {
            whole.corners += run.corners;
            whole.stretches.extend(run.stretches);
        }
        whole.stretches.push(stretch);
        runs = others;
        runs.push(whole);
    }
    for run in &mut runs {
        let ends = u32::try_from(2 * run.stretches.len()).unwrap_or(u32::MAX);
        run.ends = ends.saturating_sub(2 * run.corners);
    }
    runs
}

/// Brackets of a straight stretch: one near each end, the others no further apart than the spacing.
#[must_use]
pub fn brackets(length: f64, spacing: f64) -> u32 {
    at_most_apart(length - 2.0 * FROM_END, spacing).max(2)
}

/// Clips of a pipe: one near each end, the others no further apart than the spacing.
#[must_use]
pub fn clips(length: f64, spacing: f64) -> u32 {
    at_most_apart(length - 2.0 * FROM_END, spacing).max(2)
}

/// The first and last bracket or clip stand so far from the ends (common practice, no source).
const FROM_END: f64 = 0.100;

/// Places along a length, both ends with them, no further apart than a spacing.
fn at_most_apart(length: f64, spacing: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let bays = (length / spacing - tolerance::SMALLEST).ceil().max(0.0) as u32;
    bays + 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_standards_worked_figure() {
        // EN 12056-3, as quoted: L 10, B 6, H 3 m: 75 m2.
        assert!((effective_area(10.0, 6.0, 3.0) - 75.0).abs() < 1e-12);
    }
}
