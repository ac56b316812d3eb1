//! What is said of the face or edge under the pointer.

use super::shown::Shown;
use crate::base::ids::{EdgeId, FaceId};
use crate::base::tolerance::TOLD_LEVEL as LEVEL;
use crate::base::units::LengthUnit;
use crate::roof::{EdgeKind, FaceKind};
use crate::wording::units::Format;
use crate::wording::{self, estimate};

/// The name of a face as short as it is unique.
#[must_use]
pub(crate) fn short_name(shown: &Shown, face: FaceId) -> String {
    wording::short_name(&shown.answered.answer.roof, face)
}

/// The facts of a face, a line each.
#[must_use]
pub fn of_face(shown: &Shown, id: FaceId, units: LengthUnit) -> Vec<String> {
    let answer = &shown.answered.answer;
    let Some(face) = answer.roof.faces.get(id.index()) else { return Vec::new() };
    let (of, format) = (answer.of_face(id), Format::of(units));
    let area = estimate::area(&of.area, format);
    if face.kind == FaceKind::Wall {
        return vec![format!("wall {}", face.name()), area];
    }
    let mut lines = vec![
        face.name(),
        format!("{area} at {}", estimate::pitch(&of.pitch, format)),
        format!("{} in plan", estimate::area(&of.plan_area, format)),
    ];
    if let Some(off) = of.off_95.filter(|off| *off > 0.0) {
        lines.push(format!("lies off by ± {} at most", format.fine(off)));
    }
    if let Some(count) = shown.answered.take_off.faces.iter().find(|count| count.face == id) {
        let gauge = format.finer(count.gauge);
        lines.push(format!("{} courses at {gauge}, {} pieces", count.courses, count.pieces()));
    }
    lines
}

/// The facts of an edge, a line each.
#[must_use]
pub(crate) fn of_edge(shown: &Shown, id: EdgeId, units: LengthUnit) -> Vec<String> {
    let answer = &shown.answered.answer;
    let Some(edge) = answer.roof.edges.get(id.index()) else { return Vec::new() };
    let (of, format) = (answer.of_edge(id), Format::of(units));
    let mut lines = vec![format!("{} {}", edge.kind.word(), estimate::length(&of.length, format))];
    if of.slope.value().is_some_and(|slope| slope < LEVEL) {
        lines.push(format!("level, {} above datum", format.length(answer.roof.at(edge.from).z)));
    } else {
        let plan = estimate::length(&of.plan_length, format);
        lines.push(format!("{plan} in plan, {} from level", estimate::angle(&of.slope)));
    }
    let names: Vec<String> = edge.faces.iter().map(|face| short_name(shown, *face)).collect();
    match names.as_slice() {
        [one] => lines.push(format!("of {one}")),
        [one, other] => lines.push(format!("between {one} and {other}")),
        _ => {}
    }
    if let Some(dihedral) = &of.dihedral {
        let folded = matches!(edge.kind, EdgeKind::Ridge | EdgeKind::Hip | EdgeKind::Valley | EdgeKind::PitchBreak);
        if folded {
            lines.push(format!("the slopes meet at {}", estimate::angle(dihedral)));
        }
    }
    lines
}
