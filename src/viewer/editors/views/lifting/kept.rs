//! What lifting keeps between passes.

use super::handle::Handle;
use nalgebra::Point3;

/// A handle in hand: all as it was when it was taken hold of.
#[derive(Clone, Debug)]
pub struct Held {
    /// The handle.
    pub handle: Handle,
    /// The file.
    pub text: String,
    /// How far up the plumb line through the handle the hand took hold, metres from it.
    pub from: f64,
    /// What it is at now, in words.
    pub told: String,
}

/// What lifting keeps between passes.
#[derive(Clone, Debug, Default)]
pub struct Lifting {
    /// What is in hand.
    pub held: Option<Held>,
}

impl Lifting {
    /// Lets go of it.
    pub fn call_off(&mut self) {
        self.held = None;
    }
}

/// How far above a place the plumb line through it passes a ray nearest, metres; `None` for a ray that is plumb itself.
#[must_use]
pub fn above(place: &Point3<f64>, from: &Point3<f64>, along: &nalgebra::Vector3<f64>) -> Option<f64> {
    let way = place - from;
    let level = 1.0 - along.z * along.z;
    (level > LEVEL).then(|| (along.z * along.dot(&way) - way.z) / level)
}

/// Squared sine of the angle between a ray and the plumb line below which nobody can tell heights along it.
const LEVEL: f64 = 0.02;

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Vector3;

    #[test]
    fn a_level_ray_tells_its_own_height() {
        let place = Point3::new(3.0, 4.0, 2.0);
        let from = Point3::new(-5.0, 4.0, 3.5);
        assert!(above(&place, &from, &Vector3::x()).is_some_and(|above| (above - 1.5).abs() < 1e-12));
        let aimed = (Point3::new(3.0, 4.0, 2.75) - from).normalize();
        assert!(above(&place, &from, &aimed).is_some_and(|above| (above - 0.75).abs() < 1e-12));
        assert_eq!(above(&place, &from, &-Vector3::z()), None);
    }
}
