//! The roof's outline in plan, as runs of free edges: what the tape would measure from the ground.

use crate::base::ids::EdgeId;
use crate::base::polygon;
use crate::base::tolerance::BESIDE;
use crate::roof::Roof;
use crate::roof::analysis::dimensions;
use nalgebra::{Point2, Vector2};

/// A straight run of free edges in plan, the roof to its left.
#[derive(Clone, Debug, PartialEq)]
pub struct ContourRun {
    /// Its first end in plan, metres.
    pub from: Point2<f64>,
    /// Its last end.
    pub to: Point2<f64>,
    /// The edges it is made of, in order.
    pub edges: Vec<EdgeId>,
    /// Whether another part of the roof lies outside it (a dormer's eave, a roof that runs on below).
    pub inner: bool,
}

impl ContourRun {
    /// Level length, metres.
    #[must_use]
    pub fn length(&self) -> f64 {
        (self.to - self.from).norm()
    }

    /// Unit vector away from the roof.
    #[must_use]
    pub fn outward(&self) -> Vector2<f64> {
        let along = (self.to - self.from).normalize();
        Vector2::new(along.y, -along.x)
    }
}

/// Runs round courtyards: from just outside them, whichever way one looks along x or y, the outline is in the way.
/// O(runs²).
#[must_use]
pub(crate) fn courts(runs: &[ContourRun]) -> Vec<bool> {
    let outline: Vec<&ContourRun> = runs.iter().filter(|run| !run.inner).collect();
    let is_court = |run: &ContourRun| {
        let eye = nalgebra::center(&run.from, &run.to) + run.outward() * (run.length() * BESIDE);
        let blocked = |towards: Vector2<f64>| {
            outline.iter().any(|other| {
                let (a, b) = (other.from - eye, other.to - eye);
                let (before, after) = (towards.perp(&a), towards.perp(&b));
                // It crosses the line of sight, ahead of the eye.
                (before < 0.0) != (after < 0.0) && towards.dot(&(a + (b - a) * (before / (before - after)))) > 0.0
            })
        };
        !run.inner && [Vector2::x(), Vector2::y(), -Vector2::x(), -Vector2::y()].into_iter().all(blocked)
    };
    runs.iter().map(is_court).collect()
}

/// The runs of a roof, in the order of its faces. O(edges + runs × corners).
#[must_use]
pub fn runs(roof: &Roof) -> Vec<ContourRun> {
    let run = |run: dimensions::PlanRun| {
        let mut run = ContourRun { from: run.from, to: run.to, edges: run.edges, inner: false };
        let beyond = nalgebra::center(&run.from, &run.to) + run.outward() * (run.length() * BESIDE);
        run.inner = roof.roof_faces().any(|(_, face)| {
            let ring: Vec<Point2<f64>> = roof.ring(face).iter().map(nalgebra::OPoint::xy).collect();
            let in_hole = |hole: &Vec<nalgebra::Point3<f64>>| {
                polygon::contains(&hole.iter().map(nalgebra::OPoint::xy).collect::<Vec<_>>(), &beyond)
            };
            polygon::contains(&ring, &beyond) && !roof.holes(face).iter().any(in_hole)
        });
        run
    };
    dimensions::runs(roof).into_iter().map(run).collect()
}
