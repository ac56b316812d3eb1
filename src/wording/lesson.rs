//! What the lesson on how a roof folds and the section's plane tell, in words.

use super::amount::list;
use super::estimate;
use super::short_name;
use super::units::Format;
use crate::base::ids::{EdgeId, FaceId};
use crate::base::units::LengthUnit;
use crate::framing::{CommonRafter, Fold};
use crate::job::answer::Answer;
use crate::roof::analysis::rise::{Moved, RiseEvent, Risen};
use crate::roof::analysis::section::{Between, Section, SectionKind};
use crate::roof::{EdgeKind, Roof};

/// Where a section stands and what is read off it: `2.40 m from the left end · 5.60 m wide · 4.21 m high · 18.2 m² cut`.
#[must_use]
pub fn section(section: &Section, format: Format) -> String {
    let at = format.length(section.at);
    let (place, spans) = match section.kind {
        SectionKind::Level => (format!("{at} above datum"), ["along", "across"]),
        SectionKind::Across => (format!("{at} from the left end"), ["wide", "high"]),
        SectionKind::Along => (format!("{at} from the front"), ["wide", "high"]),
    };
    let mut parts = vec![place];
    for (extent, word) in section.extents.iter().flatten().zip(spans) {
        parts.push(format!("{} {word}", format.length(*extent)));
    }
    if section.area > 0.0 {
        parts.push(format!("{} cut", format.area(section.area)));
    }
    parts.join(" · ")
}

/// What lies between two places: `4.42 m · level 3.96 m · rise 1.96 m · 26.3°`.
#[must_use]
pub fn between(between: &Between, format: Format) -> String {
    format!(
        "{} · level {} · rise {} · {}",
        format.length(between.straight),
        format.length(between.level),
        format.length(between.rise),
        format.pitch(between.pitch())
    )
}

/// What is left of the outline at a height.
#[must_use]
pub fn left(risen: &Risen, format: Format) -> String {
    let area = format.area(risen.area);
    match risen.pieces {
        [0, _] => "Nothing is left of the outline: the roof is closed.".to_owned(),
        [1, 0] => format!("The outline still holds {area}."),
        [1, _] => format!("The outline still holds {area}, with a courtyard in it."),
        [several, _] => format!("The outline has parted: {several} pieces hold {area}."),
    }
}

/// How far sides of one pitch have moved in: `A, B and C: 1.20 m / tan 35° = 1.71 m`.
#[must_use]
pub fn moved(roof: &Roof, moved: &Moved, rise: f64, format: Format) -> String {
    let names: Vec<String> = moved.faces.iter().map(|&face| short_name(roof, face)).collect();
    let pitch = Format::of(LengthUnit::Metre).pitch(moved.pitch);
    format!("{}: {} / tan {pitch} = {}", names.join(", "), format.length(rise), format.length(moved.by))
}

/// A heading with its lines.
pub type Headed = (String, Vec<String>);

/// A hip's or valley's length from its plan.
#[must_use]
pub fn fold(roof: &Roof, fold: &Fold, format: Format) -> Headed {
    let [run, rise, length] = [fold.run.0, fold.rise, fold.length.0].map(|length| format.length(length));
    let lines = vec![
        format!("in plan {run}, rise {rise}"),
        format!("true length = √(plan² + rise²) = √(({run})² + ({rise})²) = {length}"),
        format!("slope = atan(rise / plan) = {:.1}°, flatter than either side", fold.slope().to_degrees()),
        format!("longer than its plan by {:.1} %", fold.longer() * 100.0),
        format!("the slopes meet at {:.1}°", fold.dihedral.to_degrees()),
    ];
    (format!("{} {}", capital(fold.kind.word()), between_faces(roof, &roof.edges[fold.edge.index()].faces)), lines)
}

/// A common rafter's length from its run.
#[must_use]
pub fn rafter(roof: &Roof, rafter: &CommonRafter, format: Format) -> Headed {
    let pitch = roof.faces[rafter.face.index()].plane.pitch();
    let [run, rise, length] = [rafter.run.0, rafter.rise, rafter.length.0].map(|length| format.length(length));
    let lines = vec![
        format!("rise = run × tan pitch = {run} × {:.4} = {rise}", pitch.tan()),
        format!("rafter = √(run² + rise²) = √(({run})² + ({rise})²) = {length}"),
        format!("       = run / cos pitch = {run} / {:.4} = {length}", pitch.cos()),
    ];
    let told = Format::of(LengthUnit::Metre).pitch(pitch);
    (format!("Common rafter of {} at {told}", short_name(roof, rafter.face)), lines)
}

