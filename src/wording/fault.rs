//! Why there is no answer, in words: what was found, what was expected, and what to do. Lower case, without a full stop.

use super::amount::{count, distance, fine_area, fine_gap, fine_volume, hair, list, to_millimetre};
use super::roof::{blocks, check, left_out};
use super::survey::Names;
use crate::base::words::{Words, degrees};
use crate::job::Job;
use crate::job::answer::Failure;
use crate::job::fault::{Fault, StageError};
use crate::job::order::CompareError;
use crate::outline::OutlineError;
use crate::outline::pitch::{Measure, PitchError};
use crate::roof::SolveError;
use crate::roof::checks::Check;
use crate::roof::dormer::DormerError;
use crate::roof::opening::{NotASlope, OpeningError};
use crate::roof::points::PointsError;
use crate::survey::SurveyError;
use crate::survey::observation::Unit;

/// What is wrong: found and expected.
#[must_use]
pub fn message(fault: &Fault, job: &Job) -> String {
    let say = Words::of(job.units);
    match &fault.error {
        StageError::Survey(error) => survey(error, &Names::of(job), say),
        StageError::Outline(error) => outline(error, say),
        StageError::Pitch(error) => pitch(error, say),
        StageError::Roof(error) => roof(error, say),
        StageError::Points(error) => points(error, &Names::of(job), say),
        StageError::Dormer(error) => dormer(error, say),
        StageError::Opening(error) => opening(error, say),
    }
}

/// What to do about it.
#[must_use]
pub fn hint(fault: &Fault) -> &'static str {
    match &fault.error {
        StageError::Survey(error) => survey_hint(error),
        StageError::Outline(error) => outline_hint(error),
        StageError::Pitch(PitchError::OutOfReach { .. }) => {
            "measure it again; look whether the height of the block and the lengths of its sides are right"
        }
        StageError::Pitch(_) => "give ridge_height, or rafter = { side = …, length = … }, on the block",
        StageError::Roof(error) => roof_hint(error),
        StageError::Points(error) => points_hint(error),
        StageError::Dormer(error) => dormer_hint(error),
        StageError::Opening(error) => opening_hint(error),
    }
}

/// Every fault of a failure, in one line.
#[must_use]
pub fn told(failure: &Failure, job: &Job) -> String {
    failure.faults.iter().map(|fault| message(fault, job)).collect::<Vec<_>>().join("; ")
}

/// Why pitches cannot be compared.
#[must_use]
pub fn not_comparable(error: &CompareError, job: &Job) -> String {
    match error {
        CompareError::NoEaves => {
            "the roof is given by points; pitches can only be compared where sides have one".to_owned()
        }
        CompareError::NotAnEave(side) => format!("side {side} is not an eave of this job"),
        CompareError::Job(failure) => told(failure, job),
        CompareError::NoSuchRidge(height) => {
            format!("no pitch gives a ridge {} above datum", to_millimetre(*height, Words::of(job.units)))
        }
    }
}

/// "block store", or "hole 1 of block store".
fn ring(block: &str, ring: usize) -> String {
    if ring == 0 { format!("block {block}") } else { format!("hole {ring} of block {block}") }
}

