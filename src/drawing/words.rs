//! Numbers as people read them on paper: metres with two decimals or feet-inches to an eighth, units always said.

use crate::base::quantity;
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

    fn unit(self) -> LengthUnit {
        if self.imperial { LengthUnit::Foot } else { LengthUnit::Metre }
    }

    /// A length: `4.25 m`, or `13' 11 3/8"`.
    #[must_use]
    pub fn length(self, metres: f64) -> String {
        quantity::length_for_people(metres, self.unit())
    }

    /// A length to cut to: `4252 mm`, or feet-inches to an eighth.
    #[must_use]
    pub fn fine(self, metres: f64) -> String {
        if self.imperial { quantity::feet_inches(metres) } else { format!("{:.0} mm", metres * 1000.0) }
    }

    /// A length with its standard deviation.
    #[must_use]
    pub fn length_pm(self, metres: f64, sd: Option<f64>) -> String {
        let value = self.length(metres);
        match sd {
            Some(sd) if sd > 0.0 => {
                format!("{value} ± {}", quantity::length_for_people(sd, self.unit()))
            }
            _ => value,
        }
    }

    /// An area: `25.10 m²`, or `270.2 ft²`.
    #[must_use]
    pub fn area(self, square_metres: f64) -> String {
        quantity::area_for_people(square_metres, self.unit())
    }

    /// A weight: `164 kg`, or `362 lb`.
    #[must_use]
    pub fn weight(self, kilograms: f64) -> String {
        // The international pound of 1959.
        if self.imperial { format!("{:.0} lb", kilograms / 0.453_592_37) } else { format!("{kilograms:.0} kg") }
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
    quantity::degrees_for_people(radians)
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
    fn bearings_have_names() {
        assert_eq!(compass(0.1), "north");
        assert_eq!(compass(200f64.to_radians()), "south");
        assert_eq!(compass(-40f64.to_radians()), "north-west");
    }
}
