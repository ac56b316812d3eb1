//! Why a survey could not be adjusted.

use crate::base::place::Place;

/// Why a survey could not be adjusted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SurveyError {
    /// The turns of a walk do not come round.
    #[error(
        "the turns of {ring} add up to {sum:.1}°, expected {expected:.0}° within {allowed:.1}°: check the turns (left is positive), or a side is missing"
    )]
    TurnsDoNotClose {
        /// The block's name.
        block: String,
        /// In words: "block store" or "hole 1 of block store".
        ring: String,
        /// What they add up to, degrees.
        sum: f64,
        /// What they should add up to, degrees.
        expected: f64,
        /// Four standard deviations, degrees.
        allowed: f64,
    },
    /// Observations that were stated to be exact contradict each other.
    #[error(
        "{observation} is stated exact (sigma 0) but contradicts other exact measurements by {by}: expected at least one of them to have a sigma"
    )]
    ExactContradiction {
        /// In words.
        observation: String,
        /// By how much, in words.
        by: String,
        /// Where it stands.
        place: Place,
    },
    /// A ring has too few sides to close.
    #[error("{ring} has {sides} sides, expected at least 3")]
    TooFewSides {
        /// The block's name.
        block: String,
        /// In words.
        ring: String,
        /// How many.
        sides: usize,
    },
    /// A ring on a side of another that hangs, from side to side, on the ring itself or on one that is not there.
    #[error(
        "{ring} stands on a side that nothing places, expected a block with a place of its own at the end of the chain"
    )]
    PlacedByNothing {
        /// The block's name.
        block: String,
        /// In words.
        ring: String,
    },
    /// No start was found from which a photo's marks make sense.
    #[error(
        "photo {file} can't be placed: {reason}; expected marks on at least 4 points whose edges' directions are stated by [[axis]], or on 4 points with places"
    )]
    PhotoNotPlaced {
        /// Index of the photo.
        photo: usize,
        /// Its file, or its number.
        file: String,
        /// What is missing.
        reason: String,
    },
    /// The iteration came to no minimum.
    #[error(
        "the measurements could not be brought together: after {turns} turns they still miss by {mean:.0} times their sigmas; the doubtful ones are {doubtful}"
    )]
    NotConverged {
        /// Steps tried.
        turns: usize,
        /// Root mean square of the standardised residuals.
        mean: f64,
        /// In words, worst first.
        doubtful: String,
        /// Where they stand.
        places: Vec<Place>,
    },
}

impl SurveyError {
    /// Where in the job it stands.
    #[must_use]
    pub fn places(&self) -> Vec<Place> {
        match self {
            Self::TurnsDoNotClose { block, .. }
            | Self::TooFewSides { block, .. }
            | Self::PlacedByNothing { block, .. } => vec![Place::Block(block.clone())],
            Self::ExactContradiction { place, .. } => vec![place.clone()],
            Self::PhotoNotPlaced { photo, .. } => vec![Place::Photo(*photo)],
            Self::NotConverged { places, .. } => places.clone(),
        }
    }
}
