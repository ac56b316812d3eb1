//! The way from the solid to its net: every polygon turns about the fold it was laid along, so that paper and model tell
//! one story.

use super::body::Body;
use super::net::Net;
use crate::base::tolerance::ROUNDING;
use nalgebra::{Isometry3, Point3, Translation3, Unit, UnitQuaternion, Vector3};

/// A net's polygons on their way from the body into the plane.
#[derive(Clone, Debug)]
pub struct Unfolding {
    /// Polygons in an order in which each comes after the one it hangs on.
    steps: Vec<Step>,
}

#[derive(Clone, Copy, Debug)]
struct Step {
    flat: usize,
    way: FoldPath,
}

#[derive(Clone, Copy, Debug)]
enum FoldPath {
    /// The first of a piece: tilts level about its middle, turns level, and its middle moves to where it lies in the net.
    /// Two turns and not one, since half a turn about an axis of its own is known to half the digits only.
    First { middle: Point3<f64>, to: Point3<f64>, axis: Unit<Vector3<f64>>, tilt: f64, spin: f64 },
    /// Hangs on another and turns about their fold.
    Hinged { on: usize, at: Point3<f64>, axis: Unit<Vector3<f64>>, angle: f64 },
}

impl Unfolding {
    /// Precondition: the net is this body's. O(polygons × corners).
    #[must_use]
    pub fn of(body: &Body, net: &Net<'_>) -> Self {
        let mut steps: Vec<Step> = Vec::with_capacity(net.laid.len());
        let mut waiting: Vec<usize> = (0..net.laid.len()).collect();
        let mut done = vec![false; net.laid.len()];
        while !waiting.is_empty() {
            let before = waiting.len();
            waiting.retain(|&flat| {
                let way = match net.laid[flat].beside {
                    None => Some(first(body, net, flat)),
                    Some((on, fold)) if done[on] => Some(hinged(body, flat, on, fold)),
                    Some(_) => None,
                };
                done[flat] |= way.is_some();
                steps.extend(way.map(|way| Step { flat, way }));
                way.is_none()
            });
            if waiting.len() == before {
                break;
            }
        }
        Self { steps }
    }

    /// Where each polygon stands: from its place in the body (share 0) to its place in the net (share 1), which lies
    /// level at height 0, its outside up. In the order of the body's polygons. O(polygons).
    #[must_use]
    pub fn at(&self, share: f64) -> Vec<Isometry3<f64>> {
        let mut poses = vec![Isometry3::identity(); self.steps.len()];
        for step in &self.steps {
            poses[step.flat] = match step.way {
                FoldPath::First { middle, to, axis, tilt, spin } => {
                    let spun = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), spin * share);
                    let turn = spun * UnitQuaternion::from_axis_angle(&axis, tilt * share);
                    let centre = middle + (to - middle) * share;
                    Translation3::from(centre.coords) * turn * Translation3::from(-middle.coords)
                }
                FoldPath::Hinged { on, at, axis, angle } => {
                    let turn = UnitQuaternion::from_axis_angle(&axis, angle * share);
                    let about = Translation3::from(at.coords) * turn * Translation3::from(-at.coords);
                    poses[on] * about
                }
            };
        }
        poses
    }
}

/// The way of a piece's first polygon, from one of its edges in the body and in the net.
fn first(body: &Body, net: &Net<'_>, flat: usize) -> FoldPath {
    let (shape, laid) = (&body.flats[flat], &net.laid[flat]);
    let places = shape.rings.first().map(|ring| body.ring(ring)).unwrap_or_default();
    let flat_places: Vec<Point3<f64>> =
        laid.rings.first().map(|ring| ring.iter().map(|at| Point3::new(at.x, at.y, 0.0)).collect()).unwrap_or_default();
    let middle_of = |places: &[Point3<f64>]| {
        let sum = places.iter().fold(Vector3::zeros(), |sum, place| sum + place.coords);
        Point3::from(sum / places.len().max(1) as f64)
    };
    // The longest edge fixes the direction best.
    let longest = (0..places.len()).max_by(|a, b| {
        let length = |at: usize| (places[(at + 1) % places.len()] - places[at]).norm();
        length(*a).total_cmp(&length(*b))
    });
    let across = shape.normal.cross(&Vector3::z());
    let axis = Unit::try_new(across, ROUNDING).unwrap_or_else(Vector3::x_axis);
    let tilt = axis.dot(&across).atan2(shape.normal.z);
    let spin = longest.map_or(0.0, |at| {
        let next = (at + 1) % places.len();
        let here = UnitQuaternion::from_axis_angle(&axis, tilt) * (places[next] - places[at]);
        let there = flat_places[next] - flat_places[at];
        here.xy().perp(&there.xy()).atan2(here.xy().dot(&there.xy()))
    });
    FoldPath::First { middle: middle_of(&places), to: middle_of(&flat_places), axis, tilt, spin }
}

/// The turn that brings a polygon into the plane of the one it hangs on.
fn hinged(body: &Body, flat: usize, on: usize, fold: usize) -> FoldPath {
    let [from, to] = body.folds[fold].ends.map(|end| body.places[end]);
    let axis = Unit::try_new(to - from, f64::MIN_POSITIVE).unwrap_or_else(Vector3::x_axis);
    let (own, other) = (body.flats[flat].normal, body.flats[on].normal);
    let angle = axis.dot(&own.cross(&other)).atan2(own.dot(&other));
    FoldPath::Hinged { on, at: from, axis, angle }
}
