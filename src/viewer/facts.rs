//! What is said of the face or edge under the pointer.

use super::shown::Shown;
use super::words;
use crate::base::ids::{EdgeId, FaceId};
use crate::base::units::LengthUnit;
use crate::roof::{EdgeKind, FaceKind};

/// Names of faces as short as they are unique: without their block where there is only one.
#[must_use]
pub fn short_name(shown: &Shown, face: FaceId) -> String {
    let roof = &shown.answered.roof;
    let Some(of) = roof.faces.get(face.index()) else { return String::new() };
    let one_block = roof.faces.iter().all(|other| other.block == of.block);
    match of.name.split_once('/') {
        Some((_, short)) if one_block => short.to_owned(),
        _ => of.name.clone(),
    }
}

/// The facts of a face, a line each.
#[must_use]
pub fn of_face(shown: &Shown, id: FaceId, units: LengthUnit) -> Vec<String> {
    let roof = &shown.answered.roof;
    let Some(face) = roof.faces.get(id.index()) else { return Vec::new() };
    let area = words::area_with(roof.area(face).0, shown.answered.sd_of(id), units);
    if face.kind == FaceKind::Wall {
        return vec![format!("wall {}", face.name), area];
    }
    let mut lines = vec![
        face.name.clone(),
        format!("{area} at {}", words::pitch(face.plane.pitch(), units)),
        format!("{} in plan", words::area(roof.plan_area(face).0, units)),
    ];
    if let Some(plane) = shown.unsure.planes.get(id.index()).copied().flatten() {
        let off = roof.ring(face).iter().map(|place| plane.at(place)).fold(0.0, f64::max);
        if off > 0.0 {
            lines.push(format!("lies off by ± {} at most", words::small(off, units)));
        }
    }
    if let Some(layout) = shown.answered.layout.iter().find(|layout| layout.face == id) {
        let counts = layout.counts();
        let pieces = counts.whole + counts.cut + counts.from_offcuts;
        let gauge = words::length(layout.gauge, units);
        lines.push(format!("{} courses at {gauge}, {pieces} pieces", layout.courses.len()));
    }
    lines
}

/// The facts of an edge, a line each.
#[must_use]
pub fn of_edge(shown: &Shown, id: EdgeId, units: LengthUnit) -> Vec<String> {
    let roof = &shown.answered.roof;
    let Some(edge) = roof.edges.get(id.index()) else { return Vec::new() };
    let sd = shown.answered.length_sd.get(id.index()).copied().flatten();
    let mut lines = vec![format!("{} {}", edge.kind.word(), words::length_with(roof.length(edge).0, sd, units))];
    let slope = roof.slope(edge);
    if slope.to_degrees() > 0.05 {
        let plan = words::length(roof.plan_length(edge).0, units);
        lines.push(format!("{plan} in plan, {:.1}° from level", slope.to_degrees()));
    } else {
        lines.push(format!("level, {} above datum", words::length(roof.at(edge.from).z, units)));
    }
    let names: Vec<String> = edge.faces.iter().map(|face| short_name(shown, *face)).collect();
    match names.as_slice() {
        [one] => lines.push(format!("of {one}")),
        [one, other] => lines.push(format!("between {one} and {other}")),
        _ => {}
    }
    if let Some(dihedral) = edge.dihedral {
        let folded = matches!(edge.kind, EdgeKind::Ridge | EdgeKind::Hip | EdgeKind::Valley | EdgeKind::PitchBreak);
        if folded {
            lines.push(format!("the slopes meet at {:.1}°", dihedral.to_degrees()));
        }
    }
    lines
}
