//! Why a roof cannot be solved.

use crate::base::finding::{Finding, Severity, plainly_shown};
use crate::base::place::Place;
use crate::roof::checks::Check;

/// Why footprints make no roof. Metres; [`SolveError::places`] says where.
#[derive(Clone, Debug, PartialEq)]
pub enum SolveError {
    /// A coordinate, height or rise is not a finite number.
    NotFinite {
        /// The block.
        block: String,
    },
    /// A ring encloses nothing.
    TooFewSides {
        /// The block.
        block: String,
        /// 0 for the outer ring.
        ring: usize,
        /// How many.
        found: usize,
    },
    /// Two neighbouring sides run back along each other.
    FoldsBack {
        /// The block.
        block: String,
        /// The two sides.
        sides: Vec<String>,
    },
    /// Sides cross or touch.
    Crosses {
        /// The block.
        block: String,
        /// The two sides.
        sides: Vec<String>,
    },
    /// Nothing rises that would close the roof.
    NeverCloses {
        /// The block.
        block: String,
        /// Sides whose walls would rise for ever.
        sides: Vec<String>,
    },
    /// Several things happen in one place in a way that has no one reading.
    Tangled {
        /// The block.
        block: String,
        /// The sides that take part.
        sides: Vec<String>,
        /// Height above datum, metres.
        height: f64,
    },
    /// The solved roof failed one of its checks, so it is not answered.
    Unverified {
        /// The block, or the blocks that were joined.
        blocks: Vec<String>,
        /// What does not hold.
        check: Check,
        /// Faces where it does not.
        faces: Vec<String>,
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
        let sides = |block: &String, sides: &Vec<String>| {
            let place = |side: &String| Place::Side { block: block.clone(), side: side.clone() };
            sides.iter().map(place).collect()
        };
        match self {
            Self::NotFinite { block } | Self::TooFewSides { block, .. } => vec![Place::Block(block.clone())],
            Self::FoldsBack { block, sides: names }
            | Self::Crosses { block, sides: names }
            | Self::NeverCloses { block, sides: names }
            | Self::Tangled { block, sides: names, .. } => sides(block, names),
            Self::Unverified { blocks, faces, .. } => {
                let side = |face: &String| {
                    let (block, piece) = face.split_once('/')?;
                    let side = piece.split(':').next()?.to_owned();
                    blocks.iter().any(|name| name == block).then(|| Place::Side { block: block.to_owned(), side })
                };
                let mut places: Vec<Place> = faces.iter().filter_map(side).collect();
                places.sort();
                places.dedup();
                if places.is_empty() { blocks.iter().cloned().map(Place::Block).collect() } else { places }
            }
        }
    }
}
