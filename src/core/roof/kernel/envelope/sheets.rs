//! What each block brings: its roof faces in plan, its drip edge and its walls.

use crate::base::name::SideName;
use crate::base::plane::Plane;
use crate::base::polygon::{contains, extent};
use crate::outline::footprint::{self, Footprint, Side};
use crate::roof::model::Roof;
use nalgebra::{Point2, Point3, Vector2};
use std::collections::HashMap;

/// A ring of places in plan.
pub type Ring = Vec<Point2<f64>>;

/// A side of the blocks that are joined, in file order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct BlockSide {
    /// Which block.
    pub block: usize,
    /// Which of its rings.
    pub ring: usize,
    /// Which side of the ring.
    pub number: usize,
}

/// One roof face of one block.
#[derive(Clone, Debug)]
pub struct BlockSheet {
    /// Which block.
    pub block: usize,
    /// Its sides in file order; one or more for each of [`Blocks::sheets`].
    pub sides: Vec<BlockSide>,
    /// Its index in that block's roof.
    pub face: usize,
    /// Its plane, upwards.
    pub plane: Plane,
    /// Its corners in plan, outer ring first.
    pub rings: Vec<Ring>,
    /// Its corners in space, ring by ring in one list.
    pub corners: Vec<Point3<f64>>,
    /// Sheets in one plane share a number, the lowest of theirs.
    pub same_plane: usize,
}

impl BlockSheet {
    /// Height of its plane over a place.
    #[must_use]
    pub fn height(&self, place: &Point2<f64>) -> f64 {
        self.plane.height_at(place).unwrap_or(f64::NAN)
    }

    /// Whether a place lies under it.
    #[must_use]
    pub fn covers(&self, place: &Point2<f64>) -> bool {
        contains(&self.rings[0], place) && !self.rings[1..].iter().any(|hole| contains(hole, place))
    }

    /// Greatest slope of its plane, rise over run.
    #[must_use]
    pub fn tangent(&self) -> f64 {
        self.plane.normal.xy().norm() / self.plane.normal.z
    }
}

/// Every side of the blocks by its name.
fn numbered(footprints: &[Footprint]) -> HashMap<SideName, BlockSide> {
    let mut found = HashMap::new();
    for (block, footprint) in footprints.iter().enumerate() {
        for (ring, sides) in footprint.rings.iter().enumerate() {
            for number in 0..sides.sides.len() {
                found.insert(footprint.side_name(ring, number), BlockSide { block, ring, number });
            }
        }
    }
    found
}

/// What the stages of the envelope share.
#[derive(Debug)]
pub struct Blocks<'a> {
    /// The footprints, in file order.
    pub footprints: &'a [Footprint],
    /// Each one's own roof.
    pub roofs: &'a [Roof],
    /// All roof faces.
    pub sheets: Vec<BlockSheet>,
    /// Every side by its name.
    numbered: HashMap<SideName, BlockSide>,
    /// Nearer in plan is one place, metres.
    pub tolerance: f64,
}

impl<'a> Blocks<'a> {
    /// Gathers the roof faces. O(faces²) for the comparison of planes.
    #[must_use]
    pub fn new(footprints: &'a [Footprint], roofs: &'a [Roof], tolerance: f64) -> Self {
        let numbered = numbered(footprints);
        let mut sheets: Vec<BlockSheet> = Vec::new();
        for (block, roof) in roofs.iter().enumerate() {
            for (id, face) in roof.roof_faces() {
                let mut sides: Vec<BlockSide> =
                    face.sides.iter().filter_map(|side| numbered.get(side).copied()).collect();
                sides.sort_unstable();
                // What a face over no side covers is missed when the plan areas are checked.
                if sides.is_empty() {
                    continue;
                }
                let outer = roof.ring(face);
                let holes = roof.holes(face);
                let rings: Vec<Ring> =
                    std::iter::once(&outer).chain(&holes).map(|ring| ring.iter().map(Point3::xy).collect()).collect();
                let corners: Vec<Point3<f64>> = outer.into_iter().chain(holes.into_iter().flatten()).collect();
                let number = sheets.len();
                let (plane, face) = (face.plane, id.index());
                sheets.push(BlockSheet { block, sides, face, plane, rings, corners, same_plane: number });
            }
        }
        for later in 0..sheets.len() {
            let bound = tolerance * (1.0 + sheets[later].tangent());
            let near = |earlier: &BlockSheet| {
                let off = |corner: &Point3<f64>| earlier.plane.distance(corner).abs();
                sheets[later].corners.iter().all(|corner| off(corner) <= bound)
                    && earlier.corners.iter().all(|corner| sheets[later].plane.distance(corner).abs() <= bound)
            };
            if let Some(earlier) = sheets[..later].iter().position(near) {
                sheets[later].same_plane = sheets[earlier].same_plane;
            }
        }
        Self { footprints, roofs, sheets, numbered, tolerance }
    }

    /// A side.
    #[must_use]
    pub fn side(&self, of: BlockSide) -> &Side {
        &self.footprints[of.block].rings[of.ring].sides[of.number]
    }

    /// The side that goes by a name. O(1).
    #[must_use]
    pub(crate) fn index_of(&self, name: &SideName) -> Option<BlockSide> {
        self.numbered.get(name).copied()
    }

    /// The name of a side.
    #[must_use]
    pub fn name(&self, side: BlockSide) -> SideName {
        self.footprints[side.block].side_name(side.ring, side.number)
    }

    /// The wall lines of a block, ring by ring.
    #[must_use]
    pub fn walls(&self, block: usize) -> Vec<Ring> {
        let footprint = &self.footprints[block];
        footprint.walls.clone().unwrap_or_else(|| footprint.rings.iter().map(footprint::Ring::corners).collect())
    }

    /// The drip edge of a block, ring by ring.
    #[must_use]
    pub fn drip(&self, block: usize) -> Vec<Ring> {
        self.footprints[block].rings.iter().map(footprint::Ring::corners).collect()
    }

    /// The sheet of a block over a place; the nearest one's where rounding leaves a place between two.
    #[must_use]
    pub(crate) fn sheet_over(&self, block: usize, place: &Point2<f64>) -> Option<usize> {
        let of_block = || self.sheets.iter().enumerate().filter(|(_, sheet)| sheet.block == block);
        of_block().find(|(_, sheet)| sheet.covers(place)).map(|(index, _)| index)
    }

    /// Vertical slack that belongs to the tolerance in plan on the steepest of some sheets.
    #[must_use]
    pub fn slack(&self) -> f64 {
        let steepest = self.sheets.iter().map(BlockSheet::tangent).fold(1.0, f64::max);
        2.0 * self.tolerance * (1.0 + steepest)
    }

    /// Size of the whole site.
    #[must_use]
    pub fn size(&self) -> f64 {
        extent(self.sheets.iter().flat_map(|sheet| sheet.rings.iter().flatten()))
    }
}

/// Whether a place lies within rings: in the outer one and in no hole.
#[must_use]
pub fn within(rings: &[Ring], place: &Point2<f64>) -> bool {
    contains(&rings[0], place) && !rings[1..].iter().any(|hole| contains(hole, place))
}

/// Unit vector along a segment.
#[must_use]
pub fn direction(from: &Point2<f64>, to: &Point2<f64>) -> Vector2<f64> {
    (to - from).normalize()
}