/// A face's true area from its plan.
#[must_use]
pub fn area(answer: &Answer, face: FaceId, format: Format) -> Headed {
    let of = answer.of_face(face);
    let [area, plan] = [of.area, of.plan_area].map(|area| estimate::area(&area.alone(), format));
    let cosine = answer.roof.faces[face.index()].plane.pitch().cos();
    let lines =
        vec![format!("in plan {plan}"), format!("true area = plan / cos pitch = {plan} / {cosine:.4} = {area}")];
    ("Area".to_owned(), lines)
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// `the hips between A and B and between B and C meet; the ridge between A and C lies here, 3.60 m; B is used up`.
#[must_use]
pub fn event(answer: &Answer, event: &RiseEvent, format: Format) -> String {
    let roof = &answer.roof;
    let kind = |edge: &EdgeId| roof.edges[edge.index()].kind;
    let mut parts = Vec::new();
    let mut ends = Vec::new();
    for wanted in
        [EdgeKind::Hip, EdgeKind::Valley, EdgeKind::Verge, EdgeKind::PitchBreak, EdgeKind::Step, EdgeKind::Abutment]
    {
        let of_kind: Vec<EdgeId> = event.end.iter().copied().filter(|edge| kind(edge) == wanted).collect();
        ends.extend(named(roof, wanted, &of_kind));
    }
    if !ends.is_empty() {
        let verb = if event.end.len() > 1 { "meet" } else { "ends" };
        parts.push(format!("{} {verb}", list(&ends)));
    }
    for edge in &event.level {
        let of = &roof.edges[edge.index()];
        let length = estimate::length(&answer.length(*edge).alone(), format);
        let faces = RiseEvent::faces_of(roof, *edge);
        match (of.kind, faces.as_slice()) {
            (EdgeKind::Ridge, _) => {
                parts.push(format!("the ridge {} lies here, {length}", between_faces(roof, &faces)));
            }
            (EdgeKind::Valley, _) => {
                parts.push(format!("a level valley {} lies here, {length}", between_faces(roof, &faces)));
            }
            (EdgeKind::Top, _) => parts.push(format!("the top of {} lies here, {length}", names(roof, &faces))),
            (EdgeKind::PitchBreak, [a, b]) => {
                let (low, high) = if lies_below(roof, *a, *b) { (*a, *b) } else { (*b, *a) };
                let pitch = |face: FaceId| format.pitch(roof.faces[face.index()].plane.pitch());
                parts.push(format!("{} goes on from {} to {}", short_name(roof, low), pitch(low), pitch(high)));
            }
            (EdgeKind::Eave, _) => parts.push(format!("the eave of {} begins", names(roof, &faces))),
            _ => {}
        }
    }
    for wanted in [EdgeKind::Hip, EdgeKind::Valley, EdgeKind::Ridge] {
        let of_kind: Vec<EdgeId> = event.begin.iter().copied().filter(|edge| kind(edge) == wanted).collect();
        let begun = named(roof, wanted, &of_kind);
        if !begun.is_empty() {
            let verb = if of_kind.len() > 1 { "begin" } else { "begins" };
            parts.push(format!("{} {verb}", list(&begun)));
        }
    }
    if !event.used_up.is_empty() {
        let verb = if event.used_up.len() > 1 { "are" } else { "is" };
        parts.push(format!("{} {verb} used up", names(roof, &event.used_up)));
    }
    parts.join("; ")
}

/// Edges of one kind: `the hip between A and B`, `the hips between A and B and between B and C`.
fn named(roof: &Roof, kind: EdgeKind, edges: &[EdgeId]) -> Vec<String> {
    let pairs: Vec<String> = edges.iter().map(|edge| between_faces(roof, &RiseEvent::faces_of(roof, *edge))).collect();
    match pairs.as_slice() {
        [] => Vec::new(),
        [one] => vec![format!("the {} {one}", kind.word())],
        several => vec![format!("the {}s {}", kind.word(), list(several))],
    }
}

fn between_faces(roof: &Roof, faces: &[FaceId]) -> String {
    match faces {
        [] => String::new(),
        [one] => format!("of {}", short_name(roof, *one)),
        several => format!("between {}", names(roof, several)),
    }
}

fn names(roof: &Roof, faces: &[FaceId]) -> String {
    list(&faces.iter().map(|face| short_name(roof, *face)).collect::<Vec<_>>())
}

fn lies_below(roof: &Roof, a: FaceId, b: FaceId) -> bool {
    let lowest =
        |face: FaceId| roof.ring(&roof.faces[face.index()]).iter().map(|place| place.z).fold(f64::INFINITY, f64::min);
    lowest(a) <= lowest(b)
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Point3;

    #[test]
    fn between_two_places_in_words() {
        let rise = 2.8 * 35_f64.to_radians().tan();
        let told = |from: [f64; 3], to: [f64; 3]| {
            between(&Between::of(&Point3::from(from), &Point3::from(to)), Format::of(LengthUnit::Metre))
        };
        assert_eq!(told([1.0, 1.0, 2.4], [3.8, 3.8, 2.4 + rise]), "4.42 m · level 3.96 m · rise 1.96 m · 26.3°");
        assert_eq!(told([0.0, 0.0, 2.0], [0.0, 0.0, 0.5]), "1.50 m · level 0.00 m · rise -1.50 m · 90.0°");
    }
}
