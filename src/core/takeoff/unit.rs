//! What quantities are counted in.

/// What quantities are counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Pieces.
    Piece,
    /// Square metres.
    SquareMetre,
    /// Metres.
    Metre,
    /// Tubes.
    Tube,
    /// Kilograms.
    Kilogram,
    /// Packs, rolls, boxes or stock lengths.
    Pack,
    /// Tonnes.
    Tonne,
    /// Cubic metres.
    CubicMetre,
    /// Hours.
    Hour,
    /// Once for the job.
    Once,
    /// Feet.
    Foot,
    /// Square feet.
    SquareFoot,
    /// Squares of a hundred square feet.
    Square,
}

/// The international foot of 1959, metres.
const FOOT: f64 = 0.3048;

impl Unit {
    /// The unit as scripts know it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Piece => "piece",
            Self::SquareMetre => "m²",
            Self::Metre => "m",
            Self::Tube => "tube",
            Self::Kilogram => "kg",
            Self::Pack => "pack",
            Self::Tonne => "t",
            Self::CubicMetre => "m³",
            Self::Hour => "h",
            Self::Once => "once",
            Self::Foot => "ft",
            Self::SquareFoot => "ft²",
            Self::Square => "square",
        }
    }

    /// The unit it is a multiple of, and how many of that it is.
    #[must_use]
    pub fn in_base(self) -> (Self, f64) {
        match self {
            Self::Foot => (Self::Metre, FOOT),
            Self::SquareFoot => (Self::SquareMetre, FOOT * FOOT),
            Self::Square => (Self::SquareMetre, 100.0 * FOOT * FOOT),
            other => (other, 1.0),
        }
    }
}
