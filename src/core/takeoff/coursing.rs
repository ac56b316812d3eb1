//! How a face is to be laid in courses.

use super::details::PieceKind;

/// What the pieces of a face measure and how they are bonded, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoursingSpec {
    /// What kind of piece it is.
    pub kind: PieceKind,
    /// Caps that one piece makes; 0 where caps are goods of their own.
    pub caps_each: u32,
    /// Width of a piece, its joint with it.
    pub width: f64,
    /// Height of a piece.
    pub height: f64,
    /// Exposure.
    pub gauge: f64,
    /// Steps of the bond that make a whole width: 2n for a strip of n tabs.
    pub steps: u32,
    /// Past the eave.
    pub eave_projection: f64,
    /// Least width of an upright end.
    pub least_end: f64,
    /// Shortest offcut worth keeping.
    pub shortest_offcut: f64,
    /// Distance of slots.
    pub tab: f64,
    /// Layers over every place.
    pub layers: u32,
    /// How far a course must at least lap over the last one it covers.
    pub head_lap: f64,
    /// Least distance of end joints of neighbouring courses.
    pub least_offset: f64,
    /// How far caps cover a slope below a ridge or hip.
    pub cap_cover: f64,
    /// How far an apron covers the courses below a wall.
    pub apron_cover: f64,
    /// Height of starter pieces; `None`: no starter.
    pub starter: Option<f64>,
    /// Whether starter pieces also run up the verges.
    pub verge_starter: bool,
}
