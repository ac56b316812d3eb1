//! How a solved roof follows its outlines, to first order and written out: no roof is solved again.
//!
//! As long as the topology stays, every corner is where planes meet: those of the slopes over the sides, and the plumb ones
//! over sides and walls (`elements`). A slope moves as its side's line does, so a corner's movement is the solution of as
//! many linear equations as planes meet there (`corners`); areas and lengths follow from their corners, the volume from
//! what moves over and round the faces (`volume`).
//!
//! Where more than three planes meet, as at the top of a pyramid, a corner parts when a side is moved ([`Derivatives::parting`]):
//! lengths that end there have no derivative by what parts it, areas and the volume do, for what lies about the corner is
//! small of second order; they follow from how edges move, not from corners (`areas`). Where faces themselves part, or it
//! is not known what moves a plane, as that of a step within one side's line, there is none at all: such parameters are told
//! ([`Derivatives::open`]) and left to whoever asks.

mod areas;
mod corners;
mod elements;
mod measured;
mod volume;

use crate::base::gradient::Gradient;
use crate::base::ids::FaceId;
use crate::outline::Footprint;
use crate::roof::model::{FaceKind, Roof};
use elements::Elements;
use nalgebra::Point3;
use std::collections::BTreeSet;

pub use elements::{BlockMotion, SideMotion, Stage, stages};
pub use measured::{MeasuredSide, add_differences, bring_together};

/// How a roof follows its outlines.
#[derive(Clone, Debug)]
pub struct Derivatives {
    /// Of each corner's x, y and z.
    pub corners: Vec<[Gradient; 3]>,
    /// Of the volume, where the roof has one.
    pub volume: Option<Gradient>,
    /// Parameters by which there is no derivative, or none that is known: what is said of them elsewhere means nothing.
    pub open: BTreeSet<usize>,
    /// Parameters that part corners: what is said of lengths means little.
    pub parting: BTreeSet<usize>,
    elements: Elements,
}

impl Derivatives {
    /// Of a roof over footprints as they were solved, sides of different blocks brought together, by the parameters that
    /// `motions` tells of, one a footprint. `solid` is the roof without its overhangs, where blocks that have some were
    /// joined ([`crate::roof::kernel::envelope::body`]). O(c s) for c corners and s sides.
    #[must_use]
    pub fn of(roof: &Roof, solid: Option<&Roof>, footprints: &[Footprint], motions: &[BlockMotion]) -> Self {
        let elements = Elements::of(roof, footprints, motions);
        let corners::Corners { places, unknown: mut open, mut parting } =
            corners::follow(roof, footprints, motions, &elements);
        open.extend(elements.parted());
        let volume = roof.volume.map(|_| match solid {
            Some(solid) => {
                let elements = Elements::of(solid, footprints, motions);
                let corners = corners::follow(solid, footprints, motions, &elements);
                open.extend(corners.unknown);
                parting.extend(corners.parting);
                volume::follow(solid, footprints, &elements)
            }
            None => volume::follow(roof, footprints, &elements),
        });
        if footprints.len() > 1 {
            // What parts may come to sight there, or be hidden.
            open.append(&mut parting);
        }
        Self { corners: places, volume, open, parting, elements }
    }

    /// Of a face's area in plan.
    #[must_use]
    pub fn plan_area(&self, roof: &Roof, face: FaceId) -> Gradient {
        areas::in_plan(roof, &self.elements, face).unwrap_or_else(|| areas::by_corners(roof, &self.corners, face))
    }

    /// Of how far a face's plane lies off at a place of it, square to itself and outwards.
    #[must_use]
    pub fn plane_at(&self, roof: &Roof, face: FaceId, place: &Point3<f64>) -> Gradient {
        let mut gradient = Gradient::new();
        let normal = roof.faces[face.index()].plane.normal;
        match roof.faces[face.index()].kind {
            FaceKind::Roof => {
                if let Some(slope) = self.elements.slopes_of(face).first() {
                    self.elements.lift(*slope, &place.xy(), normal.z, &mut gradient);
                }
            }
            FaceKind::Wall => {
                if let Some(upright) = self.elements.uprights_of(face).first() {
                    let inward = self.elements.uprights[*upright].normal();
                    self.elements.push(*upright, &place.xy(), normal.xy().dot(&inward), &mut gradient);
                }
            }
        }
        gradient.merged()
    }

    /// Of a face's pitch.
    #[must_use]
    pub fn pitch(&self, roof: &Roof, face: FaceId) -> Gradient {
        let Some(slope) = self.elements.slopes_of(face).first() else { return Gradient::new() };
        let steeper = roof.faces[face.index()].plane.pitch().cos().powi(2);
        let mut gradient = Gradient::new();
        gradient.add(&self.elements.slopes[*slope].steeper, steeper);
        gradient.merged()
    }
}
