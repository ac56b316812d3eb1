//! Why a text is not the quantity it should be.

use std::fmt;

/// The kinds of quantity read here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// A length.
    Length,
    /// A pitch.
    Pitch,
    /// A turn between two sides.
    Turn,
    /// An angle.
    Angle,
    /// A compass bearing.
    Bearing,
    /// A fraction written in percent.
    Fraction,
}

/// What is wrong with it.
#[derive(Clone, Debug, PartialEq)]
pub enum Reason {
    /// Nothing is written.
    Empty,
    /// A number without a unit where no unit is agreed.
    NoUnit {
        /// The number.
        number: String,
    },
    /// A decimal comma, with the readings it may have.
    Comma {
        /// The text with each reading.
        readings: Vec<String>,
    },
    /// A unit that is not known.
    UnknownUnit {
        /// As written.
        unit: String,
    },
    /// A part that is not smaller in unit than the one before it, or of another system.
    UnitOrder {
        /// The unit before.
        first: &'static str,
        /// The unit after it.
        then: &'static str,
    },
    /// A part as large as one of the unit before it, such as 14 inches after feet.
    Overflow {
        /// The unit of the part.
        unit: &'static str,
        /// How many of it make one of the unit before.
        limit: f64,
    },
    /// A part with decimals that is not the last.
    BrokenPart {
        /// Its unit.
        unit: &'static str,
    },
    /// A fraction over nothing.
    ZeroDenominator,
    /// A number too large for a length, or not a number.
    NotFinite,
    /// A pitch as a fraction, which may mean rise over run or rise over span.
    SlopeFraction {
        /// Above the line.
        rise: String,
        /// Below the line.
        run: String,
    },
    /// Not strictly between level and plumb.
    OutsidePitch {
        /// In degrees.
        degrees: f64,
    },
    /// A turn of half a circle or more.
    OutsideTurn {
        /// In degrees.
        degrees: f64,
    },
    /// A signed number after a letter that states the direction.
    SignedTurn,
    /// Anything else.
    NotUnderstood,
}

/// A text that is not the quantity it should be. `wording` says what was found, what was expected and what to do.
#[derive(Clone, Debug, PartialEq)]
pub struct QuantityError {
    /// What it should be.
    pub quantity: Quantity,
    /// As written.
    pub found: String,
    /// What is wrong.
    pub reason: Reason,
}

impl QuantityError {
    pub(super) fn new(quantity: Quantity, found: &str, reason: Reason) -> Self {
        Self { quantity, found: found.trim().to_owned(), reason }
    }
}

impl fmt::Display for QuantityError {
    /// For logs and panics; people read what `wording` makes of it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self:?}")
    }
}

impl std::error::Error for QuantityError {}
