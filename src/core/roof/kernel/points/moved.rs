//! How far points were moved to lie on their faces.

use crate::base::ids::PointId;
use nalgebra::Vector3;

/// A move beyond this many standard deviations is stated by itself: once in a thousand by chance.
pub(crate) const BEYOND_CHANCE: f64 = 3.29;

/// How far a point was moved to lie on all its faces.
#[derive(Clone, Debug, PartialEq)]
pub struct Move {
    /// The point, by its number in the survey.
    pub point: PointId,
    /// The name it was given.
    pub name: String,
    /// From its given or adjusted place to its corner of the roof, metres.
    pub by: Vector3<f64>,
    /// Standard deviation of the place along the move, metres.
    pub sigma: f64,
}