fn survey(error: &SurveyError, names: &Names<'_>, say: Words) -> String {
    match error {
        SurveyError::TurnsDoNotClose { block, ring: number, sum, expected, allowed } => format!(
            "the turns of {} add up to {:.1}°, expected {:.0}° within {:.1}°",
            ring(block, *number),
            sum.to_degrees(),
            expected.to_degrees(),
            allowed.to_degrees()
        ),
        SurveyError::ExactContradiction { observation, by, unit, .. } => {
            let by = match (by, unit) {
                (None, _) => String::new(),
                (Some(by), Unit::Radian) => format!(" by {:.3}°", by.to_degrees()),
                (Some(by), Unit::Metre) => format!(" by {}", fine_gap(*by, say)),
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

fn survey_hint(error: &SurveyError) -> &'static str {
    match error {
        SurveyError::TurnsDoNotClose { .. } => "check the turns (left is positive), and whether a side is missing",
        SurveyError::ExactContradiction { .. } => "leave out sigma = 0 where something was read from a tape or a level",
        SurveyError::TooFewSides { .. } => "walk all the way round, one entry a side",
        SurveyError::PlacedByNothing { .. } => "give one of the blocks a start instead of at_side",
        SurveyError::NotConverged { .. } => {
            "look at the named ones first; a rough place, near = [x, y, z], helps points that hang on little"
        }
    }
}

fn outline(error: &OutlineError, say: Words) -> String {
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
            hair(*length, say),
            hair(*least, say)
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
            to_millimetre(*length, say),
            to_millimetre(*distance, say)
        ),
        OutlineError::DripEdgesCross { block, first, second } => format!(
            "the drip edges over sides {first} and {second} of block {block} cross, expected room for the overhang"
        ),
        OutlineError::ChangeBelowDripEdge { block, side, rise } => format!(
            "on side {side} of block {block} the slope changes {} {} the drip edge, expected above it",
            to_millimetre(rise.abs(), say),
            if *rise < 0.0 { "below" } else { "above" }
        ),
        OutlineError::Several(errors) => errors.iter().map(|error| outline(error, say)).collect::<Vec<_>>().join("; "),
    }
}

fn outline_hint(error: &OutlineError) -> &'static str {
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
        OutlineError::Several(_) => "each stands at its own place",
    }
}

fn pitch(error: &PitchError, say: Words) -> String {
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
            to_millimetre(*wanted, say),
            to_millimetre(*least, say),
            to_millimetre(*most, say)
        ),
        PitchError::Ambiguous { block, what, wanted, pitches: [flat, steep] } => format!(
            "block {block}: a {} of {} fits {} and {}, expected {} too",
            called(what),
            to_millimetre(*wanted, say),
            degrees(*flat),
            degrees(*steep),
            match what {
                Measure::RidgeHeight => "a taped rafter",
                Measure::Rafter => "ridge_height",
            }
        ),
    }
}

fn roof(error: &SolveError, say: Words) -> String {
    match error {
        SolveError::NotFinite { block } => {
            format!("a corner, height or rise of {block} is no finite number, expected numbers a roof can have")
        }
        SolveError::TooFewSides { block, ring: number, found } => format!(
            "{} has {} in different lines, expected 3 or more",
            ring(block, *number),
            count(*found, "side", "sides")
        ),
        SolveError::FoldsBack { block, sides } => {
            format!("sides {} of {block} fold back along each other, expected a corner", list(sides))
        }
        SolveError::Crosses { block, sides } => {
            format!("sides {} of {block} cross or touch, expected an outline that meets itself nowhere", list(sides))
        }
        SolveError::NeverCloses { block, sides } => format!(
            "the roof over {block} never closes: what is left above {} only stands plumb, expected a slope that closes it",
            of_sides(sides)
        ),
        SolveError::Tangled { block, sides, height } => format!(
            "the roof over {block} has no one reading where {} meet at height {}, expected slopes that meet in one way",
            of_sides(sides),
            to_millimetre(*height, say)
        ),
        SolveError::Unverified { blocks: names, check: failed, faces } => {
            let found = match (failed, failed.numbers()) {
                (_, None) => String::new(),
                (Check::PlanArea { .. } | Check::Covered { .. }, Some([expected, found])) => {
                    format!(" of {}, found {}", fine_area(expected, say), fine_area(found, say))
                }
                (Check::Volume { .. }, Some([expected, found])) => {
                    format!(" of {}, found {}", fine_volume(expected, say), fine_volume(found, say))
                }
                (_, Some([expected, found])) => format!(" ({expected:.0}, found {found:.0})"),
            };
            let faces = if faces.is_empty() { String::new() } else { format!(", at {}", list(faces)) };
            format!(
                "the roof over {} failed a check and is not answered: expected that {}{found}{faces}",
                blocks(names),
                check(failed)
            )
        }
    }
}

