//! Numbers and quantities of the tree: lengths, pitches, turns, angles, shares.

use super::bare_unit::BareUnit;
use super::node::{Item, Table};
use super::reader::Reader;
use super::reported::Reported;
use crate::base::quantity::{self, Quantity, QuantityError, Reason, Turn};
use crate::base::schema::Bounds;
use crate::base::units::{LengthUnit, Pitch};
use crate::job::reading::{Expected, Fault, Measured, Problem};
use std::ops::Range;
use toml::de::DeValue;

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
    fn bad_quantity(&mut self, item: &Item<'d>, error: QuantityError) {
        let no_unit = |reason: &Reason| matches!(reason, Reason::NoUnit { .. });
        let of_it =
            |problem: &Problem| matches!(&problem.fault, Fault::Quantity { error, .. } if no_unit(&error.reason));
        let is_told = no_unit(&error.reason) && self.problems.iter().any(of_it);
        self.wrong(item, Fault::Quantity { key: item.key.to_owned(), error, is_told });
    }

    /// Whether a number is one that can be meant; tells of one that is not, with what it would be in another unit.
    fn in_bounds(&mut self, item: &Item<'d>, value: f64, bounds: &Bounds, counts: Measured) -> Option<f64> {
        if bounds.allow(value) {
            return Some(value);
        }
        let meant = self.in_another_unit(item, value, bounds, counts);
        let unit = if let BareUnit::Stated(unit) = self.units_at(&item.span) { unit } else { LengthUnit::Metre };
        let (key, bounds) = (item.key.to_owned(), *bounds);
        self.wrong(item, Fault::OutOfBounds { key, value, bounds, counts, unit, meant });
        None
    }

    /// The number as written with the unit that makes it one that can be meant.
    fn in_another_unit(&self, item: &Item<'d>, value: f64, bounds: &Bounds, counts: Measured) -> Option<String> {
        if counts != Measured::Length || value == 0.0 {
            return None;
        }
        let (number, stated) = match (digits(item.value), self.units_at(&item.span), item.value) {
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
        self.wrong(item, Fault::NotFinite { key: item.key.to_owned() });
    }

    /// A plain finite number.
    pub fn number(&mut self, item: &Item<'d>, bounds: &Bounds) -> Option<f64> {
        let value = self.finite(item)?;
        self.in_bounds(item, value, bounds, Measured::Number)
    }

    fn finite(&mut self, item: &Item<'d>) -> Option<f64> {
        let Some(digits) = digits(item.value) else {
            self.wrong_type(item, Expected::Number);
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
            self.wrong_type(item, Expected::Whole);
            return None;
        };
        let value = digits(item.value).and_then(|digits| digits.parse::<f64>().ok()).unwrap_or(f64::INFINITY);
        let value = self.in_bounds(item, value, bounds, Measured::Count)?;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        Some(value as u32)
    }

    /// A length, metres.
    pub fn length(&mut self, item: &Item<'d>, bounds: &Bounds) -> Option<f64> {
        let metres = if let DeValue::String(text) = item.value {
            let bare = match self.units_at(&item.span) {
                BareUnit::Stated(unit) => Some(unit),
                BareUnit::Missing => None,
                BareUnit::Unreadable => Some(LengthUnit::Metre),
            };
            match quantity::length(text, bare) {
                Ok(metres) => metres,
                Err(error) => {
                    self.bad_quantity(item, error);
                    return None;
                }
            }
        } else {
            self.bare_length(item)?
        };
        self.in_bounds(item, metres, bounds, Measured::Length)
    }

    fn bare_length(&mut self, item: &Item<'d>) -> Option<f64> {
        let Some(digits) = digits(item.value) else {
            self.wrong_type(item, Expected::Quantity(Quantity::Length));
            return None;
        };
        let unit = match self.units_at(&item.span) {
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
                self.bad_quantity(item, QuantityError { quantity: Quantity::Length, found: number, reason });
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
        self.in_bounds(item, angle.to_degrees(), bounds, Measured::Angle)?;
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
            let is_percent = bounds.allow(share / 100.0);
            let (key, bounds) = (item.key.to_owned(), *bounds);
            self.wrong(item, Fault::MoreThanWhole { key, bounds, is_percent });
            return None;
        }
        self.in_bounds(item, share, bounds, Measured::Share)
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
                    self.wrong_type(item, Expected::Quantity(quantity));
                    return None;
                }
            },
        };
        match read(&text) {
            Ok(value) => Some(value),
            Err(error) => {
                self.bad_quantity(item, error);
                None
            }
        }
    }

    /// An optional entry: `Ok(None)` when absent, `Err(())` when there but wrong (already told).
    pub(crate) fn optional<T>(
        &mut self,
        table: &Table<'d>,
        key: &str,
        read: impl FnOnce(&mut Self, &Item<'d>) -> Option<T>,
    ) -> Result<Option<T>, Reported> {
        match table.get(key) {
            None => Ok(None),
            Some(item) => read(self, &item).map(Some).ok_or(Reported),
        }
    }
}

/// The span from one place to another.
pub(super) fn through(first: &Range<usize>, last: &Range<usize>) -> Range<usize> {
    first.start..last.end.max(first.end)
}
