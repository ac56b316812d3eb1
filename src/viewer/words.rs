//! Numbers for people: lengths, areas, angles in the job's units, always with the unit.

use crate::base::quantity;
use crate::base::units::LengthUnit;

/// A length: metres with two decimals, or feet and inches to an eighth.
#[must_use]
pub fn length(metres: f64, units: LengthUnit) -> String {
    quantity::length_for_people(metres, units)
}

/// A small length: whole millimetres, or inches to an eighth, rounded up.
#[must_use]
pub fn small(metres: f64, units: LengthUnit) -> String {
    let eighth = 0.0254 / 8.0;
    if units.is_imperial() {
        length((metres / eighth).ceil() * eighth, units)
    } else {
        format!("{:.0} mm", (metres * 1e3).ceil().max(1.0))
    }
}

/// A length with its standard deviation where known: `4.42 m ± 12 mm`, in feet and inches `14' 6" ± 1/2"`.
#[must_use]
pub fn length_with(metres: f64, sd: Option<f64>, units: LengthUnit) -> String {
    match sd {
        Some(sd) if sd > 0.0 && units.is_imperial() => {
            let eighth = 0.0254 / 8.0;
            format!("{} ± {}", length(metres, units), length((sd / eighth).ceil() * eighth, units))
        }
        Some(sd) if sd > 0.0 => format!("{} ± {:.0} mm", length(metres, units), (sd * 1e3).max(1.0)),
        _ => length(metres, units),
    }
}

/// An area: square metres or square feet, two decimals.
#[must_use]
pub fn area(square_metres: f64, units: LengthUnit) -> String {
    if units.is_imperial() {
        format!("{:.2} ft²", square_metres / (0.3048 * 0.3048))
    } else {
        format!("{square_metres:.2} m²")
    }
}

/// An area with its standard deviation where known.
#[must_use]
pub fn area_with(square_metres: f64, sd: Option<f64>, units: LengthUnit) -> String {
    let factor = if units.is_imperial() { 0.3048 * 0.3048 } else { 1.0 };
    match sd {
        Some(sd) if sd > 0.0 => {
            let unit = if units.is_imperial() { "ft²" } else { "m²" };
            format!("{:.2} {unit} ± {:.2}", square_metres / factor, sd / factor)
        }
        _ => area(square_metres, units),
    }
}

/// A pitch in degrees, one decimal where it needs one, and as rise on 12 for imperial jobs.
#[must_use]
pub fn pitch(radians: f64, units: LengthUnit) -> String {
    let degrees = radians.to_degrees();
    let rounded = (degrees * 10.0).round() / 10.0;
    let text = if rounded.fract() == 0.0 { format!("{rounded:.0}°") } else { format!("{rounded:.1}°") };
    if units.is_imperial() { format!("{text} ({:.1}:12)", radians.tan() * 12.0) } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn feet_and_inches_to_an_eighth() {
        assert_eq!(length(3.4417, LengthUnit::Foot), "11' 3 1/2\"");
        assert_eq!(length(0.3048, LengthUnit::Inch), "1' 0\"");
        assert_eq!(length(0.3047, LengthUnit::Inch), "1' 0\"");
        assert_eq!(length(0.0254, LengthUnit::Inch), "1\"");
        assert_eq!(length(4.4194, LengthUnit::Metre), "4.42 m");
    }

    #[test]
    fn lengths_carry_what_they_are_known_to() {
        assert_eq!(length_with(4.4194, Some(0.0121), LengthUnit::Metre), "4.42 m ± 12 mm");
        assert_eq!(length_with(4.4194, Some(0.0), LengthUnit::Metre), "4.42 m");
        assert_eq!(length_with(0.3048, Some(0.010), LengthUnit::Foot), "1' 0\" ± 1/2\"");
    }

    #[test]
    fn areas_and_pitches_carry_their_units() {
        assert_eq!(area_with(25.1, Some(0.16), LengthUnit::Metre), "25.10 m² ± 0.16");
        assert_eq!(area(9.290_304, LengthUnit::Foot), "100.00 ft²");
        assert_eq!(pitch(35_f64.to_radians(), LengthUnit::Metre), "35°");
        assert_eq!(pitch((7.0_f64 / 12.0).atan(), LengthUnit::Inch), "30.3° (7.0:12)");
    }
}
