//! Why a text is not the quantity it should be, in words.

use crate::base::quantity::{Quantity, QuantityError, Reason};

/// The word with its article.
fn word(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Length => "a length",
        Quantity::Pitch => "a pitch",
        Quantity::Turn => "a turn",
        Quantity::Angle => "an angle",
        Quantity::Bearing => "a bearing",
        Quantity::Fraction => "a percentage",
    }
}

/// How it may be written.
#[must_use]
pub fn forms(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Length => r#"a length such as "7.20 m", "345 cm", "3450 mm", "11' 3 1/2\"" or "11 ft 3.5 in""#,
        Quantity::Pitch => r#"a pitch between level and plumb such as 35, "35°", "7:12" (rise:run) or "70 %""#,
        Quantity::Turn => r#"a turn: "L", "R", "L 45", "R 45", or degrees with left positive"#,
        Quantity::Angle => r#"an angle in degrees such as 0.3 or "0.3°""#,
        Quantity::Bearing => r#"a compass point such as "SW", or degrees clockwise from north"#,
        Quantity::Fraction => r#"a percentage such as "15 %""#,
    }
}

/// What is wrong, in a line.
#[must_use]
pub fn message(error: &QuantityError) -> String {
    let what = word(error.quantity);
    match &error.reason {
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
pub fn expected(error: &QuantityError) -> String {
    match &error.reason {
        Reason::OutsidePitch { .. } => "more than 0° and less than 90°".to_owned(),
        Reason::OutsideTurn { .. } => "more than -180° and less than 180°".to_owned(),
        Reason::Overflow { unit, limit } => format!("less than {limit} {unit} there"),
        Reason::UnknownUnit { .. } => "one of m, cm, mm, ft, in".to_owned(),
        _ => forms(error.quantity).to_owned(),
    }
}

/// What to do, where there is something better to say than what was expected.
#[must_use]
pub fn hint(error: &QuantityError) -> Option<String> {
    match &error.reason {
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
