//! A face's own frame: u along its lowest eave from the left end seen from outside, v up the slope.

use super::{Edge, EdgeKind, Face, Roof};
use crate::base::tolerance;
use nalgebra::{Point2, Point3, Vector3};

/// The frame of a face, for layout, openings and true-shape drawings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaceFrame {
    /// Left end of the lowest eave, seen from outside.
    pub origin: Point3<f64>,
    /// Unit vector to the right along the eave (level for a level eave), seen from outside.
    pub along: Vector3<f64>,
    /// Unit vector up the slope, square to `along`, in the face.
    pub up: Vector3<f64>,
}

impl FaceFrame {
    /// The frame of a face. The origin is the left end of its lowest eave, or where it has none, its lowest point, of those
    /// equally low the left one. An
    /// eave may be several edges in one line, over a porch or on both sides of a wing: it is theirs together. `None` for
    /// a level face or one without corners. O(corners).
    #[must_use]
    pub fn of(roof: &Roof, face: &Face) -> Option<Self> {
        let normal = face.plane.normal;
        // Seen from outside with the normal towards the eye, "up" is the steepest ascent in the face.
        let up = (Vector3::z() - normal * normal.z).try_normalize(f64::EPSILON)?;
        let along = up.cross(&normal);
        let ends = |edge: &Edge| [roof.at(edge.from), roof.at(edge.to)];
        let height = |edge: &&Edge| ends(edge).iter().map(|end| end.z).sum::<f64>();
        let eaves = || face.edges.iter().map(|&id| &roof.edges[id.index()]).filter(|edge| edge.kind == EdgeKind::Eave);
        let left_most = |places: &mut dyn Iterator<Item = Point3<f64>>| {
            places.min_by(|a, b| along.dot(&a.coords).total_cmp(&along.dot(&b.coords)))
        };
        let origin = match eaves().min_by(|a, b| height(a).total_cmp(&height(b))) {
            Some(lowest) => left_most(&mut eaves().filter(|edge| in_line(&ends(lowest), &ends(edge))).flat_map(ends)),
            None => {
                // Both ends of a level edge are lowest, whichever of them the ring begins with.
                let ring = roof.ring(face);
                let low = ring.iter().map(|corner| corner.z).min_by(f64::total_cmp)?;
                let within =
                    tolerance::default_for(ring.iter().map(|corner| (corner - ring[0]).norm()).fold(0.0, f64::max));
                left_most(&mut ring.into_iter().filter(|corner| corner.z - low <= within))
            }
        }?;
        Some(Self { origin, along, up })
    }

    /// A point of the face in its frame, metres.
    #[must_use]
    pub fn to_face(&self, point: &Point3<f64>) -> Point2<f64> {
        let from = point - self.origin;
        Point2::new(from.dot(&self.along), from.dot(&self.up))
    }

    /// A place of the frame in space.
    #[must_use]
    pub fn to_space(&self, place: &Point2<f64>) -> Point3<f64> {
        self.origin + self.along * place.x + self.up * place.y
    }
}

/// Whether the second edge lies in the line of the first.
fn in_line([from, to]: &[Point3<f64>; 2], other: &[Point3<f64>; 2]) -> bool {
    let along = (to - from).normalize();
    other.iter().all(|end| {
        let way = end - from;
        way.cross(&along).norm() <= tolerance::default_for(way.norm())
    })
}
