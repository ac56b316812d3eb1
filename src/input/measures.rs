//! Numbers and quantities of the tree: lengths, pitches, turns, angles, shares.

use super::node::{Item, Table};
use super::reader::{BareUnit, Reader};
use crate::base::diagnostic::Diagnostic;
use crate::base::quantity::{self, Quantity, QuantityError, Reason, Turn};
use crate::base::schema::Bounds;
use crate::base::units::{LengthUnit, Pitch};
use crate::wording::schema::{Counted, range};
use std::ops::Range;
use toml::de::DeValue;

/// What a number counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Unit {
    Length,
    Angle,
    Share,
    Number,
    Count,
}

impl Unit {
    fn of(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Angle => "an angle",
            Self::Share => "a share",
            Self::Number => "a number",
            Self::Count => "a whole number",
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

    /// Whether a number is one that can be meant; tells of one that is not, with what it would be in another unit.
    fn in_bounds(&mut self, item: &Item<'d>, value: f64, bounds: &Bounds, unit: Unit) -> Option<f64> {
        if bounds.allow(value) {
            return Some(value);
        }
        let key = item.key;
        let message = if value < 0.0 && bounds.least >= 0.0 {
            format!("`{key}` is negative")
        } else if value == 0.0 && bounds.least >= 0.0 {
            format!("`{key}` is 0")
        } else if value > bounds.most {
            format!("`{key}` is larger than any {}", bounds.of)
        } else {
            format!("`{key}` is smaller than any {}", bounds.of)
        };
        let found = self.written(&item.span);
        let expected = format!("{}: {}", unit.of(), self.range(bounds, unit));
        let mut error = Diagnostic::error("out-of-range", item.span.clone(), message).found(found).expected(expected);
        if let Some(meant) = self.in_another_unit(item, value, bounds, unit) {
            error = error.hint(format!("did you mean {meant:?}?"));
        }
        self.report(error);
        None
    }

    /// Bounds in words, lengths in the unit of the file.
    fn range(&self, bounds: &Bounds, unit: Unit) -> String {
        let stated = if let BareUnit::Stated(unit) = self.units { unit } else { LengthUnit::Metre };
        let counted = match unit {
            Unit::Length => Counted::Length(stated),
            Unit::Angle => Counted::Angle,
            Unit::Share => Counted::Share,
            Unit::Number | Unit::Count => Counted::Number,
        };
        range(bounds, counted)
    }

    /// The number as written with the unit that makes it one that can be meant.
    fn in_another_unit(&self, item: &Item<'d>, value: f64, bounds: &Bounds, unit: Unit) -> Option<String> {
        if unit != Unit::Length || value == 0.0 {
            return None;
        }
        let (number, stated) = match (digits(item.value), self.units, item.value) {
            (Some(digits), BareUnit::Stated(unit), _) => (digits, Some(unit)),
            (Some(digits), ..) => (digits, None),
            (None, _, DeValue::String(text)) => {
                let number: String =
                    text.trim().chars().take_while(|sign| sign.is_ascii_digit() || *sign == '.').collect();
                (number, None)
            }
            _ => return None,
        };
        let small = [LengthUnit::Millimetre, LengthUnit::Centimetre, LengthUnit::Inch];
        let large = [LengthUnit::Metre, LengthUnit::Foot];
        let units: &[LengthUnit] = if value > bounds.most { &small } else { &large };
        let fits = |unit: &&LengthUnit| {
            Some(**unit) != stated && quantity::bare_length(&number, **unit).is_some_and(|metres| bounds.allow(metres))
        };
        let meant = units.iter().find(fits)?;
        Some(format!("{number} {}", meant.symbol()))
    }

    fn not_finite(&mut self, item: &Item<'d>) {
        let message = format!("`{}` is not a finite number", item.key);
        let found = self.written(&item.span);
        self.report(
            Diagnostic::error("not-finite", item.span.clone(), message).found(found).expected("a finite number"),
        );
    }

    /// A plain finite number.
    pub fn number(&mut self, item: &Item<'d>, bounds: &Bounds) -> Option<f64> {
        let value = self.finite(item)?;
        self.in_bounds(item, value, bounds, Unit::Number)
    }

    fn finite(&mut self, item: &Item<'d>) -> Option<f64> {
        let Some(digits) = digits(item.value) else {
            self.wrong_type(item, "a number, without quotes");
            return None;
        };
        let value = digits.parse::<f64>().ok().filter(|value| value.is_finite());
        if value.is_none() {
            self.not_finite(item);
        }
        value
    }

    /// A whole number.
    pub fn count(&mut self, item: &Item<'d>, bounds: &Bounds) -> Option<u32> {
        let DeValue::Integer(_) = item.value else {
            self.wrong_type(item, "a whole number, without quotes");
            return None;
        };
        let value = digits(item.value).and_then(|digits| digits.parse::<f64>().ok()).unwrap_or(f64::INFINITY);
        let value = self.in_bounds(item, value, bounds, Unit::Count)?;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        Some(value as u32)
    }

    /// A length, metres.
    pub fn length(&mut self, item: &Item<'d>, bounds: &Bounds) -> Option<f64> {
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
        self.in_bounds(item, metres, bounds, Unit::Length)
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
    pub fn angle(&mut self, item: &Item<'d>, bounds: &Bounds) -> Option<f64> {
        let angle = self.quantity(item, Quantity::Angle, quantity::angle)?;
        self.in_bounds(item, angle.to_degrees(), bounds, Unit::Angle)?;
        Some(angle)
    }

    /// A bearing: radians clockwise from north.
    pub fn bearing(&mut self, item: &Item<'d>) -> Option<f64> {
        self.quantity(item, Quantity::Bearing, quantity::bearing)
    }

    /// A share: `15 %`, or a number such as 0.15. A bare number over 1 is percent without its sign.
    pub fn share(&mut self, item: &Item<'d>, bounds: &Bounds) -> Option<f64> {
        let share = match item.value {
            DeValue::String(_) => self.quantity(item, Quantity::Fraction, quantity::fraction)?,
            _ => self.finite(item)?,
        };
        if share > 1.0 && !matches!(item.value, DeValue::String(_)) {
            let found = self.written(&item.span);
            let message = format!("`{}` is more than the whole", item.key);
            let error = Diagnostic::error("out-of-range", item.span.clone(), message).expected(format!(
                "a share: {}; in quotes with its sign, \"15 %\", or as a number up to 1, 0.15",
                self.range(bounds, Unit::Share)
            ));
            let error =
                if bounds.allow(share / 100.0) { error.hint(format!("did you mean \"{found} %\"?")) } else { error };
            self.report(error.found(found));
            return None;
        }
        self.in_bounds(item, share, bounds, Unit::Share)
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
