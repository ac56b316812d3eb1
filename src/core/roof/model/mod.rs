//! The solved roof: topology in ids, coordinates beside it.

pub mod classify;
pub mod ears;
pub mod finding;
pub mod frame;
pub mod names;
pub mod outlet;
pub mod solid;
pub mod sums;
pub mod triangulate;

use self::finding::Finding;
pub use self::names::FaceKind;
use self::names::FaceName;
use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::name::{Name, SideName};
use crate::base::plane::Plane;
use crate::base::polygon;
use crate::base::units::{PlanArea, PlanLength, TrueArea, TrueLength};
use nalgebra::{Point2, Point3, Vector3};
use smallvec::SmallVec;

/// A solved roof.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Roof {
    /// Coordinates, metres: x, y on the site plan, z above datum.
    pub corners: Vec<Point3<f64>>,
    /// Roof faces and the plumb walls above the outline.
    pub faces: Vec<Face>,
    /// Every edge once.
    pub edges: Vec<Edge>,
    /// Volume of the closed solid from datum to roof, cubic metres; `None` for faces by points.
    pub volume: Option<f64>,
    /// Wall outlines in plan, the feet of the closed solid, outer rings anticlockwise; empty for faces by points.
    pub feet: Vec<Vec<Point2<f64>>>,
    /// What was done or noticed.
    pub findings: Vec<Finding>,
    /// The events of the sweep, lowest first.
    pub events: Vec<SweepEvent>,
    /// The triangles that the check of this roof cut it into, so that what is built of them is what was checked; `None` for
    /// joined blocks and faces by points, which are cut anew. They do not outlive a change of the faces.
    pub triangles: Option<Triangles>,
}

/// Triangles between a roof's corners.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Triangles {
    /// Those of its faces, face after face, anticlockwise seen from outside.
    pub faces: Vec<[u32; 3]>,
    /// By face: how many come up to its last.
    pub ends: Vec<u32>,
    /// Those between the outline's rings, anticlockwise seen from above.
    pub floor: Vec<[u32; 3]>,
}

/// Corners in order round a face; most faces have no more than are held in place.
pub type CornerRing = SmallVec<[CornerId; 6]>;

/// A flat face.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// What it is of; unique in the roof.
    pub id: FaceName,
    /// All sides whose roof lies in it, of whichever blocks; none for a face by points.
    pub sides: SmallVec<[SideName; 1]>,
    /// Roof or wall.
    pub kind: FaceKind,
    /// Its plane, normal outwards (upwards for roof faces).
    pub plane: Plane,
    /// Corners in order, anticlockwise seen from outside.
    pub ring: CornerRing,
    /// Holes, clockwise seen from outside.
    pub holes: Vec<CornerRing>,
    /// Edges of the ring in order (edge i runs from ring corner i), then those of the holes.
    pub edges: SmallVec<[EdgeId; 6]>,
}

impl Face {
    /// Its name, as people read and write it.
    #[must_use]
    pub fn name(&self) -> String {
        self.id.to_string()
    }

    /// The side it stands over, of several in one plane the first in file order; `None` for a face by points.
    #[must_use]
    pub fn side(&self) -> Option<&SideName> {
        self.id.side()
    }

    /// The block it belongs to; `None` for a face by points.
    #[must_use]
    pub fn block(&self) -> Option<&Name> {
        self.side().map(|side| &side.block)
    }

    /// The names of its sides as files give them: bare where all are of its own block, else each after its block's.
    #[must_use]
    pub fn side_names(&self) -> Vec<Name> {
        let own = |side: &SideName| Some(&side.block) == self.block();
        let all_own = self.sides.iter().all(own);
        let name = |side: &SideName| if all_own { side.side.clone() } else { smol_str::ToSmolStr::to_smolstr(side) };
        self.sides.iter().map(name).collect()
    }

    /// Whether the roof over a side lies in it. O(sides).
    #[must_use]
    pub fn is_of(&self, side: &SideName) -> bool {
        self.sides.contains(side)
    }
}

/// What an edge is, in the trade's words.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EdgeKind {
    /// A roof face's low edge over its side.
    Eave,
    /// A raking edge over a verge side.
    Verge,
    /// A level high edge over a verge, or a highest free edge of faces by points.
    Top,
    /// A convex fold, level.
    Ridge,
    /// A convex fold that slopes.
    Hip,
    /// A concave fold.
    Valley,
    /// Where one side's slope changes, or one side took over from another.
    PitchBreak,
    /// The foot of a wall that rises from a roof.
    Abutment,
    /// The top of a step's wall.
    Step,
    /// The level foot of a wall.
    Base,
    /// A plumb edge between walls.
    Corner,
}

impl EdgeKind {
    /// Those of the roof, in the order in which they are listed; walls' own are left out.
    pub const OF_ROOF: [Self; 9] = [
        Self::Eave,
        Self::Verge,
        Self::Top,
        Self::Ridge,
        Self::Hip,
        Self::Valley,
        Self::PitchBreak,
        Self::Abutment,
        Self::Step,
    ];

