//! What a crew must know of a face besides where each piece lies: what a piece measures, where the coursing starts and why,
//! the bond, where nails go, what is done at valleys, tops and verges. All of it is what was counted with.

use crate::base::ids::EdgeId;
use crate::roof::EdgeKind;
use nalgebra::Point2;

/// What is told of a face beside its pieces. Metres.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Details {
    /// Its turn in the order of laying, from 0: what an earlier face leaves over serves the later ones.
    pub turn: usize,
    /// What a piece measures and how pieces must lie to each other.
    pub piece: Measures,
    /// Where the coursing starts from.
    pub start: Start,
    /// The bond as chosen; `None` for sheets.
    pub bond: Option<Bonding>,
    /// Where nails go; `None` where the card names none, and for sheets.
    pub nailing: Option<Nailing>,
    /// How much of the top corners is clipped along verges; `None` where nothing is.
    pub corner_clip: Option<f64>,
    /// Each stretch of valley, from the foot up.
    pub valleys: Vec<ValleyStretch>,
    /// Level edges at which courses end.
    pub tops: Vec<TopEdge>,
    /// Lines along which caps or an apron cover the uppermost part of the courses.
    pub covers: Vec<Cover>,
    /// Breaks over which the courses of the slope below run on up, under the first course.
    pub lapped: Vec<Cover>,
}

/// What an uncut piece measures and how pieces must lie to each other, metres.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Measures {
    /// What kind of piece it is.
    pub kind: PieceKind,
    /// Caps that one piece makes; 0 where caps are goods of their own.
    pub caps_each: u32,
    /// Cover width, the joint with it.
    pub width: f64,
    /// Up the slope.
    pub height: f64,
    /// Distance of slots; the width where a piece has none.
    pub tab: f64,
    /// Layers over every place.
    pub layers: u32,
    /// How far a course must at least lap over the last one that it covers: the next but one with two layers, the next with
    /// one.
    pub head_lap: f64,
    /// End joints of neighbouring courses stand at least this far apart; 0 where they may stand in line.
    pub least_offset: f64,
    /// Starter joints stand at least this far from joints and slots of the course on them.
    pub starter_offset: f64,
    /// Least width of an upright end.
    pub least_end: f64,
    /// Shortest offcut that is kept.
    pub shortest_offcut: f64,
}

/// Kinds of pieces.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PieceKind {
    /// A strip of several tabs.
    #[default]
    Strip,
    /// A piece laid one by one: a single tab, a slate, a tile.
    Unit,
    /// A sheet cut to length.
    Sheet,
}

impl PieceKind {
    /// The word scripts match on.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Strip => "strip",
            Self::Unit => "unit",
            Self::Sheet => "sheet",
        }
    }
}

/// Where first pieces are measured from.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Start {
    /// Along the eave from the frame's origin, on the hand the face is laid from.
    pub u: f64,
    /// Why there.
    pub why: StartsAt,
}

/// Why the coursing starts where it does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum StartsAt {
    /// At the longest upright side on that hand: a verge, a wall.
    UprightSide,
    /// At the outermost place: no side on that hand stands upright.
    #[default]
    Outermost,
    /// Where another piece of the same slope starts, so that all its pieces share one grid.
    SharedSlope,
}

impl StartsAt {
    /// The word scripts match on.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::UprightSide => "upright-side",
            Self::Outermost => "outermost",
            Self::SharedSlope => "shared-slope",
        }
    }
}

/// The bond of a face: course after course, then again from the first.
#[derive(Clone, Debug, PartialEq)]
pub struct Bonding {
    /// From which hand it counts.
    pub hand: Hand,
    /// One step of the shift: half a tab.
    pub step: f64,
    /// Steps each course of the repeat is shifted by, the lowest course first.
    pub shifts: Vec<u32>,
    /// What each course of the repeat begins with where it begins at the start: the width less its shift.
    pub first: Vec<f64>,
}

/// Where nails go on a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nailing {
    /// On a whole piece.
    pub per_piece: f64,
    /// Least on a cut piece.
    pub least: u32,
    /// From the piece's lower edge up.
    pub from_butt: f64,
    /// The outer ones from the ends.
    pub from_ends: f64,
}

/// A stretch of valley as one side is laid at it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ValleyStretch {
    /// The valley.
    pub edge: Option<EdgeId>,
    /// Its lower and upper end in the face's frame.
    pub ends: [Point2<f64>; 2],
    /// On which hand of the face it lies.
    pub hand: Hand,
    /// What is done at it.
    pub side: ValleySide,
}

/// What is done on one side of a valley, square to its centre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ValleySide {
    /// Trimmed short of the centre.
    Open {
        /// So far at the valley's top.
        clear: f64,
        /// More by so much for every metre down.
        widen: f64,
        /// So far at the stretch's lower and upper end.
        at: [f64; 2],
    },
    /// Runs through.
    Through {
        /// So far past the centre.
        past: f64,
        /// No joint stands nearer to the centre.
        no_joint_within: f64,
    },
    /// Cut over the side that runs through.
    Cut {
        /// So far short of the centre.
        short: f64,
    },
}

impl ValleySide {
    /// The word scripts match on.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Open { .. } => "open",
            Self::Through { .. } => "through",
            Self::Cut { .. } => "cut",
        }
    }
}

/// No nail stands nearer to the centre of a valley (common practice, no source).
pub const NO_NAIL_WITHIN: f64 = 0.150;

/// A level edge at which courses end.
#[derive(Clone, Debug, PartialEq)]
pub struct TopEdge {
    /// Which edge of the roof.
    pub edge: Option<EdgeId>,
    /// Ridge, abutment, free top.
    pub kind: EdgeKind,
    /// Its height up the slope.
    pub v: f64,
    /// From where to where along the eave.
    pub u: [f64; 2],
    /// Courses whose upper edge stands over it.
    pub over: Vec<OverTop>,
}

/// A course that stands over a top edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OverTop {
    /// Which, the lowest of the face 1.
    pub course: usize,
    /// By how much.
    pub by: f64,
    /// Whether it is folded down on the other slope; else it is trimmed at the edge.
    pub folds: bool,
}

/// A line along which caps or an apron cover the courses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cover {
    /// Ridge, hip or abutment.
    pub kind: EdgeKind,
    /// The line.
    pub line: [Point2<f64>; 2],
    /// How far the cover reaches down the slope, square to it.
    pub by: f64,
}

/// From which end of the courses a face is laid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// From the left, seen from outside.
    Left,
    /// From the right.
    Right,
}

impl Hand {
    /// The word scripts match on.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}
