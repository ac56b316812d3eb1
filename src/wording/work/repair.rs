//! Steps of a repair in words. Common practice, no source.

use super::capital::capital;
use super::covering::{length, per_piece};
use crate::takeoff::work::{Kind, RepairTask};
use crate::wording::amount::count;
use crate::wording::units::Format;

/// Heading of a step of a repair.
pub(super) fn heading(task: &RepairTask) -> &'static str {
    match task {
        RepairTask::MarkOut { .. } => "Mark it out",
        RepairTask::Lift { .. } => "Lift what lies over it",
        RepairTask::TakeOut { .. } => "Take the old pieces out",
        RepairTask::PatchUnderlay { .. } => "Patch the underlay",
        RepairTask::Renew { .. } => "Lay the new pieces",
        RepairTask::LayBack { .. } => "Lay back what was lifted",
    }
}

pub(super) fn message(task: &RepairTask, format: Format) -> String {
    match task {
        RepairTask::MarkOut { courses, along: [from, to], gauge } => format!(
            "{}, counted from the eave at a gauge of {}, from {} to {} along it from the face's left end seen from outside. Chalk \
             it; look how far the damage really goes before anything is lifted.",
            capital(&courses_word(*courses)),
            length(*gauge, format),
            format.length(from.max(0.0)),
            format.length(*to)
        ),
        RepairTask::Lift { courses, pieces, kind, caps_off, warm_below } => {
            lift(*courses, *pieces, *kind, (*caps_off, *warm_below), format)
        }
        RepairTask::TakeOut { courses, pieces, kind } => {
            let how = match kind {
                Kind::Strip | Kind::SingleTab => "Draw every nail with a flat bar slid under the piece",
                Kind::Slate => "Cut the nails with a ripper slid under the slate, and draw it down",
                Kind::PlainTile => "Wedge up those above, free any nails with a ripper, and lift each off its batten",
                Kind::Tile | Kind::Sheet | Kind::Felt => "Lift each off its batten, unlocked from the one beside it",
            };
            format!(
                "{how}, from the top down: {}, up to {} with those that reach in from the sides. What lies below is looked over: \
                 what is soaked or soft is renewed first.",
                courses_word(*courses),
                count(*pieces as usize, "piece", "pieces")
            )
        }
        RepairTask::PatchUnderlay { width, height, lap } => format!(
            "A piece {} by {}: its upper edge slid {} under the old underlay, its lower edge over it, its ends over it on both \
             sides; old tears below it closed.",
            format.length(*width),
            format.length(*height),
            format.fine(*lap)
        ),
        RepairTask::Renew { courses, pieces, gauge, nails, kind } => {
            let joints = match kind {
                Kind::Tile | Kind::Sheet | Kind::Felt => "locked into the old ones beside them",
                Kind::Strip | Kind::SingleTab | Kind::Slate | Kind::PlainTile => {
                    "joints where the old ones stood, so that the bond goes on"
                }
            };
            let nails = match (kind, nails) {
                (Kind::Slate, _) => {
                    " Nailed as the others where the nails are covered; the last ones of each gap hang in hooks."
                        .to_owned()
                }
                (_, Some(nails)) => format!(
                    " Nails: {} a piece, {} above its butt, the outer ones {} from the ends.",
                    per_piece(nails.per_piece),
                    format.fine(nails.from_butt),
                    format.fine(nails.from_ends)
                ),
                (_, None) => String::new(),
            };
            format!(
                "From the lowest up, {} at a gauge of {}, up to {}, {joints}.{nails}",
                courses_word(*courses),
                length(*gauge, format),
                count(*pieces as usize, "piece", "pieces")
            )
        }
        RepairTask::LayBack { courses, pieces, kind, sealed } => lay_back(*courses, *pieces, *kind, *sealed),
    }
}

fn courses_word([first, last]: [usize; 2]) -> String {
    if first == last { format!("course {first}") } else { format!("courses {first} to {last}") }
}

fn lift(
    courses: [usize; 2],
    pieces: u32,
    kind: Kind,
    (caps_off, warm_below): (bool, Option<f64>),
    format: Format,
) -> String {
    let caps = if caps_off { "The caps over them come off first, and are laid back last. " } else { "" };
    let which = format!("{}, {}", courses_word(courses), count(pieces as usize, "piece", "pieces"));
    match kind {
        Kind::Tile | Kind::PlainTile => {
            format!("{caps}Push {which}, up under those above, or lift them off and keep them at hand.")
        }
        _ => {
            let warm = warm_below.map_or_else(String::new, |celsius| {
                format!(" Below {} warm every tab before it is bent: cold ones crack.", format.temperature(celsius))
            });
            format!(
                "{caps}Part the seals of {which}, with a flat bar, tab by tab, without kinking one. The nails of the lowest of them go \
                 through the heads of what comes out: draw them too.{warm} A piece that cracks is renewed with the others."
            )
        }
    }
}

fn lay_back(courses: usize, pieces: u32, kind: Kind, sealed: bool) -> String {
    if courses == 0 {
        return "Every new tab sealed by hand.".to_owned();
    }
    let which = format!("{}, {}", count(courses, "course", "courses"), count(pieces as usize, "piece", "pieces"));
    let nailed = match kind {
        Kind::Strip | Kind::SingleTab => "the lowest of them nailed again beside the old holes, which are sealed",
        Kind::Slate | Kind::PlainTile => "each back on its batten, fixed as it was",
        Kind::Tile | Kind::Sheet | Kind::Felt => "each back on its batten and locked, fixed as it was",
    };
    let seal = if sealed {
        " Every tab that was lifted and every new one bedded in dabs of adhesive and pressed down: an old seal does not stick again."
    } else {
        ""
    };
    format!("{which}: {nailed}.{seal}")
}
