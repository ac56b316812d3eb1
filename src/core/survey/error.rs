//! Why a survey could not be adjusted.

use super::observation::{ObservationId, Unit};
use crate::base::finding::{Finding, Severity, plainly_shown};
use crate::base::place::Place;

/// Why a survey could not be adjusted. Metres and radians.
#[derive(Clone, Debug, PartialEq)]
pub enum SurveyError {
    /// The turns of a walk do not come round.
    TurnsDoNotClose {
        /// The block's name.
        block: String,
        /// 0 for its outer ring, then its holes.
        ring: usize,
        /// What they add up to.
        sum: f64,
        /// What they should add up to.
        expected: f64,
        /// Four standard deviations of the sum.
        allowed: f64,
    },
    /// A walk ends farther from where it began than its lengths and turns can be off.
    WalkDoesNotClose {
        /// The block's name.
        block: String,
        /// 0 for its outer ring, then its holes.
        ring: usize,
        /// The gap, metres.
        by: f64,
        /// Four standard deviations of it.
        allowed: f64,
        /// Single lengths that would close it, likeliest first; none where no one length does.
        instead: Vec<Instead>,
    },
    /// Observations that were stated to be exact contradict each other.
    ExactContradiction {
        /// The one that is farthest off.
        observation: ObservationId,
        /// By how much, in `unit`; `None` where it cannot be computed at all.
        by: Option<f64>,
        /// What `by` is counted in.
        unit: Unit,
        /// Where it stands.
        place: Place,
    },
    /// A ring has too few sides to close.
    TooFewSides {
        /// The block's name.
        block: String,
        /// 0 for its outer ring, then its holes.
        ring: usize,
        /// How many.
        sides: usize,
    },
    /// A ring on a side of another that hangs, from side to side, on the ring itself or on one that is not there.
    PlacedByNothing {
        /// The block's name.
        block: String,
        /// 0 for its outer ring, then its holes.
        ring: usize,
    },
    /// The iteration came to no minimum.
    NotConverged {
        /// Steps tried.
        steps: usize,
        /// Root mean square of the standardised residuals; `None` where it cannot be computed at all.
        mean: Option<f64>,
        /// Worst first.
        doubtful: Vec<ObservationId>,
        /// Where they stand.
        places: Vec<Place>,
    },
}

/// What a length would have to be for its walk to close.
#[derive(Clone, Debug, PartialEq)]
pub struct Instead {
    /// The side's name.
    pub side: String,
    /// As read, metres.
    pub read: f64,
    /// As it would close.
    pub value: f64,
}

plainly_shown!(SurveyError);

impl Finding for SurveyError {
    fn code(&self) -> &'static str {
        match self {
            Self::TurnsDoNotClose { .. } => "turns-do-not-close",
            Self::WalkDoesNotClose { .. } => "walk-does-not-close",
            Self::ExactContradiction { .. } => "exact-contradiction",
            Self::TooFewSides { .. } => "too-few-sides",
            Self::PlacedByNothing { .. } => "placed-by-nothing",
            Self::NotConverged { .. } => "not-brought-together",
        }
    }

    fn severity(&self) -> Severity {
        Severity::Stop
    }

    #[allow(clippy::cast_precision_loss)]
    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::TurnsDoNotClose { sum, expected, allowed, .. } => {
                vec![("sum", sum.to_degrees()), ("expected", expected.to_degrees()), ("allowed", allowed.to_degrees())]
            }
            Self::WalkDoesNotClose { by, allowed, instead, .. } => {
                let each = instead.iter().flat_map(|one| [("read", one.read), ("instead", one.value)]);
                [("by", *by), ("allowed", *allowed)].into_iter().chain(each).collect()
            }
            Self::ExactContradiction { by, unit, .. } => {
                let name = if *unit == Unit::Radian { "by_degrees" } else { "by" };
                by.iter().map(|by| (name, unit.in_json(*by))).collect()
            }
            Self::TooFewSides { sides, .. } => vec![("sides", *sides as f64), ("least", 3.0)],
            Self::PlacedByNothing { .. } => Vec::new(),
            Self::NotConverged { steps, mean, .. } => {
                std::iter::once(("steps", *steps as f64)).chain(mean.map(|mean| ("mean", mean))).collect()
            }
        }
    }
}

impl SurveyError {
    /// Where in the job it stands.
    #[must_use]
    pub fn places(&self) -> Vec<Place> {
        match self {
            Self::TurnsDoNotClose { block, .. }
            | Self::TooFewSides { block, .. }
            | Self::PlacedByNothing { block, .. } => vec![Place::Block(block.clone())],
            Self::WalkDoesNotClose { block, instead, .. } if instead.is_empty() => vec![Place::Block(block.clone())],
            Self::WalkDoesNotClose { block, instead, .. } => {
                let side = |one: &Instead| Place::Side { block: block.clone(), side: one.side.clone() };
                instead.iter().map(side).collect()
            }
            Self::ExactContradiction { place, .. } => vec![place.clone()],
            Self::NotConverged { places, .. } => places.clone(),
        }
    }
}
