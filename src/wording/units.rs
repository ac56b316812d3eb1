//! Numbers as people read them, on paper and in notes: metres with two decimals or feet-inches to an eighth, units always said.

use crate::base::quantity;
use crate::base::units::LengthUnit;

/// Writes quantities in the units of a job.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Format {
    /// Feet and inches instead of metres.
    pub imperial: bool,
}

impl Format {
    /// For the units of a job.
    #[must_use]
    pub fn of(units: LengthUnit) -> Self {
        Self { imperial: units.is_imperial() }
    }

    fn unit(self) -> LengthUnit {
        if self.imperial { LengthUnit::Foot } else { LengthUnit::Metre }
    }

    /// Whether a length is told as nothing: it is shorter than half the last digit. There is no use in telling it.
    #[must_use]
    pub fn reads_as_nothing(self, metres: f64) -> bool {
        self.length(metres.abs()) == self.length(0.0)
    }

    /// A length: `4.25 m`, or `13' 11 3/8"`.
    #[must_use]
    pub fn length(self, metres: f64) -> String {
        quantity::length_for_people(metres, self.unit())
    }

    /// A length to cut to: `4252 mm`, or feet-inches to an eighth.
    #[must_use]
    pub fn fine(self, metres: f64) -> String {
        // Adding to a positive zero: a hair below nothing is not told as -0.
        if self.imperial { quantity::feet_inches(metres) } else { format!("{:.0} mm", (metres * 1000.0).round() + 0.0) }
    }

    /// A lap, a gauge, an exposure: `142.5 mm`, or feet-inches to an eighth.
    #[must_use]
    pub fn finer(self, metres: f64) -> String {
        if self.imperial { quantity::feet_inches(metres) } else { format!("{:.1} mm", metres * 1000.0) }
    }

    /// A length goods come in, as it is called: `2 m`, `2.44 m`, or feet-inches to an eighth.
    #[must_use]
    pub fn stock(self, metres: f64) -> String {
        if self.imperial {
            return quantity::feet_inches(metres);
        }
        let text = format!("{metres:.3}");
        format!("{} m", text.trim_end_matches('0').trim_end_matches('.'))
    }

    /// An area goods come in or serve, as it is called: `20 m²`, or `215 ft²`.
    #[must_use]
    pub(crate) fn stock_area(self, square_metres: f64) -> String {
        if self.imperial {
            return format!("{:.0} ft²", square_metres / (0.3048 * 0.3048));
        }
        let text = format!("{square_metres:.2}");
        format!("{} m²", text.trim_end_matches('0').trim_end_matches('.'))
    }

    /// A free area of vents: `450 cm²`, or `69.8 in²`.
    #[must_use]
    pub(crate) fn small_area(self, square_metres: f64) -> String {
        if self.imperial {
            format!("{:.0} in²", square_metres / (0.0254 * 0.0254))
        } else {
            format!("{:.0} cm²", square_metres * 1e4)
        }
    }

    /// An area: `25.10 m²`, or `270.2 ft²`.
    #[must_use]
    pub fn area(self, square_metres: f64) -> String {
        quantity::area_for_people(square_metres, self.unit())
    }

    /// An air temperature: `10 °C`, or `50 °F`.
    #[must_use]
    pub(crate) fn temperature(self, celsius: f64) -> String {
        if self.imperial { format!("{:.0} °F", celsius * 1.8 + 32.0) } else { format!("{celsius:.0} °C") }
    }

    /// A volume: `1.2 m³`, or `1.6 yd³`.
    #[must_use]
    pub fn volume(self, cubic_metres: f64) -> String {
        // The international yard of 1959, 0.9144 m.
        if self.imperial {
            format!("{:.1} yd³", cubic_metres / 0.9144_f64.powi(3))
        } else {
            format!("{cubic_metres:.1} m³")
        }
    }

    /// What is spread over an area, kilograms a square metre: `0.85 kg/m²`, or `0.174 lb/ft²`.
    #[must_use]
    pub fn spread(self, kilograms: f64) -> String {
        if self.imperial {
            format!("{:.3} lb/ft²", kilograms / 0.453_592_37 * 0.3048 * 0.3048)
        } else {
            format!("{kilograms:.2} kg/m²")
        }
    }

    /// A weight: `164 kg`, or `362 lb`.
    #[must_use]
    pub fn weight(self, kilograms: f64) -> String {
        // The international pound of 1959.
        if self.imperial { format!("{:.0} lb", kilograms / 0.453_592_37) } else { format!("{kilograms:.0} kg") }
    }
}

impl Format {
    /// A pitch: `35.0°`, and in feet and inches the rise on 12 with it, `30.3° (7.0:12)`.
    #[must_use]
    pub fn pitch(self, radians: f64) -> String {
        let degrees = degrees(radians);
        if self.imperial { format!("{degrees} ({:.1}:12)", radians.tan() * 12.0) } else { degrees }
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

/// Money in the user's currency.
#[must_use]
pub fn money(value: f64, currency: Option<&str>) -> String {
    currency.map_or_else(|| format!("{value:.2}"), |currency| format!("{value:.2} {currency}"))
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
