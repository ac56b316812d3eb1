//! What can be wrong with an outline.

use crate::base::finding::{Finding, Severity, plainly_shown};
use crate::base::multi_error::multi_error;
use crate::base::place::Place;

/// Why an outline gives no footprint. Metres.
#[derive(Clone, Debug, PartialEq)]
pub enum OutlineError {
    /// A bug in the caller: the places do not belong to the blocks.
    PlacesMissing {
        /// The block's name.
        block: String,
        /// Places given.
        found: usize,
        /// Sides stated.
        expected: usize,
    },
    /// A place is not a finite number.
    NotFinite {
        /// The block's name.
        block: String,
        /// The side that starts there.
        side: String,
    },
    /// A ring of one or two sides.
    TooFewSides {
        /// The block's name.
        block: String,
        /// Sides found.
        found: usize,
        /// Its first side, where it has one.
        side: Option<String>,
    },
    /// A side without length.
    ZeroLength {
        /// The block's name.
        block: String,
        /// The side's name.
        side: String,
        /// Its length, metres.
        length: f64,
        /// What counts as no length, metres.
        least: f64,
    },
    /// A side runs straight back over the one before.
    FoldsBack {
        /// The block's name.
        block: String,
        /// The side before.
        first: String,
        /// The side that returns.
        second: String,
    },
    /// Two sides that are not neighbours meet.
    Crossing {
        /// The block's name.
        block: String,
        /// One side.
        first: String,
        /// The other.
        second: String,
    },
    /// A ring without area.
    NoArea {
        /// The block's name.
        block: String,
        /// The ring's first side.
        side: String,
    },
    /// A courtyard that is not inside.
    HoleOutside {
        /// The block's name.
        block: String,
        /// The hole's first side.
        side: String,
    },
    /// A courtyard inside a courtyard.
    HoleInHole {
        /// The block's name.
        block: String,
        /// The inner hole's first side.
        side: String,
        /// The outer hole's first side.
        within: String,
    },
    /// No slope rises from any side.
    NoEave {
        /// The block's name.
        block: String,
    },
    /// A pitch written `"?"` that nobody resolved.
    UnknownPitch {
        /// The block's name.
        block: String,
        /// The side's name.
        side: String,
    },
    /// Moving the outline leaves nothing of a side.
    SideSwallowed {
        /// The block's name.
        block: String,
        /// The side's name.
        side: String,
        /// Its measured length, metres.
        length: f64,
        /// How far it was moved, metres.
        distance: f64,
    },
    /// Overhangs that meet across a recess or a courtyard.
    DripEdgesCross {
        /// The block's name.
        block: String,
        /// One side.
        first: String,
        /// The other.
        second: String,
    },
    /// A rise that lies below the drip edge once the outline was moved out.
    ChangeBelowDripEdge {
        /// The block's name.
        block: String,
        /// The side's name.
        side: String,
        /// Rise above the drip edge, metres.
        rise: f64,
    },
    /// Several of the above, in the order of the file.
    Multiple(Vec<OutlineError>),
}

multi_error!(OutlineError);

plainly_shown!(OutlineError);

impl Finding for OutlineError {
    fn code(&self) -> &'static str {
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
            Self::Multiple(_) => "several-faults",
        }
    }

    fn severity(&self) -> Severity {
        Severity::Stop
    }

    #[allow(clippy::cast_precision_loss)]
    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::PlacesMissing { found, expected, .. } => {
                vec![("found", *found as f64), ("expected", *expected as f64)]
            }
            Self::TooFewSides { found, .. } => vec![("found", *found as f64), ("least", 3.0)],
            Self::ZeroLength { length, least, .. } => vec![("length", *length), ("least", *least)],
            Self::SideSwallowed { length, distance, .. } => vec![("length", *length), ("distance", *distance)],
            Self::ChangeBelowDripEdge { rise, .. } => vec![("rise", *rise)],
            Self::NotFinite { .. }
            | Self::FoldsBack { .. }
            | Self::Crossing { .. }
            | Self::NoArea { .. }
            | Self::HoleOutside { .. }
            | Self::HoleInHole { .. }
            | Self::NoEave { .. }
            | Self::UnknownPitch { .. }
            | Self::DripEdgesCross { .. } => Vec::new(),
            Self::Multiple(errors) => errors.iter().flat_map(Self::values).collect(),
        }
    }
}

impl OutlineError {
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
            Self::Multiple(errors) => errors.iter().flat_map(Self::places).collect(),
        }
    }
}
