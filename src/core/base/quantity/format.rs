//! Quantities for people: metres to two decimals, feet and inches to an eighth.

use crate::base::units::LengthUnit;

const FRACTIONS: [(f64, &str); 7] =
    [(1.0, "1/8"), (2.0, "1/4"), (3.0, "3/8"), (4.0, "1/2"), (5.0, "5/8"), (6.0, "3/4"), (7.0, "7/8")];

/// `7.20 m`.
#[must_use]
pub fn metres(metres: f64) -> String {
    format!("{} m", fixed(metres, 2))
}

/// `11' 3 1/2"`, to the nearest eighth of an inch (a sixteenth rounds away from zero), carried into feet; under a foot
/// the feet are left out.
#[must_use]
pub fn feet_inches(metres: f64) -> String {
    let eighths = (metres * 5000.0 / 127.0 * 8.0).round();
    if !eighths.is_finite() {
        return format!("{metres}'");
    }
    let sign = if eighths < 0.0 { "-" } else { "" };
    let eighths = eighths.abs();
    let feet = (eighths / 96.0).floor();
    let rest = eighths - 96.0 * feet;
    let whole = (rest / 8.0).floor();
    let fraction = FRACTIONS.iter().find(|(eighth, _)| *eighth == rest - 8.0 * whole).map_or("", |(_, text)| text);
    let inches = match (whole > 0.0, fraction) {
        (_, "") => format!("{whole}\""),
        (true, fraction) => format!("{whole} {fraction}\""),
        (false, fraction) => format!("{fraction}\""),
    };
    if feet > 0.0 { format!("{sign}{feet}' {inches}") } else { format!("{sign}{inches}") }
}

/// A length in the units a job's answers are given in: metres, or feet and inches.
#[must_use]
pub fn length_for_people(length: f64, unit: LengthUnit) -> String {
    if unit.is_imperial() { feet_inches(length) } else { metres(length) }
}

/// An area in the units a job's answers are given in: `25.10 m²`, or square feet to one decimal.
#[must_use]
pub fn area_for_people(area: f64, unit: LengthUnit) -> String {
    if unit.is_imperial() {
        format!("{} ft²", fixed(area / (0.3048 * 0.3048), 1))
    } else {
        format!("{} m²", fixed(area, 2))
    }
}

/// `35.0°`.
#[must_use]
pub fn degrees_for_people(radians: f64) -> String {
    format!("{}°", fixed(radians.to_degrees(), 1))
}

/// Fixed decimals without a minus before nothing.
fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if !rest.contains(|c: char| ('1'..='9').contains(&c)) && value.is_finite() => rest.to_owned(),
        _ => text,
    }
}
