//! Quantities at the borders: level and sloping measures are different types that cannot be added.
//!
//! Inside a stage, bare `f64` metres and radians are used; what a stage takes and gives is one of these.

use std::ops::{Add, AddAssign, Div, Mul, Sub};

macro_rules! measure {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(pub f64);

        impl $name {
            /// Order by size, numbers that are none last.
            #[must_use]
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }
        }

        impl From<$name> for f64 {
            /// In SI units.
            fn from(measure: $name) -> Self {
                measure.0
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                Self(items.map(|item| item.0).sum())
            }
        }
    };
}

measure!(
    /// Area as drawn on a plan, square metres.
    PlanArea
);
measure!(
    /// Area on the slope, as covered by the material, square metres.
    TrueArea
);
measure!(
    /// Length as drawn on a plan, metres.
    PlanLength
);
measure!(
    /// Length along the thing itself, metres.
    TrueLength
);

/// The inclination of a roof plane from level, strictly between level and plumb.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Pitch {
    tangent: f64,
}

/// Why a number is not a pitch.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("not-a-pitch {degrees}")]
pub struct NotAPitch {
    /// What was given, in degrees.
    pub degrees: f64,
}

impl Pitch {
    /// A pitch in degrees from level.
    ///
    /// # Errors
    /// [`NotAPitch`] unless strictly between 0 and 90.
    pub fn from_degrees(degrees: f64) -> Result<Self, NotAPitch> {
        if degrees > 0.0 && degrees < 90.0 {
            // 45 degrees is 1 exactly; `tan` misses it by an ulp.
            let tangent = if degrees == 45.0 { 1.0 } else { degrees.to_radians().tan() };
            Ok(Self { tangent })
        } else {
            Err(NotAPitch { degrees })
        }
    }

    /// A pitch as rise over run, such as 7 over 12.
    ///
    /// # Errors
    /// [`NotAPitch`] unless both are positive and finite.
    pub fn from_rise_over_run(rise: f64, run: f64) -> Result<Self, NotAPitch> {
        let tangent = rise / run;
        if rise > 0.0 && run > 0.0 && tangent.is_normal() {
            Ok(Self { tangent })
        } else {
            Err(NotAPitch { degrees: rise.atan2(run).to_degrees() })
        }
    }

    /// Degrees from level.
    #[must_use]
    pub fn degrees(self) -> f64 {
        if self.tangent == 1.0 { 45.0 } else { self.tangent.atan().to_degrees() }
    }

    /// Radians from level.
    #[must_use]
    pub fn radians(self) -> f64 {
        self.tangent.atan()
    }

    /// Rise over run.
    #[must_use]
    pub fn tangent(self) -> f64 {
        self.tangent
    }

    /// Length on the slope over level run: 1 / cos(pitch).
    #[must_use]
    pub fn slope_factor(self) -> f64 {
        self.tangent.hypot(1.0)
    }

    /// The area on the slope above a plan area.
    #[must_use]
    pub fn true_area(self, plan: PlanArea) -> TrueArea {
        TrueArea(plan.0 * self.slope_factor())
    }

    /// The length up the slope above a level run.
    #[must_use]
    pub fn true_length(self, run: PlanLength) -> TrueLength {
        TrueLength(run.0 * self.slope_factor())
    }
}

/// What a bare number means where a length is expected, and what answers for people are given in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LengthUnit {
    /// Metres.
    Metre,
    /// Centimetres.
    Centimetre,
    /// Millimetres.
    Millimetre,
    /// International feet, 0.3048 m.
    Foot,
    /// International inches, 25.4 mm.
    Inch,
}

impl LengthUnit {
    /// Metres in one of this unit, exact by definition of the international foot.
    #[must_use]
    pub fn metres(self) -> f64 {
        match self {
            Self::Metre => 1.0,
            Self::Centimetre => 0.01,
            Self::Millimetre => 0.001,
            Self::Foot => 0.3048,
            Self::Inch => 0.0254,
        }
    }

    /// A number of this unit in metres. Multiplies and divides by whole numbers, so that a value that is exact in its
    /// unit comes out as the `f64` nearest to it in metres.
    #[must_use]
    pub fn to_metres(self, value: f64) -> f64 {
        match self {
            Self::Metre => value,
            Self::Centimetre => value / 100.0,
            Self::Millimetre => value / 1000.0,
            Self::Foot => value * 381.0 / 1250.0,
            Self::Inch => value * 127.0 / 5000.0,
        }
    }

    /// The unit of a symbol; `None` for any other text.
    #[must_use]
    pub fn from_symbol(symbol: &str) -> Option<Self> {
        [Self::Metre, Self::Centimetre, Self::Millimetre, Self::Foot, Self::Inch]
            .into_iter()
            .find(|unit| unit.symbol() == symbol)
    }

    /// The unit's symbol as written in a roof file.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Metre => "m",
            Self::Centimetre => "cm",
            Self::Millimetre => "mm",
            Self::Foot => "ft",
            Self::Inch => "in",
        }
    }

    /// Whether answers for people are in feet and inches.
    #[must_use]
    pub fn is_imperial(self) -> bool {
        matches!(self, Self::Foot | Self::Inch)
    }
}
