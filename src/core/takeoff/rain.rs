//! Rainwater: what each eave drains, gutters and pipes.
//!
//! EN 12056-3, effective area A = L (B + H / 2) for length L, plan depth B and height H of the slope above: the plan area
//! and half of what the slope shows to driven rain. Which water reaches which eave is the drainage's to say
//! ([`crate::roof::analysis::drainage`]); here each part of it counts by the slope it falls on.

use super::runs::straight;
use crate::roof::analysis::drainage::{Drainage, Outlet};
use crate::roof::{EdgeKind, Roof};
use nalgebra::Point3;

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
}

impl Gutter {
    /// Outlets it takes, each of which drains so many square metres: one at least.
    #[must_use]
    pub fn outlets(&self, drains: f64) -> u32 {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let outlets = (self.area / drains).ceil().max(1.0) as u32;
        outlets
    }
}

/// Effective area of a rectangular slope: EN 12056-3, A = L (B + H / 2).
#[must_use]
pub fn effective_area(length: f64, plan_depth: f64, height: f64) -> f64 {
    length * (plan_depth + height / 2.0)
}

/// What each straight run of eaves drains, by the roof's own drainage. O(catchments), and O(n²) for n eaves.
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
    straight(roof, EdgeKind::Eave)
        .into_iter()
        .map(|run| Gutter {
            from: run.from,
            to: run.to,
            length: run.length(),
            area: run.edges.iter().map(|edge| drained[edge.index()]).sum(),
        })
        .collect()
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
