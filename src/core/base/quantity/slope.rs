//! Pitches, turns, angles, bearings, percentages.

use super::error::{Quantity, QuantityError, Reason};
use super::tokens::{Cursor, comma_readings, tokens};
use crate::base::units::Pitch;
use std::f64::consts::FRAC_PI_2;

/// A turn between two sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// Radians, left positive.
    pub radians: f64,
    /// Written as a bare `L` or `R`: a right angle taken by eye or square, not a number read off.
    pub is_right: bool,
}

/// Reads a pitch, strictly between level and plumb: degrees (`35`, `35°`, `35 deg`), rise over run (`7:12`, `7 in 12`)
/// or percent (`70 %`).
///
/// # Errors
/// [`QuantityError`] with what was found, what was expected and a hint.
pub fn pitch(text: &str) -> Result<Pitch, QuantityError> {
    let quantity = Quantity::Pitch;
    let fail = |reason| QuantityError::new(quantity, text, reason);
    let mut cursor = start(quantity, text)?;
    let sign = cursor.plus_or_minus();
    let first = cursor.number().ok_or_else(|| fail(not_understood(text)))?;
    let value = sign * decimal(quantity, text, &first)?;
    let outside = |degrees| fail(Reason::OutsidePitch { degrees });
    if cursor.sign(':') || cursor.word(&["in"]) || (cursor.sign('-') && cursor.word(&["in"])) {
        cursor.sign('-');
        let run = cursor.number().ok_or_else(|| fail(not_understood(text)))?;
        let run = decimal(quantity, text, &run)?;
        finish(quantity, text, &cursor)?;
        return Pitch::from_rise_over_run(value, run).map_err(|error| outside(error.degrees));
    }
    if cursor.sign('/') {
        let run = cursor.number().ok_or_else(|| fail(not_understood(text)))?;
        return Err(fail(Reason::SlopeFraction { rise: first, run }));
    }
    if cursor.sign('%') || cursor.word(&["percent"]) {
        finish(quantity, text, &cursor)?;
        return Pitch::from_rise_over_run(value, 100.0).map_err(|error| outside(error.degrees));
    }
    let degrees = rest_of_degrees(&mut cursor, value);
    finish(quantity, text, &cursor)?;
    Pitch::from_degrees(degrees).map_err(|error| outside(error.degrees))
}

/// Reads a turn: `L` and `R` are right angles, `L 45` and `R 45` degrees, a number degrees with left positive.
///
/// # Errors
/// [`QuantityError`] with what was found, what was expected and a hint.
pub fn turn(text: &str) -> Result<Turn, QuantityError> {
    let quantity = Quantity::Turn;
    let fail = |reason| QuantityError::new(quantity, text, reason);
    let mut cursor = start(quantity, text)?;
    let letter = if cursor.word(&["l", "left"]) {
        Some(1.0)
    } else if cursor.word(&["r", "right"]) {
        Some(-1.0)
    } else {
        None
    };
    if let Some(side) = letter {
        if cursor.is_done() {
            return Ok(Turn { radians: side * FRAC_PI_2, is_right: true });
        }
        if (cursor.sign('-') || cursor.sign('+')) && cursor.number().is_some() {
            return Err(fail(Reason::SignedTurn));
        }
    }
    let sign = if letter.is_some() { 1.0 } else { cursor.plus_or_minus() };
    let number = cursor.number().ok_or_else(|| fail(not_understood(text)))?;
    let value = decimal(quantity, text, &number)?;
    let degrees = letter.unwrap_or(1.0) * sign * rest_of_degrees(&mut cursor, value);
    finish(quantity, text, &cursor)?;
    if degrees.abs() < 180.0 {
        Ok(Turn { radians: degrees.to_radians(), is_right: false })
    } else {
        Err(fail(Reason::OutsideTurn { degrees }))
    }
}

