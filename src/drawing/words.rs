//! Numbers as people read them on paper: metres with two decimals or feet-inches to an eighth, units always said.

use crate::base::units::LengthUnit;

/// Writes quantities in the units of a job.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Words {
    /// Feet and inches instead of metres.
    pub imperial: bool,
}

impl Words {
    /// For the units of a job.
    #[must_use]
    pub fn of(units: LengthUnit) -> Self {
        Self { imperial: units.is_imperial() }
    }

    /// A length: `4.25 m`, or `13' 11 3/8"`.
    #[must_use]
    pub fn length(self, metres: f64) -> String {
        if self.imperial { feet_inches(metres) } else { format!("{metres:.2} m") }
    }

    /// A length to cut to: `4252 mm`, or feet-inches to an eighth.
    #[must_use]
    pub fn fine(self, metres: f64) -> String {
        if self.imperial { feet_inches(metres) } else { format!("{:.0} mm", metres * 1000.0) }
    }

    /// A length with its standard deviation.
    #[must_use]
    pub fn length_pm(self, metres: f64, sd: Option<f64>) -> String {
        let value = self.length(metres);
        match sd {
            Some(sd) if sd > 0.0 => {
                format!("{value} ± {}", if self.imperial { feet_inches(sd) } else { format!("{sd:.2} m") })
            }
            _ => value,
        }
    }

    /// An area: `25.10 m²`, or `270.2 ft²`.
    #[must_use]
    pub fn area(self, square_metres: f64) -> String {
        if self.imperial {
            format!("{:.1} ft²", square_metres / (0.3048 * 0.3048))
        } else {
            format!("{square_metres:.2} m²")
        }
    }

    /// An area with its standard deviation: `25.10 ± 0.16 m²`.
    #[must_use]
    pub fn area_pm(self, square_metres: f64, sd: Option<f64>) -> String {
        match sd {
            Some(sd) if sd > 0.0 && self.imperial => {
                let foot = 0.3048 * 0.3048;
                format!("{:.1} ± {:.1} ft²", square_metres / foot, sd / foot)
            }
            Some(sd) if sd > 0.0 => format!("{square_metres:.2} ± {sd:.2} m²"),
            _ => self.area(square_metres),
        }
    }
}

/// Degrees with one decimal.
#[must_use]
pub fn degrees(radians: f64) -> String {
    format!("{:.1}°", radians.to_degrees())
}

/// Feet and inches, rounded to the nearest eighth of an inch.
#[must_use]
pub fn feet_inches(metres: f64) -> String {
    // Lengths on a drawing are far below 2^52 eighths of an inch.
    #[allow(clippy::cast_possible_truncation)]
    let eighths = (metres.abs() / 0.0254 * 8.0).round() as i64;
    let sign = if metres < 0.0 && eighths > 0 { "-" } else { "" };
    let (feet, rest) = (eighths / 96, eighths % 96);
    let (inches, part) = (rest / 8, rest % 8);
    let fraction = match part {
        0 => String::new(),
        2 | 6 => format!("{}/4", part / 2),
        4 => "1/2".to_owned(),
        _ => format!("{part}/8"),
    };
    let inches = match (inches, fraction.as_str()) {
        (0, "") if feet > 0 => String::new(),
        (_, "") => format!("{inches}\""),
        (0, _) => format!("{fraction}\""),
        _ => format!("{inches} {fraction}\""),
    };
    match (feet, inches.as_str()) {
        (0, _) => format!("{sign}{inches}"),
        (_, "") => format!("{sign}{feet}'"),
        _ => format!("{sign}{feet}' {inches}"),
    }
}

/// The compass word nearest a bearing, radians clockwise from north: "south-west".
#[must_use]
pub fn compass(bearing: f64) -> &'static str {
    const POINTS: [&str; 8] =
        ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
    let turns = (bearing / std::f64::consts::TAU).rem_euclid(1.0) * 8.0;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let index = turns.round() as usize % 8;
    POINTS[index]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn feet_and_inches_to_an_eighth() {
        // 25.4 mm to the inch by the international yard and pound agreement of 1959.
        assert_eq!(feet_inches(3.4417), "11' 3 1/2\"");
        assert_eq!(feet_inches(0.3048), "1'");
        assert_eq!(feet_inches(0.0254 * 11.97), "1'");
        assert_eq!(feet_inches(0.0), "0\"");
        assert_eq!(feet_inches(0.0254 * 0.375), "3/8\"");
    }

    #[test]
    fn bearings_have_names() {
        assert_eq!(compass(0.1), "north");
        assert_eq!(compass(200f64.to_radians()), "south");
        assert_eq!(compass(-40f64.to_radians()), "north-west");
    }
}
