//! What happens on the way up, in words.

use crate::base::ids::{EdgeId, FaceId};
use crate::base::units::LengthUnit;
use crate::roof::EdgeKind;
use crate::roof::analysis::rise::RiseEvent;
use crate::viewer::render::facts::short_name;
use crate::viewer::render::shown::Shown;
use crate::wording::estimate;
use crate::wording::units::Format;

/// `the hips between A and B and between B and C meet; the ridge between A and C lies here, 3.60 m; B is used up`.
#[must_use]
pub fn words(shown: &Shown, event: &RiseEvent, units: LengthUnit) -> String {
    let roof = &shown.answered.answer.roof;
    let kind = |edge: &EdgeId| roof.edges[edge.index()].kind;
    let mut parts = Vec::new();
    let mut ends = Vec::new();
    for wanted in
        [EdgeKind::Hip, EdgeKind::Valley, EdgeKind::Verge, EdgeKind::PitchBreak, EdgeKind::Step, EdgeKind::Abutment]
    {
        let of_kind: Vec<EdgeId> = event.end.iter().copied().filter(|edge| kind(edge) == wanted).collect();
        ends.extend(named(shown, wanted, &of_kind));
    }
    if !ends.is_empty() {
        let verb = if event.end.len() > 1 { "meet" } else { "ends" };
        parts.push(format!("{} {verb}", listed(&ends)));
    }
    for edge in &event.level {
        let of = &roof.edges[edge.index()];
        let length = estimate::length(&shown.answered.answer.length(*edge).alone(), Format::of(units));
        let faces = RiseEvent::faces_of(roof, *edge);
        match (of.kind, faces.as_slice()) {
            (EdgeKind::Ridge, _) => parts.push(format!("the ridge {} lies here, {length}", between(shown, &faces))),
            (EdgeKind::Valley, _) => {
                parts.push(format!("a level valley {} lies here, {length}", between(shown, &faces)));
            }
            (EdgeKind::Top, _) => parts.push(format!("the top of {} lies here, {length}", names(shown, &faces))),
            (EdgeKind::PitchBreak, [a, b]) => {
                let (low, high) = if lies_below(shown, *a, *b) { (*a, *b) } else { (*b, *a) };
                let pitch = |face: FaceId| Format::of(units).pitch(roof.faces[face.index()].plane.pitch());
                parts.push(format!("{} goes on from {} to {}", short_name(shown, low), pitch(low), pitch(high)));
            }
            (EdgeKind::Eave, _) => parts.push(format!("the eave of {} begins", names(shown, &faces))),
            _ => {}
        }
    }
    for wanted in [EdgeKind::Hip, EdgeKind::Valley, EdgeKind::Ridge] {
        let of_kind: Vec<EdgeId> = event.begin.iter().copied().filter(|edge| kind(edge) == wanted).collect();
        let begun = named(shown, wanted, &of_kind);
        if !begun.is_empty() {
            let verb = if of_kind.len() > 1 { "begin" } else { "begins" };
            parts.push(format!("{} {verb}", listed(&begun)));
        }
    }
    if !event.used_up.is_empty() {
        let verb = if event.used_up.len() > 1 { "are" } else { "is" };
        parts.push(format!("{} {verb} used up", names(shown, &event.used_up)));
    }
    parts.join("; ")
}

/// Edges of one kind: `the hip between A and B`, `the hips between A and B and between B and C`.
fn named(shown: &Shown, kind: EdgeKind, edges: &[EdgeId]) -> Vec<String> {
    let roof = &shown.answered.answer.roof;
    let pairs: Vec<String> = edges.iter().map(|edge| between(shown, &RiseEvent::faces_of(roof, *edge))).collect();
    match pairs.as_slice() {
        [] => Vec::new(),
        [one] => vec![format!("the {} {one}", kind.word())],
        several => vec![format!("the {}s {}", kind.word(), listed(several))],
    }
}

fn between(shown: &Shown, faces: &[FaceId]) -> String {
    match faces {
        [] => String::new(),
        [one] => format!("of {}", short_name(shown, *one)),
        several => format!("between {}", names(shown, several)),
    }
}

fn names(shown: &Shown, faces: &[FaceId]) -> String {
    listed(&faces.iter().map(|face| short_name(shown, *face)).collect::<Vec<_>>())
}

fn listed(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn lies_below(shown: &Shown, a: FaceId, b: FaceId) -> bool {
    let roof = &shown.answered.answer.roof;
    let lowest =
        |face: FaceId| roof.ring(&roof.faces[face.index()]).iter().map(|place| place.z).fold(f64::INFINITY, f64::min);
    lowest(a) <= lowest(b)
}
