//! Why outlines give no footprint, and why a pitch that was not measured was not found.

use crate::outline::OutlineError;
use crate::outline::pitch::{Measure, PitchError};
use crate::wording::amount::{count, tiny_length, to_millimetre};
use crate::wording::units::{Format, degrees};

/// An error of an outline.
#[must_use]
pub fn outline(error: &OutlineError, format: Format) -> String {
    match error {
        OutlineError::PlacesMissing { block, found, expected } => {
            format!("block {block} has {} for its corners, expected {expected}", count(*found, "place", "places"))
        }
        OutlineError::NotFinite { block, side } => {
            format!("corner {side} of block {block} has no finite place, expected numbers a roof can have")
        }
        OutlineError::TooFewSides { block, found, .. } => {
            format!("a ring of block {block} has {}, expected 3 or more", count(*found, "side", "sides"))
        }
        OutlineError::ZeroLength { block, side, length, least } => format!(
            "side {side} of block {block} has no length: its ends lie {} apart, expected more than {}",
            tiny_length(*length, format),
            tiny_length(*least, format)
        ),
        OutlineError::FoldsBack { block, first, second } => {
            format!("side {second} of block {block} runs straight back over side {first}, expected a corner")
        }
        OutlineError::Crossing { block, first, second } => format!(
            "sides {first} and {second} of block {block} cross or touch, expected an outline that never meets itself"
        ),
        OutlineError::NoArea { block, side } => {
            format!("the ring of block {block} that starts with side {side} encloses no area, expected one that does")
        }
        OutlineError::HoleOutside { block, side } => format!(
            "the hole of block {block} that starts with side {side} lies outside its outer ring, expected it inside"
        ),
        OutlineError::HoleInHole { block, side, within } => format!(
            "the hole of block {block} that starts with side {side} lies inside the hole that starts with side {within}, \
             expected holes beside each other"
        ),
        OutlineError::NoEave { block } => {
            format!("block {block} has no eave, expected at least one side with a pitch")
        }
        OutlineError::UnknownPitch { block, side } => {
            format!("the pitch of side {side} of block {block} is not known, expected one")
        }
        OutlineError::SideSwallowed { block, side, length, distance } => format!(
            "side {side} of block {block} is {} long and nothing of it is left at the drip edge, {} out, expected room for \
             the overhang",
            to_millimetre(*length, format),
            to_millimetre(*distance, format)
        ),
        OutlineError::DripEdgesCross { block, first, second } => format!(
            "the drip edges over sides {first} and {second} of block {block} cross, expected room for the overhang"
        ),
        OutlineError::ChangeBelowDripEdge { block, side, rise } => format!(
            "on side {side} of block {block} the slope changes {} {} the drip edge, expected above it",
            to_millimetre(rise.abs(), format),
            if *rise < 0.0 { "below" } else { "above" }
        ),
        OutlineError::Multiple(errors) => {
            errors.iter().map(|error| outline(error, format)).collect::<Vec<_>>().join("; ")
        }
    }
}

/// What to do.
pub(super) fn hint(error: &OutlineError) -> &'static str {
    match error {
        OutlineError::PlacesMissing { .. } | OutlineError::TooFewSides { .. } => {
            "walk all the way round, one entry a side"
        }
        OutlineError::NotFinite { .. } => "look at the measurements of this side and of those that place its block",
        OutlineError::ZeroLength { .. } => "leave the side out, or give it its length",
        OutlineError::FoldsBack { .. } | OutlineError::NoArea { .. } => {
            "check the turns (left is positive) and the lengths beside this corner"
        }
        OutlineError::Crossing { .. } => "check the turns and lengths from the first of them to the second",
        OutlineError::HoleOutside { .. } | OutlineError::HoleInHole { .. } => {
            "a hole's start is in the block's own frame: along its first side, and to the left of it"
        }
        OutlineError::NoEave { .. } => "give a side a pitch: what rises nowhere is no roof",
        OutlineError::UnknownPitch { .. } => "give ridge_height, or rafter = { side = …, length = … }, on the block",
        OutlineError::SideSwallowed { .. } | OutlineError::DripEdgesCross { .. } => {
            "a smaller overhang finds room, or an outline measured at the eaves"
        }
        OutlineError::ChangeBelowDripEdge { .. } => "rises are given above the side's own height",
        OutlineError::Multiple(_) => "each stands at its own place",
    }
}

/// Why a pitch was not found.
#[must_use]
pub fn pitch(error: &PitchError, format: Format) -> String {
    let called = |what: &Measure| match what {
        Measure::RidgeHeight => "ridge height",
        Measure::Rafter => "rafter",
    };
    match error {
        PitchError::NothingToGoBy { block } => {
            format!("the pitch of block {block} is not measured, expected its ridge_height or a taped rafter")
        }
        PitchError::OutOfReach { block, what, wanted, least, most } => format!(
            "block {block}: no pitch gives a {} of {}, expected between {} and {}",
            called(what),
            to_millimetre(*wanted, format),
            to_millimetre(*least, format),
            to_millimetre(*most, format)
        ),
        PitchError::Ambiguous { block, what, wanted, pitches: [flat, steep] } => format!(
            "block {block}: a {} of {} fits {} and {}, expected {} too",
            called(what),
            to_millimetre(*wanted, format),
            degrees(*flat),
            degrees(*steep),
            match what {
                Measure::RidgeHeight => "a taped rafter",
                Measure::Rafter => "ridge_height",
            }
        ),
    }
}
