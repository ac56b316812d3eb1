//! Why a dormer or an opening cannot stand where it is put.

use crate::roof::analysis::opening::{NotASlope, OpeningError};
use crate::roof::kernel::dormer::DormerError;
use crate::wording::amount::{distance, fine_area};
use crate::wording::units::Format;

/// An error of a dormer.
#[must_use]
pub fn dormer(error: &DormerError, format: Format) -> String {
    match error {
        DormerError::NoFace { dormer, face, faces } => {
            let one_of = match faces.as_slice() {
                [face] => face.clone(),
                faces => format!("one of {}", faces.join(", ")),
            };
            format!("dormer {dormer} stands in {face}, which is no face of the roof before dormers, expected {one_of}")
        }
        DormerError::NoSlope { dormer, face } => {
            format!("dormer {dormer} stands in {face}, which does not slope, expected a face that does")
        }
        DormerError::FrontOutside { dormer, face, depth, front: [from, to], spans } => {
            let [left, right] = error.past_ends();
            let past = |by: Option<f64>, end: &str| {
                by.map_or_else(String::new, |by| format!(", {} past the {end} end", format.length(by)))
            };
            let span = |[from, to]: &[f64; 2]| format!("{} to {}", format.length(*from), format.length(*to));
            let spans: Vec<String> = spans.iter().map(span).collect();
            format!(
                "the front of dormer {dormer} runs from {} to {} along {face}{}{}, expected it within {}, what the face has \
                 {} in from its eave",
                format.length(*from),
                format.length(*to),
                past(left, "left"),
                past(right, "right"),
                spans.join(" or "),
                format.length(*depth)
            )
        }
        DormerError::FrontBeyond { dormer, face, depth, deepest } => format!(
            "the front of dormer {dormer} stands {} in from the eave of {face}, expected less than the {} that the face \
             reaches in",
            format.length(*depth),
            format.length(*deepest)
        ),
        DormerError::TooHigh { dormer, face, depth } => {
            let meets = depth.map_or_else(
                || format!("would never meet the plane of {face}"),
                |depth| {
                    format!(
                        "would meet the plane of {face} {} in from its front, outside the face",
                        format.length(depth)
                    )
                },
            );
            format!("the roof of dormer {dormer} {meets}, expected it lower or nearer the eave")
        }
    }
}

/// What to do.
pub(super) fn dormer_hint(error: &DormerError) -> &'static str {
    match error {
        DormerError::NoFace { .. } => {
            "a side whose face is in several pieces names them from below: block/side, block/side:2 …; faces in one plane \
             that touch go by the first of their sides in the file"
        }
        DormerError::FrontOutside { .. } | DormerError::FrontBeyond { .. } => {
            "`at` counts from the left end of the face's eave, seen from outside, and level in from it"
        }
        DormerError::TooHigh { .. } => "a smaller `front_height` or a flatter `pitch` brings its roof down sooner",
        DormerError::NoSlope { .. } => "name a side whose roof slopes",
    }
}

/// An error of an opening.
#[must_use]
pub fn opening(error: &OpeningError, format: Format) -> String {
    match error {
        OpeningError::UnknownFace { opening, face } => {
            format!("opening {} names the face {face}, expected one that the roof has", opening + 1)
        }
        OpeningError::NotASlope { opening, face, found } => format!(
            "opening {} names the face {face}, which is {}, expected a sloping roof face",
            opening + 1,
            match found {
                NotASlope::Wall => "a wall",
                NotASlope::Level => "level",
            }
        ),
        OpeningError::NoSize { opening, size } => {
            let describe = |size: f64| if size.is_finite() { format.length(size) } else { "no number".to_owned() };
            format!(
                "opening {} has no size: {} by {}, expected more than 0",
                opening + 1,
                describe(size[0]),
                describe(size[1])
            )
        }
        OpeningError::NotAnOutline { opening, corners } => format!(
            "the plan of opening {} is no outline: expected 3 corners or more round an area, found {corners}",
            opening + 1
        ),
        OpeningError::Outside { opening, face, by, area } => format!(
            "opening {} reaches {} beyond the face {face} ({} of it lie outside), expected it to lie inside",
            opening + 1,
            distance(*by, format),
            fine_area(*area, format)
        ),
        OpeningError::MeetsNothing { opening, by } => {
            let apart = by.map_or_else(
                || "the roof has none".to_owned(),
                |by| format!("it lies {} from the nearest in plan", distance(by, format)),
            );
            format!("opening {} meets no face of the roof, expected one: {apart}", opening + 1)
        }
        OpeningError::Overlap { openings: [one, two], face, area } => format!(
            "openings {} and {} overlap by {} in the face {face}, expected them beside each other",
            one + 1,
            two + 1,
            fine_area(*area, format)
        ),
        OpeningError::Multiple(errors) => {
            errors.iter().map(|error| opening(error, format)).collect::<Vec<_>>().join("; ")
        }
    }
}

/// What to do.
pub(super) fn opening_hint(error: &OpeningError) -> &'static str {
    match error {
        OpeningError::UnknownFace { .. } => "`solve` lists the faces of the roof by name",
        OpeningError::NotASlope { .. } => {
            "openings are measured from an eave; one given by `plan` is cut from any face"
        }
        OpeningError::NoSize { .. } => "`size` is along the eave, then up the slope",
        OpeningError::NotAnOutline { .. } => "`plan` lists the corners, one after another round it",
        OpeningError::Outside { .. } => {
            "`at` is its lower left corner: from the left end of the face's lowest eave seen from outside, along it, then up \
             the slope"
        }
        OpeningError::MeetsNothing { .. } => "`plan` is on the site plan, as the blocks' corners are",
        OpeningError::Overlap { .. } => "move one of them, or give both as one opening",
        OpeningError::Multiple(_) => "each stands at its own place",
    }
}
