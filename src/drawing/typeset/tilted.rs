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
        // Most lettering is level, and there are very many places where it could stand.
        if self.angle == 0.0 {
            return [Vector2::x(), Vector2::y()];
        }
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
        if self.angle == 0.0 {
            let half = Vector2::from(self.half);
            return Around { low: self.centre - half, high: self.centre + half };
        }
        Around::of(&self.corners())
    }

    /// Grown by a margin all round.
    #[must_use]
    pub fn grown(self, margin: f64) -> Self {
        Self { half: [self.half[0] + margin, self.half[1] + margin], ..self }
    }

    /// Whether two boxes share more than their rims (separating axes; exact for boxes). O(1).
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        // Most are further apart than they are long, which needs no angles.
        let between = other.centre - self.centre;
        if between.norm_squared() >= (self.half[0].hypot(self.half[1]) + other.half[0].hypot(other.half[1])).powi(2) {
            return false;
        }
        overlap(between, (self.axes(), self.half), (other.axes(), other.half))
    }

    /// Whether a straight line passes through it. O(1).
    #[must_use]
    pub fn meets(&self, from: &Point2<f64>, to: &Point2<f64>) -> bool {
        let between = nalgebra::center(from, to) - self.centre;
        let way = to - from;
        let length = way.norm();
        if between.norm_squared() >= (self.half[0].hypot(self.half[1]) + length / 2.0).powi(2) {
            return false;
        }
        let along = if length > 0.0 { way / length } else { Vector2::x() };
        let line = ([along, Vector2::new(-along.y, along.x)], [length / 2.0, 0.0]);
        overlap(between, (self.axes(), self.half), line)
    }

    /// Whether a place lies in it.
    #[must_use]
    pub fn holds(&self, place: &Point2<f64>) -> bool {
        let [along, up] = self.axes();
        let from = place - self.centre;
        from.dot(&along).abs() <= self.half[0] && from.dot(&up).abs() <= self.half[1]
    }
}

/// A box's axes and half its lengths along them.
type Sides = ([Vector2<f64>; 2], [f64; 2]);

/// Whether two boxes share more than their rims, the second's centre so far from the first's.
fn overlap(between: Vector2<f64>, one: Sides, other: Sides) -> bool {
    let reach = |(axes, half): &Sides, direction: &Vector2<f64>| {
        (axes[0].dot(direction) * half[0]).abs() + (axes[1].dot(direction) * half[1]).abs()
    };
    let apart = |axis: &Vector2<f64>| between.dot(axis).abs() >= reach(&one, axis) + reach(&other, axis) - ROUNDING;
    !one.0.iter().chain(&other.0).any(apart)
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

    /// Whether the other lies within it.
    #[must_use]
    pub fn encloses(&self, other: &Self) -> bool {
        self.low.x <= other.low.x
            && self.low.y <= other.low.y
            && other.high.x <= self.high.x
            && other.high.y <= self.high.y
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
