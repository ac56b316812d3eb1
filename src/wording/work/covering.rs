//! Starter, courses, sheets and valleys in words.

use super::capital::capital;
use crate::takeoff::details::Hand;
use crate::takeoff::details::StartsAt;
use crate::takeoff::work::{Coursing, Kind, StarterBegins, Step, Task, Trim, TrimSide};
use crate::wording::amount::{count, list};
use crate::wording::units::Format;

pub(super) fn message(step: &Step, format: Format) -> String {
    match &step.task {
        Task::Starter { height, projection, runs, width, hand, kind } => {
            let of = match kind {
                Kind::Strip => "Strips with their tabs cut off",
                Kind::SingleTab => "Tabs cut short",
                Kind::PlainTile => "Short eave tiles",
                Kind::Slate | Kind::Tile | Kind::Sheet | Kind::Felt => "Under-eave pieces",
            };
            let seal = if *kind == Kind::Strip { ", seal edge at the eave" } else { "" };
            let others = starters(runs, *width, format);
            let Some(StarterBegins { first, .. }) = runs.first() else { return String::new() };
            let is_whole = (first - width).abs() < HAIR;
            let begins = if is_whole {
                "whole pieces from the first on".to_owned()
            } else {
                format!("the first piece {} long", length(*first, format))
            };
            if step.again {
                // All else is that of the step before.
                return format!("As before, from the {}: {begins}.{others}", hand_word(*hand));
            }
            let rest =
                if is_whole { begins } else { format!("{begins}, then whole ones of {}", length(*width, format)) };
            format!(
                "{of}, {} high{seal}, {} past the deck, from the {}: {rest}, so that no joint comes to lie under a joint of \
                 course 1.{others}",
                length(*height, format),
                format.fine(*projection),
                hand_word(*hand)
            )
        }
        Task::Courses(coursing) => courses(coursing, step.again, format),
        Task::Sheets { width, rows, lap, projection, hand, screws } => {
            let rows_told = match lap {
                Some(lap) => format!("{}, the upper {} over the lower", count(*rows, "row", "rows"), format.fine(*lap)),
                None => "in one length from eave to top".to_owned(),
            };
            let screws = screws.map_or_else(String::new, |screws| {
                format!(" Screws with washers, {screws:.0} a square metre, square to the sheet, tight but not sunk.")
            });
            if step.again {
                return format!(
                    "As before, {rows_told}, {} past the deck at the eave, counted from the {}.",
                    format.fine(*projection),
                    hand_word(*hand)
                );
            }
            format!(
                "Sheets covering {} each, {rows_told}, {} past the deck at the eave, counted from the {}. Begin at the end away \
                 from the wind where the profile allows, so that side laps face away from it; sheet by sheet as listed.{screws}",
                format.fine(*width),
                format.fine(*projection),
                hand_word(*hand)
            )
        }
        Task::Trim(trim) => valley(trim, format),
        _ => String::new(),
    }
}

/// The starters beside the lowest one, each with its place and its first piece.
fn starters(runs: &[StarterBegins], width: f64, format: Format) -> String {
    let Some(rest) = runs.get(1..).filter(|rest| !rest.is_empty()) else { return String::new() };
    let begins = |run: &StarterBegins| {
        let first = if (run.first - width).abs() < HAIR {
            "whole pieces".to_owned()
        } else {
            format!("the first piece {}", length(run.first, format))
        };
        format!("{} up the slope, {}, {first}", format.fine(run.up), from_left(run.at, format))
    };
    let told: Vec<String> = rest.iter().map(begins).collect();
    format!(
        " That is the one that begins {} up the slope, {}; further starters on the same face begin: {}.",
        format.fine(runs[0].up),
        from_left(runs[0].at, format),
        told.join("; ")
    )
}

/// Lengths closer than this read alike.
const HAIR: f64 = 5e-5;

fn hand_word(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left",
        Hand::Right => "right",
    }
}

