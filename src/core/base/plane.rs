//! Planes in space, by unit normal and offset.

use nalgebra::{Point2, Point3, Vector2, Vector3};

/// The plane `normal · p = offset`. For a face of the roof the normal points out of the solid, so upwards.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// Unit normal.
    pub normal: Vector3<f64>,
    /// Distance of the plane from the origin along the normal, metres.
    pub offset: f64,
}

impl Plane {
    /// The plane through a point. `normal` is normalised here; `None` when it has no length.
    #[must_use]
    pub fn through(point: &Point3<f64>, normal: &Vector3<f64>) -> Option<Self> {
        let normal = normal.try_normalize(f64::MIN_POSITIVE)?;
        Some(Self { normal, offset: normal.dot(&point.coords) })
    }

    /// The plane that rises from a level line: through `(start, height)`, rising by `tangent` per metre towards
    /// `inward`, a unit vector in plan square to the line.
    #[must_use]
    pub fn rising(start: &Point2<f64>, height: f64, inward: &Vector2<f64>, tangent: f64) -> Self {
        let length = tangent.hypot(1.0);
        let normal = Vector3::new(-inward.x * tangent, -inward.y * tangent, 1.0) / length;
        Self { normal, offset: normal.dot(&Vector3::new(start.x, start.y, height)) }
    }

    /// Signed distance of a point, positive on the side the normal points to, metres.
    #[must_use]
    pub fn distance(&self, point: &Point3<f64>) -> f64 {
        self.normal.dot(&point.coords) - self.offset
    }

    /// Inclination from level, radians in 0 ..= π/2.
    #[must_use]
    pub fn pitch(&self) -> f64 {
        self.normal.xy().norm().atan2(self.normal.z.abs())
    }

    /// The height of the plane above a place in plan; `None` where the plane stands plumb.
    #[must_use]
    pub fn height_at(&self, place: &Point2<f64>) -> Option<f64> {
        let height = (self.offset - self.normal.x * place.x - self.normal.y * place.y) / self.normal.z;
        height.is_finite().then_some(height)
    }

    /// The unit vector in plan that water runs along, `None` where the plane is level to within rounding.
    #[must_use]
    pub fn downslope(&self) -> Option<Vector2<f64>> {
        let level = self.normal.xy() * self.normal.z.signum();
        level.try_normalize(f64::EPSILON)
    }
}