/// Reads an angle in degrees, with minutes and seconds if need be: radians.
///
/// # Errors
/// [`QuantityError`] with what was found, what was expected and a hint.
pub fn angle(text: &str) -> Result<f64, QuantityError> {
    let quantity = Quantity::Angle;
    let mut cursor = start(quantity, text)?;
    let sign = cursor.plus_or_minus();
    let number = cursor.number().ok_or_else(|| QuantityError::new(quantity, text, not_understood(text)))?;
    let value = decimal(quantity, text, &number)?;
    let degrees = sign * rest_of_degrees(&mut cursor, value);
    finish(quantity, text, &cursor)?;
    Ok(degrees.to_radians())
}

/// Reads a bearing: one of the sixteen points of the compass or degrees clockwise from north. Radians in 0 .. 2π for
/// compass points, as written for numbers.
///
/// # Errors
/// [`QuantityError`] with what was found and what was expected.
pub fn bearing(text: &str) -> Result<f64, QuantityError> {
    const POINTS: [&str; 16] =
        ["n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw"];
    let letters: String = text.trim().to_lowercase().replace([' ', '-'], "");
    let letters = letters.replace("north", "n").replace("south", "s").replace("east", "e").replace("west", "w");
    if let Some(point) = POINTS.iter().position(|point| *point == letters) {
        return Ok((point as f64 * 22.5).to_radians());
    }
    angle(text).map_err(|error| QuantityError { quantity: Quantity::Bearing, ..error })
}

/// Reads a percentage: `15 %` is 0.15.
///
/// # Errors
/// [`QuantityError`] with what was found and what was expected.
pub fn fraction(text: &str) -> Result<f64, QuantityError> {
    let quantity = Quantity::Fraction;
    let mut cursor = start(quantity, text)?;
    let sign = cursor.plus_or_minus();
    let number = cursor.number().ok_or_else(|| QuantityError::new(quantity, text, not_understood(text)))?;
    let shifted = decimal(quantity, text, &format!("{number}e-2"))?;
    if !(cursor.sign('%') || cursor.word(&["percent"])) {
        return Err(QuantityError::new(quantity, text, not_understood(text)));
    }
    finish(quantity, text, &cursor)?;
    Ok(sign * shifted)
}

fn start(quantity: Quantity, text: &str) -> Result<Cursor, QuantityError> {
    if text.trim().is_empty() {
        return Err(QuantityError::new(quantity, text, Reason::Empty));
    }
    let tokens = tokens(text).ok_or_else(|| QuantityError::new(quantity, text, not_understood(text)))?;
    Ok(Cursor::new(tokens))
}

fn finish(quantity: Quantity, text: &str, cursor: &Cursor) -> Result<(), QuantityError> {
    if cursor.is_done() { Ok(()) } else { Err(QuantityError::new(quantity, text, not_understood(text))) }
}

fn decimal(quantity: Quantity, text: &str, number: &str) -> Result<f64, QuantityError> {
    match number.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        Ok(_) => Err(QuantityError::new(quantity, text, Reason::NotFinite)),
        Err(_) => Err(QuantityError::new(quantity, text, Reason::NotUnderstood)),
    }
}

/// The degree sign with minutes and seconds, or the word, or nothing.
fn rest_of_degrees(cursor: &mut Cursor, value: f64) -> f64 {
    if cursor.word(&["deg", "degs", "degree", "degrees"]) || !cursor.sign('°') {
        cursor.sign('.');
        return value;
    }
    let mut degrees = value;
    for (mark, share) in [('\'', 60.0), ('"', 3600.0)] {
        if let (Some(super::tokens::Token::Number(number)), Some(super::tokens::Token::Sign(sign))) =
            (cursor.peek(0).cloned(), cursor.peek(1).cloned())
            && sign == mark
            && let Ok(part) = number.parse::<f64>()
            && part < 60.0
        {
            cursor.number();
            cursor.sign(mark);
            degrees += value.signum() * part / share;
        }
    }
    degrees
}

fn not_understood(text: &str) -> Reason {
    match comma_readings(text) {
        Some(readings) => Reason::Comma { readings },
        None => Reason::NotUnderstood,
    }
}