/// "side A", "sides A and C".
fn of_sides(names: &[String]) -> String {
    if names.len() == 1 { format!("side {}", names[0]) } else { format!("sides {}", list(names)) }
}

fn roof_hint(error: &SolveError) -> &'static str {
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

fn points(error: &PointsError, names: &Names<'_>, say: Words) -> String {
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
            format!("the points of face {face} lie on one line within {}, expected a plane", hair(*within, say))
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
            distance(*by, say),
            distance(*most, say)
        ),
        PointsError::CannotMeet { faces, point, moved, by, most } => format!(
            "the planes of faces {} cannot meet at {point}: {moved} would have to move {}, expected at most {}",
            list(faces),
            distance(*by, say),
            distance(*most, say)
        ),
        PointsError::StayApart { faces, point, gap } => format!(
            "the planes of faces {} stay {} apart at {point}, expected planes that meet",
            list(faces),
            hair(*gap, say)
        ),
        PointsError::Several(errors) => {
            errors.iter().map(|error| points(error, names, say)).collect::<Vec<_>>().join("; ")
        }
    }
}

fn points_hint(error: &PointsError) -> &'static str {
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
        PointsError::Several(_) => "each stands at its own place",
    }
}

fn dormer(error: &DormerError, say: Words) -> String {
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
                by.map_or_else(String::new, |by| format!(", {} past the {end} end", say.length(by)))
            };
            let span = |[from, to]: &[f64; 2]| format!("{} to {}", say.length(*from), say.length(*to));
            let spans: Vec<String> = spans.iter().map(span).collect();
            format!(
                "the front of dormer {dormer} runs from {} to {} along {face}{}{}, expected it within {}, what the face has \
                 {} in from its eave",
                say.length(*from),
                say.length(*to),
                past(left, "left"),
                past(right, "right"),
                spans.join(" or "),
                say.length(*depth)
            )
        }
        DormerError::FrontBeyond { dormer, face, depth, deepest } => format!(
            "the front of dormer {dormer} stands {} in from the eave of {face}, expected less than the {} that the face \
             reaches in",
            say.length(*depth),
            say.length(*deepest)
        ),
        DormerError::TooHigh { dormer, face, depth } => {
            let meets = depth.map_or_else(
                || format!("would never meet the plane of {face}"),
                |depth| {
                    format!("would meet the plane of {face} {} in from its front, outside the face", say.length(depth))
                },
            );
            format!("the roof of dormer {dormer} {meets}, expected it lower or nearer the eave")
        }
    }
}

fn dormer_hint(error: &DormerError) -> &'static str {
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

fn opening(error: &OpeningError, say: Words) -> String {
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
            let told = |size: f64| if size.is_finite() { say.length(size) } else { "no number".to_owned() };
            format!("opening {} has no size: {} by {}, expected more than 0", opening + 1, told(size[0]), told(size[1]))
        }
        OpeningError::NotAnOutline { opening, corners } => format!(
            "the plan of opening {} is no outline: expected 3 corners or more round an area, found {corners}",
            opening + 1
        ),
        OpeningError::Outside { opening, face, by, area } => format!(
            "opening {} reaches {} beyond the face {face} ({} of it lie outside), expected it to lie inside",
            opening + 1,
            distance(*by, say),
            fine_area(*area, say)
        ),
        OpeningError::MeetsNothing { opening, by } => {
            let apart = by.map_or_else(
                || "the roof has none".to_owned(),
                |by| format!("it lies {} from the nearest in plan", distance(by, say)),
            );
            format!("opening {} meets no face of the roof, expected one: {apart}", opening + 1)
        }
        OpeningError::Overlap { openings: [one, two], face, area } => format!(
            "openings {} and {} overlap by {} in the face {face}, expected them beside each other",
            one + 1,
            two + 1,
            fine_area(*area, say)
        ),
        OpeningError::Several(errors) => errors.iter().map(|error| opening(error, say)).collect::<Vec<_>>().join("; "),
    }
}

fn opening_hint(error: &OpeningError) -> &'static str {
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
        OpeningError::Several(_) => "each stands at its own place",
    }
}
