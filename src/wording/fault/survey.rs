//! Why measurements were not brought together.

use super::ring;
use crate::survey::SurveyError;
use crate::survey::error::Instead;
use crate::survey::observation::Unit;
use crate::wording::amount::{count, fine_gap, list};
use crate::wording::survey::Names;
use crate::wording::units::Format;

/// An error of the adjustment.
#[must_use]
pub fn survey(error: &SurveyError, names: &Names<'_>, format: Format) -> String {
    match error {
        SurveyError::TurnsDoNotClose { block, ring: number, sum, expected, allowed } => format!(
            "the turns of {} add up to {:.1}°, expected {:.0}° within {:.1}°",
            ring(block, *number),
            sum.to_degrees(),
            expected.to_degrees(),
            allowed.to_degrees()
        ),
        SurveyError::WalkDoesNotClose { block, ring: number, by, allowed, instead } => {
            let each = |one: &Instead| {
                format!("side {} is {}, not {}", one.side, format.length(one.value), format.length(one.read))
            };
            let instead: Vec<String> = instead.iter().map(each).collect();
            let meant = if instead.is_empty() {
                String::new()
            } else {
                format!("; it would close if {}", instead.join(", or if "))
            };
            format!(
                "the walk round {} misses its start by {}, expected {} at most{meant}",
                ring(block, *number),
                format.length(*by),
                format.length(*allowed)
            )
        }
        SurveyError::ExactContradiction { observation, by, unit, .. } => {
            let by = match (by, unit) {
                (None, _) => String::new(),
                (Some(by), Unit::Radian) => format!(" by {:.3}°", by.to_degrees()),
                (Some(by), Unit::Metre) => format!(" by {}", fine_gap(*by, format)),
                (Some(by), Unit::Pixel) => format!(" by {by:.1} px"),
                (Some(by), Unit::One) => format!(" by {by:.4}"),
            };
            format!(
                "{} is stated exact but contradicts other exact measurements{by}, expected at least one of them to have a \
                 sigma",
                names.observation(*observation)
            )
        }
        SurveyError::TooFewSides { block, ring: number, sides } => {
            format!("{} has {}, expected at least 3", ring(block, *number), count(*sides, "side", "sides"))
        }
        SurveyError::PlacedByNothing { block, ring: number } => format!(
            "{} stands on a side that nothing places, expected a block with a place of its own at the end of the chain",
            ring(block, *number)
        ),
        SurveyError::NotConverged { steps, mean, doubtful, .. } => {
            let miss = mean.map_or_else(
                || "they lead to no place at all".to_owned(),
                |mean| format!("they still miss by {mean:.1} times their standard deviations"),
            );
            let doubtful: Vec<String> = doubtful.iter().map(|&one| names.observation(one)).collect();
            let named = if doubtful.is_empty() {
                String::new()
            } else {
                format!("; the doubtful ones are {}", list(&doubtful))
            };
            format!(
                "the measurements could not be brought together: after {} {miss}{named}, expected measurements that agree",
                count(*steps, "step", "steps")
            )
        }
    }
}

/// What to do.
pub(super) fn hint(error: &SurveyError) -> &'static str {
    match error {
        SurveyError::TurnsDoNotClose { .. } => "check the turns (left is positive), and whether a side is missing",
        SurveyError::WalkDoesNotClose { .. } => {
            "look at the lengths of these sides first, then at the turns, and measure again"
        }
        SurveyError::ExactContradiction { .. } => "leave out sigma = 0 where something was read from a tape or a level",
        SurveyError::TooFewSides { .. } => "walk all the way round, one entry a side",
        SurveyError::PlacedByNothing { .. } => "give one of the blocks a start instead of at_side",
        SurveyError::NotConverged { .. } => {
            "look at the named ones first; a rough place, near = [x, y, z], helps points that hang on little"
        }
    }
}
