//! Which face lies under the pointer: a ray cast against the same triangles that are drawn.

use super::camera::Ray;
pub use super::picker::{Hit, Picker};
use super::scene::Scene;
use nalgebra::{Point3, Vector3};

/// Whether the eye sees a place of the scene, nothing of the roof standing before it.
#[must_use]
pub(crate) fn is_seen(
    scene: &Scene,
    eye: &Point3<f64>,
    place: &Point3<f64>,
    section: Option<(Vector3<f64>, f64)>,
) -> bool {
    let towards = place - eye;
    let ray = Ray { from: *eye, along: towards.normalize() };
    let before = 0.01 * scene.radius;
    scene.picker.pick_before(&ray, section).is_none_or(|hit| (hit.at - eye).norm() > towards.norm() - before)
}