fn courses(coursing: &Coursing, again: bool, format: Format) -> String {
    let piece = match coursing.kind {
        Kind::Strip => "strip",
        Kind::SingleTab => "tab",
        Kind::Slate => "slate",
        Kind::Tile | Kind::PlainTile | Kind::Sheet | Kind::Felt => "tile",
    };
    let mut told = Vec::new();
    if again {
        // All else is that of the step before.
        told.push(format!(
            "As before, {} from the {}.",
            count(coursing.courses, "course", "courses"),
            hand_word(coursing.hand)
        ));
    } else if coursing.kind == Kind::Strip {
        told.push("Bend each pack before it is opened, so that its strips part.".to_owned());
    }
    let verge = coursing.verge.map_or_else(String::new, |past| format!(", {} past it at verges", format.fine(past)));
    let layers = if coursing.layers > 1 {
        format!(", {} over every point", count(coursing.layers as usize, "layer", "layers"))
    } else {
        String::new()
    };
    if !again {
        told.push(format!(
            "{} at a gauge of {}{layers}, the lowest {} past the deck{verge}, from the {}.",
            capital(&count(coursing.courses, "course", "courses")),
            length(coursing.gauge, format),
            format.fine(coursing.projection),
            hand_word(coursing.hand)
        ));
    }
    told.extend(first_pieces(coursing, piece, again, format));
    if let Some(first) = coursing.aprons.first() {
        let all: Vec<String> = coursing.aprons.iter().map(usize::to_string).collect();
        told.push(if coursing.aprons.len() == 1 {
            format!("Stop at course {first}: the apron of the opening comes over it, and the step of the opening goes on from there.")
        } else {
            format!(
                "Stop at courses {}: aprons of openings come over them, and the steps of the openings go on from there.",
                list(&all)
            )
        });
    }
    if coursing.at_valley {
        told.push("At valleys they end as the step of the valleys says, course by course.".to_owned());
    }
    if coursing.joints_moved {
        told.push(
            "Beside a valley that courses run through, joints stand off this repeat: lay them as the drawing of the face \
             shows, joint by joint."
                .to_owned(),
        );
    }
    if coursing.runs_on {
        told.push(
            "At the break below, where the slope turns flatter, courses and underlay run on down over it.".to_owned(),
        );
    }
    if let Some(folds) = coursing.folds {
        told.push(format!(
            "The last course stands up to {} over the ridge: fold it down on the other slope, under the caps.",
            format.fine(folds)
        ));
    }
    if again {
        return told.join(" ");
    }
    if let Some(clip) = coursing.clip {
        told.push(format!("Upper corners clipped {} at verges.", format.fine(clip)));
    }
    if let Some(nails) = coursing.nails {
        told.push(format!(
            "Nails: {} a {piece}, {} above its butt, the outer ones {} from the ends, at least {} in a cut one; driven straight, \
             heads flush, neither proud nor cutting in.",
            per_piece(nails.per_piece),
            format.fine(nails.from_butt),
            format.fine(nails.from_ends),
            nails.least
        ));
    }
    match coursing.peel {
        Some(true) => told.push("Peel the film off the back of each strip as it is laid.".to_owned()),
        Some(false) => told.push("The film on the back stays on: it only keeps strips apart in the pack.".to_owned()),
        None => {}
    }
    if let Some(dab) = coursing.dab {
        let cold = coursing.cold_below.map_or_else(String::new, |celsius| {
            format!(" Below {} seals do not stick by themselves: a little under each.", format.temperature(celsius))
        });
        told.push(format!(
            "Extra adhesive along edges exposed to wind, in dabs of {}: too much makes blisters.{cold}",
            format.fine(dab)
        ));
    }
    told.extend(by_kind(coursing.kind));
    told.join(" ")
}

/// So many on a piece: `4`, or `0.34` on average where not every piece has one.
pub(super) fn per_piece(number: f64) -> String {
    if number.fract() == 0.0 { format!("{number:.0}") } else { format!("{number} on average") }
}

