//! Boxes of lettering, tilted and upright.

use crate::base::tolerance::ROUNDING;
use nalgebra::{Point2, Vector2};

/// A box turned about its centre, millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tilted {
    /// Its centre.
    pub centre: Point2<f64>,
    /// Half its length along the angle, half its height.
    pub half: [f64; 2],
    /// Radians anticlockwise.
    pub angle: f64,
}

impl Tilted {
    fn axes(&self) -> [Vector2<f64>; 2] {
        let along = Vector2::new(self.angle.cos(), self.angle.sin());
        [along, Vector2::new(-along.y, along.x)]
    }

    /// Corners, anticlockwise.
    #[must_use]
    pub fn corners(&self) -> [Point2<f64>; 4] {
        let [along, up] = self.axes();
        let (a, u) = (along * self.half[0], up * self.half[1]);
        [self.centre - a - u, self.centre + a - u, self.centre + a + u, self.centre - a + u]
    }

    /// The level box about it.
    #[must_use]
    pub fn around(&self) -> Around {
        Around::of(&self.corners())
    }

    /// Grown by a margin all round.
    #[must_use]
    pub fn grown(self, margin: f64) -> Self {
        Self { half: [self.half[0] + margin, self.half[1] + margin], ..self }
    }

    /// Half its extent along a direction.
    fn reach(&self, direction: &Vector2<f64>) -> f64 {
        let [along, up] = self.axes();
        (along.dot(direction) * self.half[0]).abs() + (up.dot(direction) * self.half[1]).abs()
    }

    /// Whether two boxes share more than their rims (separating axes; exact for boxes). O(1).
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        let between = other.centre - self.centre;
        let apart = |axis: &Vector2<f64>| between.dot(axis).abs() >= self.reach(axis) + other.reach(axis) - ROUNDING;
        !self.axes().iter().chain(other.axes().iter()).any(apart)
    }

    /// Whether a straight line passes through it. O(1).
    #[must_use]
    pub fn meets(&self, from: &Point2<f64>, to: &Point2<f64>) -> bool {
        let middle = nalgebra::center(from, to);
        let along = to - from;
        let line = Self { centre: middle, half: [along.norm() / 2.0, 0.0], angle: along.y.atan2(along.x) };
        self.overlaps(&line)
    }

    /// Whether a place lies in it.
    #[must_use]
    pub fn holds(&self, place: &Point2<f64>) -> bool {
        let [along, up] = self.axes();
        let from = place - self.centre;
        from.dot(&along).abs() <= self.half[0] && from.dot(&up).abs() <= self.half[1]
    }
}

/// A level box about something, for a quick look before an exact one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Around {
    low: Point2<f64>,
    high: Point2<f64>,
}

impl Around {
    /// About places; nothing is near none.
    #[must_use]
    pub fn of<'a>(places: impl IntoIterator<Item = &'a Point2<f64>>) -> Self {
        let none = Self {
            low: Point2::new(f64::INFINITY, f64::INFINITY),
            high: Point2::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
        };
        places.into_iter().fold(none, |around, place| Self { low: around.low.inf(place), high: around.high.sup(place) })
    }

    /// Its lower left and upper right corner.
    #[must_use]
    pub fn corners(&self) -> (Point2<f64>, Point2<f64>) {
        (self.low, self.high)
    }

    /// Whether two boxes touch.
    #[must_use]
    pub fn touches(&self, other: &Self) -> bool {
        self.low.x <= other.high.x
            && other.low.x <= self.high.x
            && self.low.y <= other.high.y
            && other.low.y <= self.high.y
    }
}
