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

impl Quantity {
    /// The word with its article.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Pitch => "a pitch",
            Self::Turn => "a turn",
            Self::Angle => "an angle",
            Self::Bearing => "a bearing",
            Self::Fraction => "a percentage",
        }
    }

    /// How it may be written.
    #[must_use]
    pub fn forms(self) -> &'static str {
        match self {
            Self::Length => r#"a length such as "7.20 m", "345 cm", "3450 mm", "11' 3 1/2\"" or "11 ft 3.5 in""#,
            Self::Pitch => r#"a pitch between level and plumb such as 35, "35°", "7:12" (rise:run) or "70 %""#,
            Self::Turn => r#"a turn: "L", "R", "L 45", "R 45", or degrees with left positive"#,
            Self::Angle => r#"an angle in degrees such as 0.3 or "0.3°""#,
            Self::Bearing => r#"a compass point such as "SW", or degrees clockwise from north"#,
            Self::Fraction => r#"a percentage such as "15 %""#,
        }
    }
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

/// A text that is not the quantity it should be: what was found, what was expected, and what to do.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{}", self.message())]
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

    /// What is wrong, in a line.
    #[must_use]
    pub fn message(&self) -> String {
        let what = self.quantity.word();
        match &self.reason {
            Reason::Empty => format!("{what} is missing between the quotes"),
            Reason::NoUnit { number } => format!("the length {number} has no unit"),
            Reason::Comma { .. } => format!("{what} with a decimal comma"),
            Reason::UnknownUnit { unit } => format!("{what} in an unknown unit {unit:?}"),
            Reason::UnitOrder { first, then } => format!("{what} with {then} after {first}"),
            Reason::Overflow { unit, limit } => format!("a part of {limit} {unit} or more after a larger unit"),
            Reason::BrokenPart { unit } => format!("a broken number of {unit} followed by a smaller unit"),
            Reason::ZeroDenominator => format!("{what} with a fraction over 0"),
            Reason::NotFinite => format!("{what} that is not a finite number"),
            Reason::SlopeFraction { .. } => "a pitch as a fraction has two readings".to_owned(),
            Reason::OutsidePitch { degrees } if *degrees <= 0.0 => "a pitch that does not rise".to_owned(),
            Reason::OutsidePitch { .. } => "a pitch that stands plumb or leans over".to_owned(),
            Reason::OutsideTurn { .. } => "a turn of half a circle or more".to_owned(),
            Reason::SignedTurn => "a turn with both a letter and a sign".to_owned(),
            Reason::NotUnderstood => format!("{what} is not understood"),
        }
    }

    /// What would have been right.
    #[must_use]
    pub fn expected(&self) -> String {
        match &self.reason {
            Reason::OutsidePitch { .. } => "more than 0° and less than 90°".to_owned(),
            Reason::OutsideTurn { .. } => "more than -180° and less than 180°".to_owned(),
            Reason::Overflow { unit, limit } => format!("less than {limit} {unit} there"),
            Reason::UnknownUnit { .. } => "one of m, cm, mm, ft, in".to_owned(),
            _ => self.quantity.forms().to_owned(),
        }
    }

    /// What to do, where there is something better to say than what was expected.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        match &self.reason {
            Reason::NoUnit { number } => Some(format!(
                "write the unit, such as \"{number} m\", or state `units = \"m\"` once at the top of the file"
            )),
            Reason::Comma { readings } => {
                let readings: Vec<String> = readings.iter().map(|reading| format!("\"{reading}\"")).collect();
                Some(format!("decimals take a point: write {}", readings.join(" or ")))
            }
            Reason::UnitOrder { .. } => Some("write the larger unit first, metric or imperial alone".to_owned()),
            Reason::BrokenPart { .. } => Some("give decimals or fractions in the last part only".to_owned()),
            Reason::SlopeFraction { rise, run } => {
                let doubled = rise.parse::<f64>().map_or_else(|_| rise.clone(), |rise| (2.0 * rise).to_string());
                Some(format!(
                    "write \"{rise}:{run}\" for rise over run; where the run was the whole span of two equal slopes, \
                     \"{doubled}:{run}\""
                ))
            }
            Reason::OutsidePitch { degrees } if *degrees >= 90.0 => {
                Some("a gable end is `verge = true`, a wall above it `abutment = true`".to_owned())
            }
            Reason::SignedTurn => Some("\"R 45\" is the same as -45: give the letter or the sign, not both".to_owned()),
            _ => None,
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