    /// The word used in answers and on drawings.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Eave => "eave",
            Self::Verge => "verge",
            Self::Top => "top",
            Self::Ridge => "ridge",
            Self::Hip => "hip",
            Self::Valley => "valley",
            Self::PitchBreak => "pitch-break",
            Self::Abutment => "abutment",
            Self::Step => "step",
            Self::Base => "base",
            Self::Corner => "corner",
        }
    }

    /// Whether it belongs to walls only and so has no place in lengths by kind.
    #[must_use]
    pub fn is_wall_only(self) -> bool {
        matches!(self, Self::Base | Self::Corner)
    }
}

/// A straight edge between two corners.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// Its kind.
    pub kind: EdgeKind,
    /// One end.
    pub from: CornerId,
    /// The other.
    pub to: CornerId,
    /// One or two faces, the wall second.
    pub faces: SmallVec<[FaceId; 2]>,
    /// Angle inside the solid between two roof faces, radians: π is flat, more than π a valley.
    pub dihedral: Option<f64>,
}

/// An event of the sweep: what happened to the shrinking outline, at which height.
#[derive(Clone, Debug, PartialEq)]
pub struct SweepEvent {
    /// Above datum, metres.
    pub height: f64,
    /// In words: "edge", "split", "vertex", "speed change", "peak", "ridge".
    pub kind: &'static str,
    /// Where in plan.
    pub at: Point2<f64>,
    /// The sides that take part.
    pub sides: Vec<SideName>,
}

impl Roof {
    /// A corner's place.
    #[must_use]
    pub fn at(&self, corner: CornerId) -> Point3<f64> {
        self.corners[corner.index()]
    }

    /// The corners of a face's outer ring, anticlockwise seen from outside.
    #[must_use]
    pub fn ring(&self, face: &Face) -> Vec<Point3<f64>> {
        face.ring.iter().map(|&corner| self.at(corner)).collect()
    }

    /// The corners of a face's holes.
    #[must_use]
    pub fn holes(&self, face: &Face) -> Vec<Vec<Point3<f64>>> {
        let place = |hole: &CornerRing| hole.iter().map(|&corner| self.at(corner)).collect();
        face.holes.iter().map(place).collect()
    }

    /// The vector area of a ring of corners ([`polygon::vector_area`]). O(corners).
    #[must_use]
    pub fn vector_area(&self, ring: &[CornerId]) -> Vector3<f64> {
        polygon::vector_area_of(ring.iter().map(|&corner| self.at(corner)))
    }

    /// Gross area of a face, holes taken off, openings not. O(corners).
    #[must_use]
    pub fn area(&self, face: &Face) -> TrueArea {
        let holes: f64 = face.holes.iter().map(|hole| self.vector_area(hole).norm()).sum();
        TrueArea(self.vector_area(&face.ring).norm() - holes)
    }

    /// Plan area of a face. O(corners).
    #[must_use]
    pub fn plan_area(&self, face: &Face) -> PlanArea {
        let holes: f64 = face.holes.iter().map(|hole| self.vector_area(hole).z.abs()).sum();
        PlanArea(self.vector_area(&face.ring).z.abs() - holes)
    }

    /// An edge's length.
    #[must_use]
    pub fn length(&self, edge: &Edge) -> TrueLength {
        TrueLength((self.at(edge.to) - self.at(edge.from)).norm())
    }

    /// An edge's length in plan.
    #[must_use]
    pub fn plan_length(&self, edge: &Edge) -> PlanLength {
        PlanLength((self.at(edge.to) - self.at(edge.from)).xy().norm())
    }

    /// An edge's inclination from level, radians in 0 ..= π/2.
    #[must_use]
    pub fn slope(&self, edge: &Edge) -> f64 {
        let along = self.at(edge.to) - self.at(edge.from);
        along.z.abs().atan2(along.xy().norm())
    }

    /// Roof faces with their ids, walls left out.
    pub fn roof_faces(&self) -> impl Iterator<Item = (FaceId, &Face)> {
        self.faces
            .iter()
            .enumerate()
            .filter(|(_, face)| face.kind == FaceKind::Roof)
            .map(|(index, face)| (FaceId::new(index), face))
    }

    /// The face that `name`, as a user writes it, is the name of. O(faces).
    #[must_use]
    pub fn face_named(&self, name: &str) -> Option<FaceId> {
        self.faces.iter().position(|face| face.id.is(name)).map(FaceId::new)
    }

    /// The first roof face that lies over a side; `None` where none does. O(faces).
    #[must_use]
    pub fn face_over(&self, side: &SideName) -> Option<FaceId> {
        self.roof_faces().find(|(_, face)| face.is_of(side)).map(|(id, _)| id)
    }

    /// Highest point above datum, metres; `None` for an empty roof.
    #[must_use]
    pub fn ridge_height(&self) -> Option<f64> {
        self.corners.iter().map(|corner| corner.z).reduce(f64::max)
    }
}
