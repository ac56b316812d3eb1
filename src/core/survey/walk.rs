//! A walked ring as written: where its corners come to by lengths and turns alone, and by how much it fails to close.

use super::error::SurveyError;
use super::model::{Leg, Measured};
use nalgebra::{Point2, Rotation2, Vector2};
use std::f64::consts::{FRAC_1_SQRT_2, FRAC_PI_4, TAU};

/// A direction in plan, kept as whole eighths of a turn and a rest, so that right angles stay exact round a walk.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heading {
    eighths: i64,
    rest: f64,
}

impl Heading {
    /// From an angle, radians anticlockwise from +x. Within a rounding of a multiple of 45° it is that multiple.
    #[must_use]
    pub fn new(angle: f64) -> Self {
        let eighths = (angle / FRAC_PI_4).round();
        let rest = angle - eighths * FRAC_PI_4;
        let rest = if rest.abs() <= 4.0 * f64::EPSILON * angle.abs() { 0.0 } else { rest };
        #[allow(clippy::cast_possible_truncation)]
        Self { eighths: eighths as i64, rest }
    }

    /// The direction after a turn, radians, left positive.
    #[must_use]
    pub fn turned(self, turn: f64) -> Self {
        let turn = Self::new(turn);
        Self { eighths: self.eighths + turn.eighths, rest: self.rest + turn.rest }
    }

    /// Its unit vector.
    #[must_use]
    pub fn direction(self) -> Vector2<f64> {
        const D: f64 = FRAC_1_SQRT_2;
        let (x, y) = match self.eighths.rem_euclid(8) {
            0 => (1.0, 0.0),
            1 => (D, D),
            2 => (0.0, 1.0),
            3 => (-D, D),
            4 => (-1.0, 0.0),
            5 => (-D, -D),
            6 => (0.0, -1.0),
            _ => (D, -D),
        };
        let eighth = Vector2::new(x, y);
        if self.rest == 0.0 { eighth } else { Rotation2::new(self.rest) * eighth }
    }
}

/// Where a walk comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Walked {
    /// Its corners, the gap shared out in proportion to the way to each (compass rule).
    pub balanced: Vec<Point2<f64>>,
    /// The same with the second corner brought back onto the first side's direction, which is fixed.
    pub corners: Vec<Point2<f64>>,
    /// From the first corner to where the last side ends, with lengths and turns as written, metres.
    pub gap: Vector2<f64>,
}

/// Walks a ring. A gap within the rounding of the sums is none. O(n).
#[must_use]
pub fn walk(legs: &[Leg], start: Point2<f64>, heading: Heading) -> Walked {
    let mut corners = Vec::with_capacity(legs.len());
    let mut along = Vec::with_capacity(legs.len());
    let (mut at, mut way, mut towards) = (start, 0.0, heading);
    for leg in legs {
        corners.push(at);
        along.push(way);
        at += towards.direction() * leg.length.value;
        way += leg.length.value;
        towards = towards.turned(leg.turn.map_or(0.0, |turn| turn.value));
    }
    let gap = at - start;
    let rounding = 4.0 * f64::EPSILON * legs.len() as f64 * (way + start.coords.norm());
    let gap = if gap.norm() > rounding { gap } else { Vector2::zeros() };
    if gap != Vector2::zeros() {
        for (corner, way_there) in corners.iter_mut().zip(&along) {
            *corner -= gap * (way_there / way);
        }
    }
    let balanced = corners.clone();
    if let Some(second) = corners.get_mut(1).filter(|_| gap != Vector2::zeros()) {
        let ray = heading.direction();
        *second = start + ray * ray.dot(&(*second - start));
    }
    Walked { balanced, corners, gap }
}

/// The length of a side that the others leave open, metres: how far back to where it starts they come along it, negative
/// where they come from the other way. What they miss across it is left to the adjustment. O(n).
#[must_use]
pub fn left_open(legs: &[Leg], side: usize) -> f64 {
    let mut towards = Heading::new(0.0);
    let (mut sum, mut along) = (Vector2::zeros(), Vector2::zeros());
    for (number, leg) in legs.iter().enumerate() {
        if number == side {
            along = towards.direction();
        } else {
            sum += towards.direction() * leg.length.value;
        }
        towards = towards.turned(leg.turn.map_or(0.0, |turn| turn.value));
    }
    -sum.dot(&along)
}

/// Checks that the turns of a ring (0 is a block's outer one) come round, left or right, within four standard deviations
/// of their sum.
///
/// # Errors
/// [`SurveyError::TurnsDoNotClose`]; nothing is checked where a turn is left out.
pub fn check_turns(block: &str, ring: usize, legs: &[Leg]) -> Result<(), SurveyError> {
    let turns: Option<Vec<Measured>> = legs.iter().map(|leg| leg.turn).collect();
    let Some(turns) = turns else { return Ok(()) };
    let sum: f64 = turns.iter().map(|turn| turn.value).sum();
    let expected = TAU.copysign(sum);
    let sigma = turns.iter().map(|turn| turn.sigma * turn.sigma).sum::<f64>().sqrt();
    let rounding = 4.0 * f64::EPSILON * TAU * turns.len() as f64;
    if (sum - expected).abs() <= 4.0 * sigma + rounding {
        return Ok(());
    }
    Err(SurveyError::TurnsDoNotClose { block: block.to_owned(), ring, sum, expected, allowed: 4.0 * sigma })
}
