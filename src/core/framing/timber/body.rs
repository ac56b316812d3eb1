//! A timber's body: what lies within all of its planes.

use crate::base::plane::Plane;
use nalgebra::{Matrix3, Point3, Vector3};

/// Corners within this of a plane lie on it, metres.
const ON: f64 = 1e-7;

/// Directions whose triple product is smaller make no corner.
const FLAT: f64 = 1e-9;

/// A convex body: points on or behind each of its planes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Body {
    /// Its planes, normals outwards.
    pub planes: Vec<Plane>,
}

impl Body {
    /// Its corners; none where it is empty. Those where more than three planes meet come more than once. O(planes⁴), of which
    /// there are a dozen.
    #[must_use]
    pub fn corners(&self) -> Vec<Point3<f64>> {
        let planes = &self.planes;
        let mut corners = Vec::new();
        for (i, a) in planes.iter().enumerate() {
            for (j, b) in planes.iter().enumerate().skip(i + 1) {
                for c in planes.iter().skip(j + 1) {
                    let rows = Matrix3::from_rows(&[a.normal.transpose(), b.normal.transpose(), c.normal.transpose()]);
                    if rows.determinant().abs() < FLAT {
                        continue;
                    }
                    let Some(inverse) = rows.try_inverse() else { continue };
                    let corner = Point3::from(inverse * Vector3::new(a.offset, b.offset, c.offset));
                    if planes.iter().all(|plane| plane.distance(&corner) <= ON) {
                        corners.push(corner);
                    }
                }
            }
        }
        corners
    }

    /// From where to where it reaches along a direction, metres from the origin along it; `None` where it is empty.
    #[must_use]
    pub fn extent(&self, along: &Vector3<f64>) -> Option<[f64; 2]> {
        let reach = self.corners().into_iter().map(|corner| along.dot(&corner.coords));
        reach.fold(None, |extent, at| match extent {
            None => Some([at, at]),
            Some([low, high]) => Some([f64::min(low, at), f64::max(high, at)]),
        })
    }
}

/// What planes leave of a line through `at` along a unit vector: from where to where along it, metres from `at`. `None`
/// where nothing is left, and where no plane ends it. Planes along the line count only by whether the line lies beyond them.
pub fn left_of_line<'a>(
    planes: impl Iterator<Item = &'a Plane>,
    at: &Point3<f64>,
    along: &Vector3<f64>,
) -> Option<[f64; 2]> {
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for plane in planes {
        let (beyond, towards) = (plane.distance(at), plane.normal.dot(along));
        if towards.abs() <= FLAT {
            if beyond > ON {
                return None;
            }
        } else if towards > 0.0 {
            high = high.min(-beyond / towards);
        } else {
            low = low.max(-beyond / towards);
        }
    }
    (low < high && (high - low).is_finite()).then_some([low, high])
}
