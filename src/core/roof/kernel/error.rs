//! Why a roof cannot be solved.

use crate::base::finding::{Finding, Severity, plainly_shown};
use crate::base::name::{Name, SideName};
use crate::base::place::Place;
use crate::roof::checks::Check;
use crate::roof::model::names::FaceName;
use std::collections::BTreeSet;

/// Why footprints make no roof. Metres; [`SolveError::places`] says where.
#[derive(Clone, Debug, PartialEq)]
pub enum SolveError {
    /// A coordinate, height or rise is not a finite number.
    NotFinite {
        /// The block's name.
        block: Name,
    },
    /// A ring encloses nothing.
    TooFewSides {
        /// The block's name.
        block: Name,
        /// 0 for the outer ring.
        ring: usize,
        /// How many.
        found: usize,
    },
    /// Two neighbouring sides run back along each other.
    FoldsBack {
        /// The two sides, of one block.
        sides: [SideName; 2],
    },
    /// Sides cross or touch.
    Crosses {
        /// The two sides, of one block.
        sides: [SideName; 2],
    },
    /// Nothing rises that would close the roof.
    NeverCloses {
        /// The block's name.
        block: Name,
        /// Sides whose walls would rise for ever.
        sides: Vec<SideName>,
    },
    /// Several things happen in one place in a way that has no one reading.
    Tangled {
        /// The block's name.
        block: Name,
        /// The sides that take part.
        sides: Vec<SideName>,
        /// Height above datum, metres.
        height: f64,
    },
    /// The solved roof failed one of its checks, so it is not answered.
    Unverified {
        /// The block, or the blocks that were joined.
        blocks: Vec<Name>,
        /// What does not hold.
        check: Check,
        /// Faces where it does not.
        faces: Vec<FaceName>,
    },
}

plainly_shown!(SolveError);

impl Finding for SolveError {
    fn code(&self) -> &'static str {
        "roof-not-solved"
    }

    fn severity(&self) -> Severity {
        Severity::Stop
    }

    #[allow(clippy::cast_precision_loss)]
    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::TooFewSides { found, .. } => vec![("found", *found as f64), ("least", 3.0)],
            Self::Tangled { height, .. } => vec![("height", *height)],
            Self::Unverified { check, .. } => match check.numbers() {
                Some([expected, found]) => vec![("expected", expected), ("found", found)],
                None => Vec::new(),
            },
            Self::NotFinite { .. } | Self::FoldsBack { .. } | Self::Crosses { .. } | Self::NeverCloses { .. } => {
                Vec::new()
            }
        }
    }
}

impl SolveError {
    /// Where in the job the trouble lies.
    #[must_use]
    pub fn places(&self) -> Vec<Place> {
        match self {
            Self::NotFinite { block } | Self::TooFewSides { block, .. } => vec![Place::Block(block.to_string())],
            Self::FoldsBack { sides } | Self::Crosses { sides } => sides.iter().map(Place::from).collect(),
            Self::NeverCloses { block, sides } | Self::Tangled { block, sides, .. } => {
                let places: Vec<Place> = sides.iter().map(Place::from).collect();
                if places.is_empty() { vec![Place::Block(block.to_string())] } else { places }
            }
            Self::Unverified { blocks, faces, .. } => {
                let sides = faces.iter().filter_map(FaceName::side).filter(|side| blocks.contains(&side.block));
                let places: BTreeSet<Place> = sides.map(Place::from).collect();
                let blocks = || blocks.iter().map(|block| Place::Block(block.to_string())).collect();
                if places.is_empty() { blocks() } else { places.into_iter().collect() }
            }
        }
    }
}
