//! What an edge is, by the real fold of the faces that meet there.

use super::{EdgeKind, Face, FaceKind};
use nalgebra::Vector3;

/// A fold that rises by no more than this part of its run is a ridge, and a high edge over a verge a top: half a degree,
/// for which the angle and its tangent are the same to 3 parts in 100,000.
pub const LEVEL: f64 = 0.5 * std::f64::consts::PI / 180.0;

/// What is known of an edge beside its two faces.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Context {
    /// Both faces rise in one direction in plan: the slope changes along this edge.
    pub same_direction: bool,
    /// The wall stands over a side where the roof runs against a higher wall.
    pub abutment: bool,
    /// The wall is a step between two sides in one line.
    pub step: bool,
}

/// Angle inside the solid between two roof faces, radians: π is flat, more than π a valley. `along` runs with the first
/// face to its left, seen from outside.
#[must_use]
pub fn dihedral(first: &Face, second: &Face, along: &Vector3<f64>) -> f64 {
    let sine = first.plane.normal.cross(&second.plane.normal).norm();
    let angle = sine.atan2(first.plane.normal.dot(&second.plane.normal));
    std::f64::consts::PI + if is_concave(first, second, along) { angle } else { -angle }
}

fn is_concave(first: &Face, second: &Face, along: &Vector3<f64>) -> bool {
    first.plane.normal.cross(&second.plane.normal).dot(along) < 0.0
}

/// The kind of an edge that runs `along` with the first face to its left, seen from outside. O(1).
#[must_use]
pub fn kind(first: &Face, second: Option<&Face>, along: &Vector3<f64>, context: Context) -> EdgeKind {
    let is_level = || along.z.abs() <= LEVEL * along.xy().norm();
    let Some(second) = second else {
        return if first.kind == FaceKind::Roof { EdgeKind::Eave } else { EdgeKind::Base };
    };
    match (first.kind, second.kind) {
        (FaceKind::Wall, FaceKind::Wall) => EdgeKind::Corner,
        (FaceKind::Roof, FaceKind::Roof) if context.same_direction => EdgeKind::PitchBreak,
        (FaceKind::Roof, FaceKind::Roof) => {
            if is_concave(first, second, along) {
                EdgeKind::Valley
            } else if is_level() {
                EdgeKind::Ridge
            } else {
                EdgeKind::Hip
            }
        }
        (first_kind, _) => {
            // Seen from outside a wall's edge runs to the right along its foot and back along its top.
            let (wall, sense) = if first_kind == FaceKind::Wall { (first, 1.0) } else { (second, -1.0) };
            let right = Vector3::z().cross(&wall.plane.normal);
            let wall_below = right.dot(along) * sense < 0.0;
            match (wall_below, context) {
                (false, _) | (true, Context { abutment: true, .. }) => EdgeKind::Abutment,
                (true, Context { same_direction: true, .. }) => EdgeKind::Eave,
                (true, Context { step: true, .. }) => EdgeKind::Step,
                _ if is_level() => EdgeKind::Top,
                _ => EdgeKind::Verge,
            }
        }
    }
}
