//! Why a roof cannot be solved.

use crate::base::place::Place;

/// Why footprints make no roof. Every message states what was found; [`SolveError::places`] says where.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SolveError {
    /// A coordinate, height or rise is not a finite number.
    #[error("a corner, height or rise of {block} is not a finite number")]
    NotFinite {
        /// The block.
        block: String,
    },
    /// A ring encloses nothing.
    #[error("ring {ring} of {block} has {found} sides in different lines, expected 3 or more")]
    TooFewSides {
        /// The block.
        block: String,
        /// 0 for the outer ring.
        ring: usize,
        /// How many.
        found: usize,
    },
    /// Two neighbouring sides run back along each other.
    #[error("sides {} of {block} fold back along each other, expected a corner", sides.join(" and "))]
    FoldsBack {
        /// The block.
        block: String,
        /// The two sides.
        sides: Vec<String>,
    },
    /// Sides cross or touch.
    #[error("sides {} of {block} cross or touch, expected an outline that meets itself nowhere", sides.join(" and "))]
    Crosses {
        /// The block.
        block: String,
        /// The two sides.
        sides: Vec<String>,
    },
    /// Nothing rises that would close the roof.
    #[error("the roof over {block} never closes: what is left above sides {} only stands plumb", sides.join(", "))]
    NeverCloses {
        /// The block.
        block: String,
        /// Sides whose walls would rise for ever.
        sides: Vec<String>,
    },
    /// Several things happen in one place in a way that has no one reading.
    #[error("the roof over {block} has no one reading where sides {} meet at height {height:.3} m", sides.join(", "))]
    Tangled {
        /// The block.
        block: String,
        /// The sides that take part.
        sides: Vec<String>,
        /// Height above datum, metres.
        height: f64,
    },
    /// The solved roof failed one of its checks, so it is not answered.
    #[error("the roof over {block} failed its check that {check}; faces concerned: {}", faces.join(", "))]
    Unverified {
        /// The block.
        block: String,
        /// What does not hold.
        check: String,
        /// Faces where it does not.
        faces: Vec<String>,
    },
}

impl From<super::envelope::EnvelopeError> for SolveError {
    fn from(error: super::envelope::EnvelopeError) -> Self {
        let block = error.face.split('/').next().unwrap_or_default().to_owned();
        Self::Unverified { block, check: error.check, faces: vec![error.face] }
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
            Self::Unverified { block, faces, .. } => {
                let prefix = format!("{block}/");
                let side = |face: &String| face.strip_prefix(&prefix)?.split(':').next().map(str::to_owned);
                let mut names: Vec<String> = faces.iter().filter_map(side).collect();
                names.sort();
                names.dedup();
                if names.is_empty() { vec![Place::Block(block.clone())] } else { sides(block, &names) }
            }
        }
    }
}
