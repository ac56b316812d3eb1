//! Measuring between two places: how far in space, level and plumb, and how steep.

use crate::base::units::LengthUnit;
use crate::wording::units::Format;
use nalgebra::Point3;

/// What lies between two places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Between {
    /// In space, metres.
    pub straight: f64,
    /// Level, metres.
    pub level: f64,
    /// From the first up to the second, metres; negative downwards.
    pub rise: f64,
}

impl Between {
    /// From one place to another.
    #[must_use]
    pub fn of(from: &Point3<f64>, to: &Point3<f64>) -> Self {
        let way = to - from;
        Self { straight: way.norm(), level: way.xy().norm(), rise: way.z }
    }

    /// Inclination from level, radians in 0 ..= π/2.
    #[must_use]
    pub fn pitch(&self) -> f64 {
        self.rise.abs().atan2(self.level)
    }

    /// In words: `4.42 m · level 3.96 m · rise 1.96 m · 26.3°`.
    #[must_use]
    pub fn words(&self, units: LengthUnit) -> String {
        format!(
            "{} · level {} · rise {} · {}",
            Format::of(units).length(self.straight),
            Format::of(units).length(self.level),
            Format::of(units).length(self.rise),
            Format::of(units).pitch(self.pitch())
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hip_of_a_square_corner() {
        // Eaves at a right angle, pitch 35, run 2.80 m: the hip's run is 2.80 sqrt 2.
        let rise = 2.8 * 35_f64.to_radians().tan();
        let between = Between::of(&Point3::new(1.0, 1.0, 2.4), &Point3::new(3.8, 3.8, 2.4 + rise));
        assert!((between.level - 2.8 * 2_f64.sqrt()).abs() < 1e-12);
        assert!((between.pitch() - (35_f64.to_radians().tan() / 2_f64.sqrt()).atan()).abs() < 1e-12);
        assert_eq!(between.words(LengthUnit::Metre), "4.42 m · level 3.96 m · rise 1.96 m · 26.3°");
        let plumb = Between::of(&Point3::new(0.0, 0.0, 2.0), &Point3::new(0.0, 0.0, 0.5));
        assert_eq!(plumb.words(LengthUnit::Metre), "1.50 m · level 0.00 m · rise -1.50 m · 90.0°");
    }
}
