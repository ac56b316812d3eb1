//! What must hold of a roof, and what was found where it does not.

use crate::roof::model::Roof;
use crate::roof::model::names::FaceName;
use nalgebra::Point2;

/// What must hold of a roof. Square and cubic metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Check {
    /// The sweep's lines close into faces.
    LinesClose,
    /// Every face's edges run round it.
    EdgesRunRound,
    /// Every edge is shared by its two faces.
    EdgesShared,
    /// Edges with one face are the outline's, side after side.
    Rim,
    /// Corners less edges plus faces.
    Euler {
        /// What they should make.
        expected: i64,
        /// What they make.
        found: i64,
    },
    /// Every corner lies on the planes of its faces.
    Flat,
    /// Plan areas are positive.
    PlanAreaPositive,
    /// Plan areas add up to the outlines'.
    PlanArea {
        /// The outlines' area.
        expected: f64,
        /// The sum.
        found: f64,
    },
    /// No face's outline crosses itself.
    SimpleFaces,
    /// A floor closes the roof below the outline.
    Floor,
    /// A face has one outer ring.
    OneOuterRing {
        /// How many it has.
        found: usize,
    },
    /// Each edge is run along once each way.
    RunOnceEachWay,
    /// The surface is closed between the outlines.
    ClosedBetweenOutlines,
    /// Names of faces are unique.
    NamesUnique,
    /// A face has three corners.
    ThreeCorners,
    /// What is roofed is what the outlines cover together.
    Covered {
        /// What the outlines cover.
        expected: f64,
        /// What is roofed.
        found: f64,
    },
    /// No block's roof hides a face.
    NotHidden,
    /// A face lies in a block's own roof.
    InOwnRoof,
    /// The solid below the roof closes.
    SolidCloses,
    /// The solid holds the volume that was summed up.
    Volume {
        /// The sum.
        expected: f64,
        /// What the solid holds.
        found: f64,
    },
}

impl Check {
    /// The numbers that do not agree, expected and found, where it is about numbers.
    #[must_use]
    #[allow(clippy::cast_precision_loss)]
    pub fn numbers(&self) -> Option<[f64; 2]> {
        match *self {
            Self::Euler { expected, found } => Some([expected as f64, found as f64]),
            Self::OneOuterRing { found } => Some([1.0, found as f64]),
            Self::PlanArea { expected, found }
            | Self::Covered { expected, found }
            | Self::Volume { expected, found } => Some([expected, found]),
            _ => None,
        }
    }
}

/// Something that does not hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Violation {
    /// What should hold.
    pub check: Check,
    /// The faces where it does not.
    pub faces: Vec<FaceName>,
}

impl Violation {
    /// What does not hold at one face.
    #[must_use]
    pub fn at(check: Check, face: FaceName) -> Self {
        Self { check, faces: vec![face] }
    }
}

/// What a roof is held against.
#[derive(Clone, Copy, Debug)]
pub struct Held<'a> {
    /// The rings of its outline.
    pub outline: &'a [Vec<Point2<f64>>],
    /// The height of its foot.
    pub foot: f64,
    /// Plan area inside the outline.
    pub area: f64,
    /// The geometric tolerance that edges were contracted with.
    pub tolerance: f64,
    /// How well areas must add up.
    pub relative: f64,
}

/// Corners moved by contraction stay within this many tolerances of where they were.
pub(super) const MOVED: f64 = 8.0;

/// How far a corner may lie from where it should, contraction and rounding together, metres. O(n).
pub(super) fn moved(roof: &Roof, tolerance: f64) -> f64 {
    let largest = roof.corners.iter().map(|corner| corner.coords.amax()).fold(0.0, f64::max);
    MOVED * tolerance + 64.0 * f64::EPSILON * largest
}
