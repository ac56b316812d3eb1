//! Lengths.

use super::error::{Quantity, QuantityError, Reason};
use super::tokens::{Cursor, Token, comma_readings, tokens};
use crate::base::units::LengthUnit;

/// Reads a length, metres. A number without a unit takes `bare`; a bare last number after feet is inches.
///
/// # Errors
/// [`QuantityError`] with what was found, what was expected and a hint.
pub fn length(text: &str, bare: Option<LengthUnit>) -> Result<f64, QuantityError> {
    let fail = |reason| QuantityError::new(Quantity::Length, text, reason);
    if text.trim().is_empty() {
        return Err(fail(Reason::Empty));
    }
    let mut cursor = Cursor::new(tokens(text).ok_or_else(|| fail(not_understood(text)))?);
    let sign = cursor.plus_or_minus();
    let mut parts: Vec<Part> = Vec::new();
    while !cursor.is_done() {
        if let Some(last) = parts.last()
            && last.unit == Some(LengthUnit::Foot)
        {
            cursor.sign('-');
        }
        let part = part(&mut cursor).map_err(|reason| fail(reason.unwrap_or_else(|| not_understood(text))))?;
        parts.push(part);
    }
    let metres = total(parts, bare).map_err(|reason| fail(reason.unwrap_or_else(|| not_understood(text))))?;
    if metres.is_finite() { Ok(sign * metres) } else { Err(fail(Reason::NotFinite)) }
}

/// A number as written in the file (digits, point, exponent), in a unit: metres. Metric units shift the decimal point
/// of the text itself, so that no rounding comes in. `None` when it is not a number.
#[must_use]
pub fn bare_length(number: &str, unit: LengthUnit) -> Option<f64> {
    let shift = match unit {
        LengthUnit::Metre => 0,
        LengthUnit::Centimetre => -2,
        LengthUnit::Millimetre => -3,
        LengthUnit::Foot | LengthUnit::Inch => return number.parse::<f64>().ok().map(|value| unit.to_metres(value)),
    };
    if number.contains(['e', 'E']) {
        return number.parse::<f64>().ok().map(|value| unit.to_metres(value));
    }
    let value = format!("{number}e{shift}").parse::<f64>();
    value.or_else(|_| number.parse::<f64>()).ok()
}

/// One number with its unit.
struct Part {
    /// As written, when it is a plain decimal.
    decimal: Option<String>,
    value: f64,
    unit: Option<LengthUnit>,
}

/// `None` as the error: not understood.
fn part(cursor: &mut Cursor) -> Result<Part, Option<Reason>> {
    let first = cursor.number().ok_or(None)?;
    let mut decimal = Some(first.clone());
    let mut value: f64 = first.parse().map_err(|_| None)?;
    if let Some(fraction) = take_fraction(cursor, 0)? {
        // "3 1/2" comes as number, number, slash, number; "1/2" as number, slash, number.
        value = match fraction {
            Fraction::Over(below) => value / below,
            Fraction::Added(added) => value + added,
        };
        decimal = None;
    }
    let unit = take_unit(cursor)?;
    Ok(Part { decimal, value, unit })
}

enum Fraction {
    /// The number just read stands above the line.
    Over(f64),
    /// A fraction follows the whole number.
    Added(f64),
}

fn take_fraction(cursor: &mut Cursor, at: usize) -> Result<Option<Fraction>, Option<Reason>> {
    let is_number = |token: Option<&Token>| matches!(token, Some(Token::Number(_)));
    let is_slash = |token: Option<&Token>| token == Some(&Token::Sign('/'));
    if cursor.sign('/') {
        return Ok(Some(Fraction::Over(denominator(cursor)?)));
    }
    let dash = usize::from(cursor.peek(at) == Some(&Token::Sign('-')));
    if is_number(cursor.peek(at + dash)) && is_slash(cursor.peek(at + dash + 1)) {
        cursor.sign('-');
        let above: f64 = cursor.number().ok_or(None)?.parse().map_err(|_| None)?;
        cursor.sign('/');
        return Ok(Some(Fraction::Added(above / denominator(cursor)?)));
    }
    Ok(None)
}

fn denominator(cursor: &mut Cursor) -> Result<f64, Option<Reason>> {
    let below: f64 = cursor.number().ok_or(None)?.parse().map_err(|_| None)?;
    if below > 0.0 { Ok(below) } else { Err(Some(Reason::ZeroDenominator)) }
}

fn take_unit(cursor: &mut Cursor) -> Result<Option<LengthUnit>, Option<Reason>> {
    if cursor.sign('\'') {
        return Ok(Some(LengthUnit::Foot));
    }
    if cursor.sign('"') {
        return Ok(Some(LengthUnit::Inch));
    }
    let Some(word) = cursor.any_word() else { return Ok(None) };
    let unit = match word.as_str() {
        "m" | "metre" | "metres" | "meter" | "meters" => LengthUnit::Metre,
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => LengthUnit::Centimetre,
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => LengthUnit::Millimetre,
        "ft" | "foot" | "feet" => LengthUnit::Foot,
        "in" | "inch" | "inches" => LengthUnit::Inch,
        _ => return Err(Some(Reason::UnknownUnit { unit: word })),
    };
    cursor.sign('.');
    Ok(Some(unit))
}

fn total(parts: Vec<Part>, bare: Option<LengthUnit>) -> Result<f64, Option<Reason>> {
    let last = parts.len().checked_sub(1).ok_or(None)?;
    let mut previous: Option<LengthUnit> = None;
    let mut inches = 0.0;
    let mut metres = 0.0;
    for (index, part) in parts.into_iter().enumerate() {
        let unit = match (part.unit, previous, bare) {
            (Some(unit), _, _) => unit,
            (None, Some(LengthUnit::Foot), _) => LengthUnit::Inch,
            (None, None, Some(bare)) if last == 0 => bare,
            (None, None, None) if last == 0 => {
                let number = part.decimal.unwrap_or_else(|| part.value.to_string());
                return Err(Some(Reason::NoUnit { number }));
            }
            (None, _, _) => return Err(None),
        };
        if let Some(before) = previous {
            let ratio = before.metres() / unit.metres();
            if before.is_imperial() != unit.is_imperial() || ratio <= 1.0 {
                return Err(Some(Reason::UnitOrder { first: before.symbol(), then: unit.symbol() }));
            }
            if part.value >= ratio.round() {
                return Err(Some(Reason::Overflow { unit: unit.symbol(), limit: ratio.round() }));
            }
        }
        if index < last && part.value.fract() != 0.0 {
            return Err(Some(Reason::BrokenPart { unit: unit.symbol() }));
        }
        match (unit, &part.decimal) {
            (LengthUnit::Foot, _) => inches += 12.0 * part.value,
            (LengthUnit::Inch, _) => inches += part.value,
            (_, Some(decimal)) if last == 0 => metres = bare_length(decimal, unit).ok_or(None)?,
            _ => metres += unit.to_metres(part.value),
        }
        previous = Some(unit);
    }
    Ok(metres + LengthUnit::Inch.to_metres(inches))
}

fn not_understood(text: &str) -> Reason {
    match comma_readings(text) {
        Some(readings) => Reason::Comma { readings },
        None => Reason::NotUnderstood,
    }
}
