//! Why footprints, or faces given by points, make no roof.

use super::ring;
use crate::base::name::SideName;
use crate::roof::SolveError;
use crate::roof::checks::Check;
use crate::roof::kernel::points::PointsError;
use crate::wording::amount::{count, distance, fine_area, fine_volume, list, tiny_length, to_millimetre};
use crate::wording::roof::{blocks, check, left_out};
use crate::wording::survey::Names;
use crate::wording::units::Format;

/// An error of a roof from outlines.
#[must_use]
pub fn roof(error: &SolveError, format: Format) -> String {
    match error {
        SolveError::NotFinite { block } => {
            format!("a corner, height or rise of {block} is no finite number, expected numbers a roof can have")
        }
        SolveError::TooFewSides { block, ring: number, found } => format!(
            "{} has {} in different lines, expected 3 or more",
            ring(block, *number),
            count(*found, "side", "sides")
        ),
        SolveError::FoldsBack { sides } => {
            let (own, block) = (own_names(sides), &sides[0].block);
            format!("sides {} of {block} fold back along each other, expected a corner", list(&own))
        }
        SolveError::Crosses { sides } => {
            let (own, block) = (own_names(sides), &sides[0].block);
            format!("sides {} of {block} cross or touch, expected an outline that meets itself nowhere", list(&own))
        }
        SolveError::NeverCloses { block, sides } => format!(
            "the roof over {block} never closes: what is left above {} only stands plumb, expected a slope that closes it",
            of_sides(sides)
        ),
        SolveError::Tangled { block, sides, height } => format!(
            "the roof over {block} has no one reading where {} meet at height {}, expected slopes that meet in one way",
            of_sides(sides),
            to_millimetre(*height, format)
        ),
        SolveError::Unverified { blocks: names, check: failed, faces } => {
            let found = match (failed, failed.numbers()) {
                (_, None) => String::new(),
                (Check::PlanArea { .. } | Check::Covered { .. }, Some([expected, found])) => {
                    format!(" of {}, found {}", fine_area(expected, format), fine_area(found, format))
                }
                (Check::Volume { .. }, Some([expected, found])) => {
                    format!(" of {}, found {}", fine_volume(expected, format), fine_volume(found, format))
                }
                (_, Some([expected, found])) => format!(" ({expected:.0}, found {found:.0})"),
            };
            let faces: Vec<String> = faces.iter().map(ToString::to_string).collect();
            let faces = if faces.is_empty() { String::new() } else { format!(", at {}", list(&faces)) };
            format!(
                "the roof over {} failed a check and is not answered: expected that {}{found}{faces}",
                blocks(names),
                check(failed)
            )
        }
    }
}

/// "side A", "sides A and C".
fn of_sides(sides: &[SideName]) -> String {
    match own_names(sides).as_slice() {
        [one] => format!("side {one}"),
        several => format!("sides {}", list(several)),
    }
}

/// The names of sides within their block.
fn own_names(sides: &[SideName]) -> Vec<&str> {
    sides.iter().map(|side| side.side.as_str()).collect()
}

/// What to do.
pub(super) fn roof_hint(error: &SolveError) -> &'static str {
    match error {
        SolveError::NotFinite { .. } => "look at the heights, rises and places of this block",
        SolveError::TooFewSides { .. } => "walk all the way round, one entry a side",
        SolveError::FoldsBack { .. } | SolveError::Crosses { .. } => {
            "check the turns (left is positive) and the lengths beside these sides"
        }
        SolveError::NeverCloses { .. } => "give one of these sides a pitch, or let the verge end in a hip",
        SolveError::Tangled { .. } => "a length or a pitch that differs a little, as measured ones do, has one reading",
        SolveError::Unverified { .. } => {
            "a wrong roof is worse than none: lengths that differ by a millimetre may pass; please send the file to the authors"
        }
    }
}

/// An error of a roof from points.
#[must_use]
pub fn points(error: &PointsError, names: &Names<'_>, format: Format) -> String {
    match error {
        PointsError::NoFaces { left_out: faces } => {
            let reasons: Vec<String> = faces.iter().map(|face| left_out(names, face)).collect();
            let reasons = if reasons.is_empty() { "none is given".to_owned() } else { reasons.join("; ") };
            format!("no face of the roof is located, expected one or more: {reasons}")
        }
        PointsError::TooFewPoints { face, found } => {
            format!("face {face} has {}, expected 3 or more", count(*found, "point", "points"))
        }
        PointsError::SamePlace { face, first, second } if first == second => {
            format!("point {first} stands twice in face {face}, expected different corners")
        }
        PointsError::SamePlace { face, first, second } => {
            format!("points {first} and {second} of face {face} lie at one place, expected different corners")
        }
        PointsError::OnOneLine { face, within } => {
            format!(
                "the points of face {face} lie on one line within {}, expected a plane",
                tiny_length(*within, format)
            )
        }
        PointsError::NotInOrder { face, first, second } => format!(
            "the points of face {face} are not in order round it: its sides from {first} and from {second} cross, expected \
             none that do"
        ),
        PointsError::SharedByMany { faces, from, to } => {
            format!("{} faces share the edge {from}-{to}, expected 2 at most: {}", faces.len(), list(faces))
        }
        PointsError::NotFlat { face, point, by, most } => format!(
            "face {face} is not flat: {point} lies {} from its plane, expected at most {}",
            distance(*by, format),
            distance(*most, format)
        ),
        PointsError::CannotMeet { faces, point, moved, by, most } => format!(
            "the planes of faces {} cannot meet at {point}: {moved} would have to move {}, expected at most {}",
            list(faces),
            distance(*by, format),
            distance(*most, format)
        ),
        PointsError::Vanishes { faces, from, to } => format!(
            "at this pitch the edge from {from} to {to} of {} shrinks to nothing, expected a roof of the same shape",
            list(faces)
        ),
        PointsError::StayApart { faces, point, gap } => format!(
            "the planes of faces {} stay {} apart at {point}, expected planes that meet",
            list(faces),
            tiny_length(*gap, format)
        ),
        PointsError::Multiple(errors) => {
            errors.iter().map(|error| points(error, names, format)).collect::<Vec<_>>().join("; ")
        }
    }
}

/// What to do.
pub(super) fn points_hint(error: &PointsError) -> &'static str {
    match error {
        PointsError::NoFaces { .. } => {
            "`solve` says what is not determined, why, and which measurement would help most"
        }
        PointsError::TooFewPoints { .. } | PointsError::OnOneLine { .. } => "name a corner off the line of the others",
        PointsError::SamePlace { .. } => "name each corner of the face once",
        PointsError::NotInOrder { .. } => "name the corners one after another round the face, either way",
        PointsError::SharedByMany { .. } => "an edge lies between two faces: look which of these ends elsewhere",
        PointsError::NotFlat { .. } => "measure the point again, or part the face where it folds",
        PointsError::CannotMeet { .. } | PointsError::StayApart { .. } => {
            "measure the point again, or look whether it is a corner of all these faces"
        }
        PointsError::Vanishes { .. } => "compare pitches nearer to the present one",
        PointsError::Multiple(_) => "each stands at its own place",
    }
}
