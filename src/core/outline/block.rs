//! A roofed body as measured: what the roof file's `[[block]]` and `[[dormer]]` say.

use super::footprint::TakesOver;
use crate::base::ids::SideId;
use crate::base::units::Pitch;
use crate::survey::model::MeasuredRing;
use nalgebra::Point2;

/// One roofed body as measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// Unique name.
    pub name: String,
    /// Height of the measured outline above datum, metres.
    pub height: f64,
    /// Where its first corner stands and which way it heads.
    pub placement: Placement,
    /// The outer ring, then holes. Either direction of walking.
    pub rings: Vec<BlockRing>,
    /// What the outline is, and how the drip edge follows from it.
    pub datum: OutlineDatum,
    /// Highest point above datum, where measured, metres.
    pub ridge_height: Option<f64>,
    /// A rafter taped along the slope from a side's eave to the ridge.
    pub rafter: Option<(SideId, f64)>,
    /// Turns within 2° of a right angle become right and opposite sides even.
    pub square_up: bool,
    /// Which of two slopes of one direction goes on where they come into one line.
    pub take_over: TakesOver,
}

/// Where a block stands on the site plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Placement {
    /// First corner and heading (radians anticlockwise from +x).
    At {
        /// Place of the first corner.
        start: Point2<f64>,
        /// Direction of the first side.
        heading: f64,
    },
    /// On another block's side, `offset` metres along it from its start, heading along it.
    OnSide {
        /// The other block's side.
        side: SideId,
        /// Along it, metres.
        offset: f64,
    },
}

/// A ring and its sides.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockRing {
    /// Lengths and turns, or places.
    pub measured: MeasuredRing,
    /// One a leg, in the same order.
    pub sides: Vec<BlockSide>,
    /// For a hole: where its first corner stands in the block's own frame, whose origin is the outer ring's `start`
    /// and whose x axis runs along its `heading`. (0, 0) for the outer ring.
    pub start: Point2<f64>,
    /// For a hole: direction of its first side in that frame, radians anticlockwise. 0 for the outer ring.
    pub heading: f64,
}

/// A side as the file states it.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockSide {
    /// Name of the corner it starts from, which names the side.
    pub name: String,
    /// Its own height above datum, metres.
    pub height: f64,
    /// What the roof does above it.
    pub role: BlockRole,
}

/// Role of a side, with a pitch that may not have been measured.
#[derive(Clone, Debug, PartialEq)]
pub enum BlockRole {
    /// An eave whose pitch is written `"?"`: found from `ridge_height` or `rafter`.
    EaveOfUnknownPitch,
    /// The inner side of a wing that runs on over the block it stands against until it meets that roof.
    RunsInto,
    /// All others.
    Known(super::Role),
}

/// What the tape went round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OutlineDatum {
    /// The outline lies `inside` metres within the drip edge all round the eaves and verges (0: it is the drip edge).
    Eaves {
        /// Level projection still to be added, metres.
        inside: f64,
    },
    /// The outline is the wall plate's outer upper edge.
    Wall {
        /// Level distances from the wall line to the drip edge.
        overhang: Overhang,
        /// Plumb height of the roof plane above the plate's outer edge, metres.
        above_plate: f64,
    },
}

/// Level distances from the wall line, metres, and how fascias of unequal pitch meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overhang {
    /// At eaves.
    pub eave: f64,
    /// At verges.
    pub verge: f64,
    /// What stays even where pitches differ.
    pub fascia: Fascia,
}

/// What stays even round a building of unequal pitches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fascia {
    /// One fascia level: steeper sides overhang less.
    Level,
    /// One overhang: fascia levels differ.
    Equal,
    /// One overhang and one fascia level: plates of steeper sides are raised.
    Raised,
}

/// A dormer, shorthand for a block set into a face.
#[derive(Clone, Debug, PartialEq)]
pub struct Dormer {
    /// Unique name.
    pub name: String,
    /// The side whose face it stands in.
    pub face: SideId,
    /// Which of the pieces that side's face is in, before dormers are set in: 1 for the lowest, numbered as answers do.
    pub piece: u32,
    /// Its front's left corner: along the eave from the face's left end seen from outside; level distance in.
    pub at: [f64; 2],
    /// Width of the front, metres.
    pub width: f64,
    /// Plumb, from the face at the front up to its own eaves, metres.
    pub front_height: f64,
    /// Of its roof.
    pub pitch: Pitch,
    /// Shape of its roof.
    pub kind: DormerKind,
}

/// Shape of a dormer's roof.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DormerKind {
    /// Two slopes and a plumb gable over the front.
    Gable,
    /// Three slopes.
    Hip,
    /// One slope rising from the front towards the face behind.
    Shed,
}
