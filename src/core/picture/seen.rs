//! What of a roof a camera sees, place by place.

use crate::roof::model::triangulate::Triangulator;
use crate::roof::{EdgeKind, Roof};
use nalgebra::{Point3, Vector3};

/// Something that hides stands at least this far before what it hides, metres: surveyed points lie on their planes to a
/// centimetre or so.
const BEFORE: f64 = 0.05;
/// A face on which both ends of an edge lie within this does not hide it, metres.
const OWN: f64 = 0.05;

/// All that hides: faces of the roof, and plumb curtains below its eaves and verges, since something carries them.
#[derive(Clone, Debug, Default)]
pub struct Screens {
    triangles: Vec<[Point3<f64>; 3]>,
}

impl Screens {
    /// Of a roof, down to `depth` metres below each eave and verge.
    #[must_use]
    pub fn of(roof: &Roof, depth: f64) -> Self {
        let mut triangles = Vec::new();
        let mut triangulator = Triangulator::default();
        for face in &roof.faces {
            let cut = triangulator.cut(roof, face);
            triangles.extend(cut.map(|corners| corners.map(|corner| roof.corners[corner as usize])));
        }
        let drop = Vector3::z() * depth;
        let is_free = |kind: EdgeKind| matches!(kind, EdgeKind::Eave | EdgeKind::Verge | EdgeKind::Top);
        for edge in roof.edges.iter().filter(|edge| is_free(edge.kind)) {
            let (a, b) = (roof.at(edge.from), roof.at(edge.to));
            triangles.extend([[a, b, b - drop], [a, b - drop, a - drop]]);
        }
        Self { triangles }
    }

    /// What may hide an edge: all but the faces it lies on itself.
    #[must_use]
    pub(crate) fn but_own(&self, ends: [Point3<f64>; 2]) -> Self {
        let is_own = |[a, b, c]: &[Point3<f64>; 3]| {
            let normal = (b - a).cross(&(c - a)).normalize();
            ends.iter().all(|end| normal.dot(&(end - a)).abs() < OWN)
        };
        Self { triangles: self.triangles.iter().filter(|triangle| !is_own(triangle)).copied().collect() }
    }

    /// Whether nothing stands between an eye and a place. O(triangles).
    #[must_use]
    pub fn sees(&self, eye: &Point3<f64>, place: &Point3<f64>) -> bool {
        let way = place - eye;
        let length = way.norm();
        !self.triangles.iter().any(|triangle| {
            depth(eye, &(way / length), triangle).is_some_and(|depth| depth > 0.0 && depth < length - BEFORE)
        })
    }
}

/// How far along a ray a triangle lies (T. Möller and B. Trumbore, 1997).
fn depth(from: &Point3<f64>, along: &Vector3<f64>, [a, b, c]: &[Point3<f64>; 3]) -> Option<f64> {
    let (u, v) = (b - a, c - a);
    let cross = along.cross(&v);
    let determinant = u.dot(&cross);
    if determinant.abs() < f64::MIN_POSITIVE.sqrt() {
        return None;
    }
    let to = from - a;
    let first = to.dot(&cross) / determinant;
    let other = to.cross(&u);
    let second = along.dot(&other) / determinant;
    let inside = first >= 0.0 && second >= 0.0 && first + second <= 1.0;
    inside.then(|| v.dot(&other) / determinant)
}
