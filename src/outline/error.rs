//! What can be wrong with an outline.

use crate::base::place::Place;
use crate::base::several::{Several, joined};

/// Why an outline gives no footprint. Every message states what was found and what was expected.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum OutlineError {
    /// A bug in the caller: the places do not belong to the blocks.
    #[error("block {block}: {found} places for {expected} sides")]
    PlacesMissing {
        /// The block.
        block: String,
        /// Places given.
        found: usize,
        /// Sides stated.
        expected: usize,
    },
    /// A place is not a finite number.
    #[error("corner {side} of block {block} has no finite place")]
    NotFinite {
        /// The block.
        block: String,
        /// The side that starts there.
        side: String,
    },
    /// A ring of one or two sides.
    #[error("a ring of block {block} has {found} sides, expected 3 or more")]
    TooFewSides {
        /// The block.
        block: String,
        /// Sides found.
        found: usize,
        /// Its first side, where it has one.
        side: Option<String>,
    },
    /// A side without length.
    #[error("side {side} of block {block} is {length} m long, expected more than {least} m")]
    ZeroLength {
        /// The block.
        block: String,
        /// The side.
        side: String,
        /// Its length, metres.
        length: f64,
        /// What counts as no length, metres.
        least: f64,
    },
    /// A side runs straight back over the one before.
    #[error("side {second} of block {block} runs straight back over side {first}")]
    FoldsBack {
        /// The block.
        block: String,
        /// The side before.
        first: String,
        /// The side that returns.
        second: String,
    },
    /// Two sides that are not neighbours meet.
    #[error("sides {first} and {second} of block {block} cross or touch, expected an outline that never meets itself")]
    Crossing {
        /// The block.
        block: String,
        /// One side.
        first: String,
        /// The other.
        second: String,
    },
    /// A ring without area.
    #[error("the ring of block {block} that starts with side {side} encloses no area")]
    NoArea {
        /// The block.
        block: String,
        /// The ring's first side.
        side: String,
    },
    /// A courtyard that is not inside.
    #[error("the hole of block {block} that starts with side {side} lies outside its outer ring")]
    HoleOutside {
        /// The block.
        block: String,
        /// The hole's first side.
        side: String,
    },
    /// A courtyard inside a courtyard.
    #[error(
        "the hole of block {block} that starts with side {side} lies inside the hole that starts with side {within}"
    )]
    HoleInHole {
        /// The block.
        block: String,
        /// The inner hole's first side.
        side: String,
        /// The outer hole's first side.
        within: String,
    },
    /// No slope rises from any side.
    #[error("block {block} has no eave, expected at least one side with a pitch")]
    NoEave {
        /// The block.
        block: String,
    },
    /// A pitch written `"?"` that nobody resolved.
    #[error("the pitch of side {side} of block {block} is not known")]
    UnknownPitch {
        /// The block.
        block: String,
        /// The side.
        side: String,
    },
    /// Moving the outline leaves nothing of a side.
    #[error(
        "side {side} of block {block} is {length:.3} m long and nothing of it is left at the drip edge ({distance:.3} m out)"
    )]
    SideSwallowed {
        /// The block.
        block: String,
        /// The side.
        side: String,
        /// Its measured length, metres.
        length: f64,
        /// How far it was moved, metres.
        distance: f64,
    },
    /// Overhangs that meet across a recess or a courtyard.
    #[error("the drip edges over sides {first} and {second} of block {block} cross: there is no room for the overhang")]
    DripEdgesCross {
        /// The block.
        block: String,
        /// One side.
        first: String,
        /// The other.
        second: String,
    },
    /// A rise that lies below the drip edge once the outline was moved out.
    #[error(
        "on side {side} of block {block} the slope changes {rise:.3} m above the drip edge, expected above it; \
         rises are given above the side's own height"
    )]
    ChangeBelowDripEdge {
        /// The block.
        block: String,
        /// The side.
        side: String,
        /// Rise above the drip edge, metres.
        rise: f64,
    },
    /// Several of the above, in the order of the file.
    #[error("{}", joined(.0))]
    Several(Vec<OutlineError>),
}

impl Several for OutlineError {
    fn several(errors: Vec<Self>) -> Self {
        Self::Several(errors)
    }

    fn list(&self) -> Option<&[Self]> {
        match self {
            Self::Several(errors) => Some(errors),
            _ => None,
        }
    }
}

impl OutlineError {
    /// A stable name for scripts.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::PlacesMissing { .. } => "places-missing",
            Self::NotFinite { .. } => "not-finite",
            Self::TooFewSides { .. } => "too-few-sides",
            Self::ZeroLength { .. } => "zero-length",
            Self::FoldsBack { .. } => "folds-back",
            Self::Crossing { .. } => "crossing",
            Self::NoArea { .. } => "no-area",
            Self::HoleOutside { .. } => "hole-outside",
            Self::HoleInHole { .. } => "hole-in-hole",
            Self::NoEave { .. } => "no-eave",
            Self::UnknownPitch { .. } => "unknown-pitch",
            Self::SideSwallowed { .. } => "side-swallowed",
            Self::DripEdgesCross { .. } => "drip-edges-cross",
            Self::ChangeBelowDripEdge { .. } => "change-below-drip-edge",
            Self::Several(_) => "several-faults",
        }
    }

    /// Where in the job the error stands.
    #[must_use]
    pub fn places(&self) -> Vec<Place> {
        let at = |block: &String, side: &String| Place::Side { block: block.clone(), side: side.clone() };
        match self {
            Self::PlacesMissing { block, .. }
            | Self::NoEave { block }
            | Self::TooFewSides { block, side: None, .. } => {
                vec![Place::Block(block.clone())]
            }
            Self::NotFinite { block, side }
            | Self::ZeroLength { block, side, .. }
            | Self::NoArea { block, side }
            | Self::HoleOutside { block, side }
            | Self::UnknownPitch { block, side }
            | Self::SideSwallowed { block, side, .. }
            | Self::ChangeBelowDripEdge { block, side, .. }
            | Self::TooFewSides { block, side: Some(side), .. } => vec![at(block, side)],
            Self::FoldsBack { block, first, second }
            | Self::Crossing { block, first, second }
            | Self::DripEdgesCross { block, first, second }
            | Self::HoleInHole { block, side: first, within: second } => vec![at(block, first), at(block, second)],
            Self::Several(errors) => errors.iter().flat_map(Self::places).collect(),
        }
    }
}
