//! Triangles ready for ray casts.

use super::camera::Ray;
use crate::base::ids::FaceId;
use crate::base::parry::{from_parry, to_parry};
use crate::base::tolerance::ROUNDING;
use crate::roof::model::solid::Solid;
use nalgebra::{Point3, Vector3};
use parry3d::query::RayCast;
use parry3d::shape::TriMesh;

/// Triangles ready for ray casts. Built in O(n log n), each cast is O(log n).
pub struct Picker {
    mesh: Option<TriMesh>,
    face_of: Vec<Option<FaceId>>,
}

/// What a ray meets first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hit {
    /// The face; `None` for the walls below the outline and the floor.
    pub face: Option<FaceId>,
    /// Where, metres in the scene.
    pub at: Point3<f64>,
}

impl Picker {
    /// Takes the triangles of a solid whose places are moved by `-origin`, as the scene's are.
    #[must_use]
    pub fn new(solid: &Solid, origin: &Vector3<f64>) -> Self {
        let places = solid.positions.iter().map(|place| to_parry(&(place - origin))).collect();
        let mesh = TriMesh::new(places, solid.triangles.clone()).ok();
        Self { mesh, face_of: solid.face_of.clone() }
    }

    /// What a ray meets first of what a section leaves: n · p <= d, in the scene.
    #[must_use]
    pub fn pick_before(&self, ray: &Ray, section: Option<(Vector3<f64>, f64)>) -> Option<Hit> {
        let mut ray = *ray;
        if let Some((normal, limit)) = section {
            // Where the eye is cut away, sight begins at the plane.
            let (before, along) = (normal.dot(&ray.from.coords) - limit, normal.dot(&ray.along));
            if before > 0.0 {
                if along >= 0.0 {
                    return None;
                }
                ray.from += ray.along * (before / -along);
            }
        }
        self.pick(&ray)
            .filter(|hit| section.is_none_or(|(normal, limit)| normal.dot(&hit.at.coords) <= limit + ROUNDING))
    }

    /// What a ray meets first.
    #[must_use]
    pub fn pick(&self, ray: &Ray) -> Option<Hit> {
        let mesh = self.mesh.as_ref()?;
        let cast = parry3d::query::Ray::new(to_parry(&ray.from), to_parry(&Point3::from(ray.along)));
        let hit = mesh.cast_local_ray_and_get_normal(&cast, f64::MAX, false)?;
        let triangle = usize::try_from(hit.subshape).ok()?;
        let face = self.face_of.get(triangle).copied().flatten();
        Some(Hit { face, at: Point3::from(from_parry(cast.point_at(hit.time_of_impact))) })
    }
}