/// What only this kind of piece asks for.
fn by_kind(kind: Kind) -> Option<String> {
    let told = match kind {
        Kind::Strip | Kind::Felt => return None,
        Kind::SingleTab => "Joints a half width from those below; tabs square to the eave.",
        Kind::Slate => {
            "Sort slates by thickness, thick ones at the eave; the smooth side down, bevelled edges up; holes from the back. Nails \
             through both holes, driven home without drawing the slate down."
        }
        Kind::PlainTile => {
            "Take tiles from several bundles at a time, so that their shades mix. Hang each by its nibs, joints a half width from \
             those below; nail every tile at eaves, verges, ridges, hips and valleys, and as many of the others as the exposure \
             asks for."
        }
        Kind::Tile | Kind::Sheet => {
            "Hang each tile by its nibs; fix those at eaves, verges and ridges, and as many of the others as the exposure asks for."
        }
    };
    Some(told.to_owned())
}

fn first_pieces(coursing: &Coursing, piece: &str, goes_on: bool, format: Format) -> Option<String> {
    if coursing.first.is_empty() {
        return None;
    }
    let first = lengths(&coursing.first, format);
    if goes_on {
        let (why, at) = coursing.start;
        return Some(match why {
            StartsAt::UprightSide => format!("First pieces from course 1 up: {first}."),
            StartsAt::Outermost | StartsAt::SharedSlope => {
                format!("The line square to the eave {}, joints at {first} from it.", from_left(at, format))
            }
        });
    }
    let again = if coursing.first.len() > 1 { ", then again from the first" } else { "" };
    let (why, at) = coursing.start;
    Some(match why {
        StartsAt::UprightSide if coursing.first.len() > 1 => format!(
            "The first {piece} of each course, from course 1 up: {}{again}; whole ones of {} follow.",
            first,
            length(coursing.width, format)
        ),
        StartsAt::UprightSide => format!("Every course begins with {first}; whole ones follow."),
        StartsAt::Outermost | StartsAt::SharedSlope => format!(
            "Snap a line square to the eave, {}. Measured from it joints stand, from course 1 up, at {}{again}, and at every {} \
             beyond; pieces are cut where the slope ends.",
            from_left(at, format),
            first,
            length(coursing.width, format)
        ),
    })
}

/// A length to a tenth of a millimetre, whole ones without it: `833.3 mm`, `143 mm`; feet and inches to an eighth.
#[must_use]
pub fn length(metres: f64, format: Format) -> String {
    let told = format.finer(metres);
    match told.strip_suffix(".0 mm") {
        Some(whole) => format!("{whole} mm"),
        None => told,
    }
}

/// Several lengths: `1000, 833.3 and 666.7 mm`.
fn lengths(metres: &[f64], format: Format) -> String {
    let told: Vec<String> = metres.iter().map(|one| length(*one, format)).collect();
    let bare: Option<Vec<&str>> = told.iter().map(|one| one.strip_suffix(" mm")).collect();
    match bare {
        Some(bare) => format!("{} mm", list(&bare)),
        None => list(&told),
    }
}

/// A place along the eave.
fn from_left(at: f64, format: Format) -> String {
    if at.abs() < HAIR {
        "at the face's left end seen from outside".to_owned()
    } else if at < 0.0 {
        format!("{} outside the face's left end", format.fine(-at))
    } else {
        format!("{} from the face's left end seen from outside", format.fine(at))
    }
}

fn valley(trim: &Trim, format: Format) -> String {
    let mut told = match trim.side {
        TrimSide::Open { clear, widen, over } => format!(
            "Open valley: trim both sides {} clear of the centre at the valley's top, {} more for every {} down.",
            format.fine(clear),
            format.fine(widen),
            format.stock(over)
        ),
        TrimSide::Through { past, no_joint_within } => format!(
            "This side runs through, to {} past the centre and pressed well into the valley; no joint within {} of the centre.",
            format.fine(past),
            format.fine(no_joint_within)
        ),
        TrimSide::Cut { short } => format!(
            "This side is cut {} short of the centre over the one that runs through, upper corners clipped.",
            format.fine(short)
        ),
    };
    told.push_str(&format!(" No nail within {} of the centre.", format.fine(trim.no_nail_within)));
    if trim.bedded {
        told.push_str(" Cut edges bedded in adhesive.");
    }
    told
}
