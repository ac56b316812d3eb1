//! Numbers and quantities of the tree: lengths, pitches, turns, angles, shares.

use super::node::{Item, Table};
use super::reader::{BareUnit, Reader};
use crate::base::diagnostic::Diagnostic;
use crate::base::quantity::{self, Quantity, QuantityError, Reason, Turn};
use crate::base::units::{LengthUnit, Pitch};
use std::ops::Range;
use toml::de::DeValue;

/// Which numbers make sense.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sign {
    /// Any.
    Any,
    /// 0 or more.
    NotNegative,
    /// More than 0.
    Positive,
}

impl Sign {
    fn allows(self, value: f64) -> bool {
        match self {
            Self::Any => true,
            Self::NotNegative => value >= 0.0,
            Self::Positive => value > 0.0,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Any => "any finite number",
            Self::NotNegative => "0 or more",
            Self::Positive => "more than 0",
        }
    }
}

/// The digits of a number as written, ready to be read as decimal; `None` when the value is no number.
fn digits(value: &DeValue<'_>) -> Option<String> {
    match value {
        DeValue::Integer(integer) if integer.radix() == 10 => Some(integer.as_str().to_owned()),
        DeValue::Integer(integer) => {
            i64::from_str_radix(integer.as_str(), integer.radix()).ok().map(|value| value.to_string())
        }
        DeValue::Float(float) => Some(float.as_str().to_owned()),
        _ => None,
    }
}

