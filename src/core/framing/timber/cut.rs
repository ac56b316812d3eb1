//! The planes that end a timber.

use super::model::{Against, Carcass, EndCut};
use super::plan::{inward, level};
use super::seat;
use crate::base::ids::{EdgeId, FaceId};
use crate::roof::{EdgeKind, Face};

/// How far a timber's foot stands within an eave of a face, level, metres.
pub(super) fn foot_inset(carcass: &Carcass<'_>, face: &Face, edge: EdgeId) -> f64 {
    let spec = carcass.spec;
    match (spec.tail, seat::wall_inset(carcass, face, edge)) {
        (Some(tail), Some(wall)) => wall - tail,
        _ => spec.projection + spec.sections.fascia_thickness(),
    }
}

/// The cut of a timber of a face at one of the face's edges; `is_framed`: whether a ridge, hip or valley there is a
/// timber.
pub(super) fn at_edge(carcass: &Carcass<'_>, face: FaceId, edge: EdgeId, is_framed: bool) -> EndCut {
    let (roof, sections) = (carcass.roof, &carcass.spec.sections);
    let of = &roof.faces[face.index()];
    let into = inward(roof, of, edge);
    let (inset, against) = match roof.edges[edge.index()].kind {
        EdgeKind::Eave => (foot_inset(carcass, of, edge), Against::Foot),
        EdgeKind::Verge => (carcass.spec.projection + sections.fascia_thickness(), Against::Verge),
        EdgeKind::Ridge if is_framed => (sections.ridge_thickness() / 2.0, Against::Ridge),
        // A ridge, hip or valley too short to be framed is a mere joint between rafters.
        EdgeKind::Hip if is_framed => (sections.hip().thickness / 2.0, Against::Hip),
        EdgeKind::Valley if is_framed => (sections.valley().thickness / 2.0, Against::Valley),
        EdgeKind::Ridge | EdgeKind::Hip | EdgeKind::Valley | EdgeKind::PitchBreak => (0.0, Against::Break),
        EdgeKind::Top | EdgeKind::Abutment | EdgeKind::Step | EdgeKind::Base | EdgeKind::Corner => (0.0, Against::Wall),
    };
    let at = roof.at(roof.edges[edge.index()].from) + level(into) * inset;
    EndCut::plumb(&at, into, against)
}
