//! The planes that end a timber.

use super::{Carcass, left_of, level};
use crate::base::ids::{EdgeId, FaceId};
use crate::base::plane::Plane;
use crate::roof::{EdgeKind, Face, Roof};
use nalgebra::{Point3, Vector2, Vector3};

/// What an end bears on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Against {
    /// Nothing: the cut at the foot, where the fascia stands.
    Foot,
    /// Nothing: where a ridge that hips or valleys bear on runs out.
    Free,
    /// The board at the ridge, or the slope opposite where there is none.
    Ridge,
    /// A hip rafter.
    Hip,
    /// A valley rafter.
    Valley,
    /// A trimmer, square to the slope.
    Trimmer,
    /// A wall, or the free edge at the head of a single slope.
    Wall,
    /// The rafters of the slope beyond a pitch break.
    Break,
    /// A piece of its own kind.
    Mitre,
    /// The board along the verge.
    Verge,
}

impl Against {
    /// The word used in answers.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Foot => "foot",
            Self::Free => "free",
            Self::Ridge => "ridge",
            Self::Hip => "hip",
            Self::Valley => "valley",
            Self::Trimmer => "trimmer",
            Self::Wall => "wall",
            Self::Break => "pitch-break",
            Self::Mitre => "mitre",
            Self::Verge => "verge",
        }
    }
}

/// A cut at a timber's end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EndCut {
    /// Its plane, the timber behind it.
    pub plane: Plane,
    /// What bears there.
    pub against: Against,
}

impl EndCut {
    /// A plumb cut through a place, the timber on the side that `keep` points to.
    pub(super) fn plumb(at: &Point3<f64>, keep: Vector2<f64>, against: Against) -> Self {
        let normal = -level(keep.normalize());
        Self { plane: Plane { normal, offset: normal.dot(&at.coords) }, against }
    }

    /// How far the cut leans in plan from square across a timber that runs along `along`, radians, positive where the right
    /// side seen along it is the longer at the upper end; `None` where it is not plumb.
    #[must_use]
    pub fn tilt(&self, along: &Vector3<f64>) -> Option<f64> {
        let direction = along.xy().try_normalize(f64::MIN_POSITIVE)?;
        let normal = self.plane.normal.xy();
        if self.plane.normal.z.abs() > 1e-9 {
            return None;
        }
        let ahead = normal.dot(&direction);
        let across = normal.dot(&left_of(direction));
        Some((across * ahead.signum()).atan2(ahead.abs()))
    }
}

/// Level unit vector from an edge into a face beside it.
pub(super) fn inward(roof: &Roof, face: &Face, edge: EdgeId) -> Vector2<f64> {
    let at = face.edges.iter().position(|other| *other == edge).unwrap_or(0);
    let ends = &roof.edges[edge.index()];
    let from = face.ring.iter().chain(face.holes.iter().flatten()).nth(at).copied().unwrap_or(ends.from);
    let to = if from == ends.from { ends.to } else { ends.from };
    let along = (roof.at(to) - roof.at(from)).xy();
    left_of(along).try_normalize(f64::MIN_POSITIVE).unwrap_or_default()
}

/// How far a timber's foot stands within an eave of a face, level, metres.
pub(super) fn foot_inset(carcass: &Carcass<'_>, face: &Face, edge: EdgeId) -> f64 {
    let spec = carcass.spec;
    match (spec.tail, super::seat::wall_inset(carcass, face, edge)) {
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
        EdgeKind::Ridge | EdgeKind::Hip | EdgeKind::Valley => (0.0, Against::Break),
        EdgeKind::PitchBreak => (0.0, Against::Break),
        EdgeKind::Top | EdgeKind::Abutment | EdgeKind::Step | EdgeKind::Base | EdgeKind::Corner => (0.0, Against::Wall),
    };
    let at = roof.at(roof.edges[edge.index()].from) + level(into) * inset;
    EndCut::plumb(&at, into, against)
}