impl<'d> Reader<'d> {
    fn code_of(reason: &Reason, quantity: Quantity) -> &'static str {
        match (reason, quantity) {
            (Reason::NoUnit { .. }, _) => "no-unit",
            (Reason::NotFinite, _) => "not-finite",
            (_, Quantity::Length) => "bad-length",
            (_, Quantity::Pitch) => "bad-pitch",
            (_, Quantity::Turn) => "bad-turn",
            (_, Quantity::Angle) => "bad-angle",
            (_, Quantity::Bearing) => "bad-bearing",
            (_, Quantity::Fraction) => "bad-percentage",
        }
    }

    fn bad_quantity(&mut self, item: &Item<'d>, error: &QuantityError) {
        let code = Self::code_of(&error.reason, error.quantity);
        let message = format!("`{}`: {}", item.key, error.message());
        let found = self.written(&item.span);
        let mut diagnostic =
            Diagnostic::error(code, item.span.clone(), message).found(found).expected(error.expected());
        let is_told = code == "no-unit" && self.diagnostics.iter().any(|other| other.code == code);
        if let Some(hint) = error.hint().filter(|_| !is_told) {
            diagnostic = diagnostic.hint(hint);
        }
        self.report(diagnostic);
    }

    fn in_sign(&mut self, item: &Item<'d>, value: f64, sign: Sign, what: &str) -> Option<f64> {
        if sign.allows(value) {
            return Some(value);
        }
        let message = if value < 0.0 { format!("`{}` is negative", item.key) } else { format!("`{}` is 0", item.key) };
        let found = self.written(&item.span);
        let error = Diagnostic::error("out-of-range", item.span.clone(), message);
        self.report(error.found(found).expected(format!("{what}: {}", sign.words())));
        None
    }

    fn not_finite(&mut self, item: &Item<'d>) {
        let message = format!("`{}` is not a finite number", item.key);
        let found = self.written(&item.span);
        self.report(
            Diagnostic::error("not-finite", item.span.clone(), message).found(found).expected("a finite number"),
        );
    }

    /// A plain finite number.
    pub fn number(&mut self, item: &Item<'d>, sign: Sign) -> Option<f64> {
        let Some(digits) = digits(item.value) else {
            self.wrong_type(item, "a number, without quotes");
            return None;
        };
        let Some(value) = digits.parse::<f64>().ok().filter(|value| value.is_finite()) else {
            self.not_finite(item);
            return None;
        };
        self.in_sign(item, value, sign, "a number")
    }

    /// A whole number, `least` or more.
    pub fn count(&mut self, item: &Item<'d>, least: u32) -> Option<u32> {
        let DeValue::Integer(_) = item.value else {
            self.wrong_type(item, "a whole number, without quotes");
            return None;
        };
        let value = digits(item.value).and_then(|digits| digits.parse::<u32>().ok()).filter(|value| *value >= least);
        if value.is_none() {
            let message = format!("`{}` is out of range", item.key);
            let found = self.written(&item.span);
            let error = Diagnostic::error("out-of-range", item.span.clone(), message);
            let expected = format!("a whole number, {least} or more");
            self.report(error.found(found).expected(expected).hint("write how many there are"));
        }
        value
    }

    /// A length, metres.
    pub fn length(&mut self, item: &Item<'d>, sign: Sign) -> Option<f64> {
        let metres = if let DeValue::String(text) = item.value {
            let bare = match self.units {
                BareUnit::Stated(unit) => Some(unit),
                BareUnit::Missing => None,
                BareUnit::Unreadable => Some(LengthUnit::Metre),
            };
            match quantity::length(text, bare) {
                Ok(metres) => metres,
                Err(error) => {
                    self.bad_quantity(item, &error);
                    return None;
                }
            }
        } else {
            self.bare_length(item)?
        };
        self.in_sign(item, metres, sign, "a length")
    }

    fn bare_length(&mut self, item: &Item<'d>) -> Option<f64> {
        let Some(digits) = digits(item.value) else {
            self.wrong_type(item, Quantity::Length.forms());
            return None;
        };
        let unit = match self.units {
            BareUnit::Stated(unit) => unit,
            BareUnit::Unreadable => return None,
            BareUnit::Missing => {
                if !digits.parse::<f64>().is_ok_and(f64::is_finite) {
                    self.not_finite(item);
                    return None;
                }
                // 0 is 0 in every unit.
                if digits.parse::<f64>() == Ok(0.0) {
                    return Some(0.0);
                }
                let number = self.written(&item.span);
                let reason = Reason::NoUnit { number: number.clone() };
                self.bad_quantity(item, &QuantityError { quantity: Quantity::Length, found: number, reason });
                return None;
            }
        };
        let metres = quantity::bare_length(&digits, unit).filter(|metres| metres.is_finite());
        if metres.is_none() {
            self.not_finite(item);
        }
        metres
    }

    /// A pitch.
    pub fn pitch(&mut self, item: &Item<'d>) -> Option<Pitch> {
        self.quantity(item, Quantity::Pitch, quantity::pitch)
    }

    /// A turn.
    pub fn turn(&mut self, item: &Item<'d>) -> Option<Turn> {
        self.quantity(item, Quantity::Turn, quantity::turn)
    }

    /// An angle in degrees: radians.
    pub fn angle(&mut self, item: &Item<'d>, sign: Sign) -> Option<f64> {
        let angle = self.quantity(item, Quantity::Angle, quantity::angle)?;
        self.in_sign(item, angle, sign, "an angle")
    }

    /// A bearing: radians clockwise from north.
    pub fn bearing(&mut self, item: &Item<'d>) -> Option<f64> {
        self.quantity(item, Quantity::Bearing, quantity::bearing)
    }

    /// A share: `15 %`, or a number such as 0.15.
    pub fn share(&mut self, item: &Item<'d>) -> Option<f64> {
        let share = match item.value {
            DeValue::String(_) => self.quantity(item, Quantity::Fraction, quantity::fraction)?,
            _ => self.number(item, Sign::Any)?,
        };
        self.in_sign(item, share, Sign::NotNegative, "a share")
    }

    /// A quantity that is text or a number in degrees.
    fn quantity<T>(
        &mut self,
        item: &Item<'d>,
        quantity: Quantity,
        read: impl Fn(&str) -> Result<T, QuantityError>,
    ) -> Option<T> {
        let text = match item.value {
            DeValue::String(text) => text.to_string(),
            _ => match digits(item.value).map(|digits| digits.parse::<f64>()) {
                // The readers know no exponents: write the number out.
                Some(Ok(value)) if value.is_finite() => format!("{value}"),
                Some(_) => {
                    self.not_finite(item);
                    return None;
                }
                None => {
                    self.wrong_type(item, quantity.forms());
                    return None;
                }
            },
        };
        match read(&text) {
            Ok(value) => Some(value),
            Err(error) => {
                self.bad_quantity(item, &error);
                None
            }
        }
    }

    /// Two lengths.
    pub fn length_pair(&mut self, item: &Item<'d>, sign: Sign, expected: &str) -> Option<[f64; 2]> {
        let [first, second] = self.exactly(item, expected)?;
        let (first, second) = (self.length(&first, sign), self.length(&second, sign));
        Some([first?, second?])
    }

    /// Two numbers.
    pub fn number_pair(&mut self, item: &Item<'d>, sign: Sign, expected: &str) -> Option<[f64; 2]> {
        let [first, second] = self.exactly(item, expected)?;
        let (first, second) = (self.number(&first, sign), self.number(&second, sign));
        Some([first?, second?])
    }

    /// A length that must be there.
    pub fn required_length(&mut self, table: &Table<'d>, key: &str, sign: Sign) -> Option<f64> {
        let item = self.required(table, key, Quantity::Length.forms())?;
        self.length(&item, sign)
    }

    /// An optional entry: `Ok(None)` when absent, `Err(())` when there but wrong (already told).
    pub fn optional<T>(
        &mut self,
        table: &Table<'d>,
        key: &str,
        read: impl FnOnce(&mut Self, &Item<'d>) -> Option<T>,
    ) -> Result<Option<T>, Told> {
        match table.get(key) {
            None => Ok(None),
            Some(item) => read(self, &item).map(Some).ok_or(Told),
        }
    }
}

/// Something is wrong and has been told.
#[derive(Clone, Copy, Debug)]
pub(super) struct Told;

/// The span from one place to another.
pub(super) fn through(first: &Range<usize>, last: &Range<usize>) -> Range<usize> {
    first.start..last.end.max(first.end)
}
