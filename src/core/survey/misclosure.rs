//! Whether a walk closes as well as its lengths and turns let it, and which side is likeliest misread where it does not.
//!
//! The end of a walk is off by the error of each length along its side and by the error of each turn times what is left to
//! walk, square to it. A gap of more than four standard deviations of that is no chance: one of the readings is wrong.

use super::error::{Instead, SurveyError};
use super::model::{Leg, Measured, RingInput};
use super::walk::Heading;
use nalgebra::{Matrix2, Vector2};

/// A gap beyond so many standard deviations is a mistake, not chance.
const SIGMAS: f64 = 4.0;

/// Slips of the decimal point and of the unit: what was read is so many times what was meant.
const SLIPS: [f64; 6] = [10.0, 0.1, 100.0, 0.01, 1000.0, 0.001];

/// At most so many sides are named.
const NAMED: usize = 2;

/// A walk's gap with its standard deviation along itself.
struct Gap {
    by: f64,
    sigma: f64,
}

impl Gap {
    fn is_chance(&self) -> bool {
        self.by <= SIGMAS * self.sigma
    }
}

/// Checks that a walk closes within four standard deviations. Where other measurements tie its corners only a slip of the
/// decimal point or of the unit is an error: whatever else is wrong the adjustment itself finds among them. Not checked
/// where a length was left open, nor where all is stated exact. O(n); O(n²) for a walk that does not close.
///
/// # Errors
/// [`SurveyError::WalkDoesNotClose`].
pub(super) fn check(ring: &RingInput<'_>, legs: &[Leg], is_tied: bool) -> Result<(), SurveyError> {
    if legs.iter().any(|leg| !leg.length.sigma.is_finite()) {
        return Ok(());
    }
    let Some(gap) = gap(legs) else { return Ok(()) };
    if gap.is_chance() {
        return Ok(());
    }
    let (instead, is_slip) = likeliest(ring, legs);
    if is_tied && !is_slip {
        return Ok(());
    }
    Err(SurveyError::WalkDoesNotClose {
        block: ring.block.to_owned(),
        ring: ring.ring,
        by: gap.by,
        allowed: SIGMAS * gap.sigma,
        instead,
    })
}

/// The gap of a walk, and how unsure it is; `None` where that can't be told.
fn gap(legs: &[Leg]) -> Option<Gap> {
    let (gap, weight) = spread(legs)?;
    let by = gap.norm();
    let share = gap.dot(&(weight * gap)).sqrt();
    Some(Gap { by, sigma: if share > 0.0 { by / share } else { f64::INFINITY } })
}

/// Where a walk ends seen from where it began, and the inverse of its covariance.
fn spread(legs: &[Leg]) -> Option<(Vector2<f64>, Matrix2<f64>)> {
    let mut towards = Heading::new(0.0);
    let mut at = Vector2::zeros();
    let mut covariance = Matrix2::zeros();
    let mut corners = Vec::with_capacity(legs.len());
    for leg in legs {
        let along = towards.direction();
        at += along * leg.length.value;
        covariance += along * along.transpose() * leg.length.sigma.powi(2);
        corners.push(at);
        towards = towards.turned(leg.turn.map_or(0.0, |turn| turn.value));
    }
    for (leg, corner) in legs.iter().zip(&corners) {
        let left = at - corner;
        let across = Vector2::new(-left.y, left.x);
        covariance += across * across.transpose() * leg.turn.map_or(0.0, |turn| turn.sigma).powi(2);
    }
    Some((at, covariance.try_inverse()?))
        .filter(|(at, weight)| at.iter().chain(weight).all(|number| number.is_finite()))
}

/// The same walk with another length of one side, as unsure as the old one.
fn with(legs: &[Leg], side: usize, value: f64) -> Vec<Leg> {
    let mut legs = legs.to_vec();
    legs[side].length = Measured { value, ..legs[side].length };
    legs
}

/// What one length would have to be for the walk to close, likeliest first, and whether the first is a slip of the decimal
/// point or of the unit.
fn likeliest(ring: &RingInput<'_>, legs: &[Leg]) -> (Vec<Instead>, bool) {
    let middle = median(legs);
    let mut found: Vec<(bool, f64, Instead)> = Vec::new();
    for (side, leg) in legs.iter().enumerate() {
        let closes = |value: f64| value > 0.0 && gap(&with(legs, side, value)).is_some_and(|gap| gap.is_chance());
        let Some(value) = closing(legs, side).filter(|value| closes(*value)) else { continue };
        let slip = SLIPS.iter().map(|times| leg.length.value / times).find(|slip| closes(*slip));
        let value = slip.unwrap_or(value);
        let instead =
            Instead { side: ring.sides.get(side).map_or("", |name| name).to_owned(), read: leg.length.value, value };
        found.push((slip.is_none(), (value / middle).ln().abs(), instead));
    }
    found.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let is_slip = found.first().is_some_and(|(is_none, ..)| !is_none);
    let named = if is_slip { 1 } else { NAMED };
    (found.into_iter().take(named).map(|(_, _, instead)| instead).collect(), is_slip)
}

/// The length of one side that closes a walk best, metres: least squares over the gap. The gap is weighed as where that
/// side is as long as it comes out, for a length far off spreads the end of the walk as far.
fn closing(legs: &[Leg], side: usize) -> Option<f64> {
    let mut towards = Heading::new(0.0);
    for leg in &legs[..side] {
        towards = towards.turned(leg.turn.map_or(0.0, |turn| turn.value));
    }
    let along = towards.direction();
    let mut value = legs[side].length.value;
    for _ in 0..2 {
        let (gap, weight) = spread(&with(legs, side, value))?;
        value -= along.dot(&(weight * gap)) / along.dot(&(weight * along));
    }
    Some(value)
}

/// The median of a walk's lengths.
fn median(legs: &[Leg]) -> f64 {
    let mut lengths: Vec<f64> = legs.iter().map(|leg| leg.length.value).collect();
    lengths.sort_by(f64::total_cmp);
    lengths.get(lengths.len() / 2).copied().unwrap_or(1.0)
}
