//! How a thing was measured, in words, and how sure that makes it ([`crate::survey::sigma`]).

use super::measures::{Sign, Told};
use super::node::Table;
use super::reader::Reader;
use crate::survey::sigma::{self, LengthSigma};

/// A laser distance meter held by hand: 3 mm. Common practice, no source.
const LASER: LengthSigma = LengthSigma { fixed: 0.003, relative: 0.0 };

/// A way to take a length.
#[derive(Clone, Copy)]
pub(super) enum Way {
    /// As sure as this, whatever is measured.
    Sigma(LengthSigma),
    /// Courses of the covering counted, times their gauge.
    Courses,
}

/// Ways to take a length.
pub(super) const LENGTHS: &[(&str, Way)] = &[
    ("steel tape", Way::Sigma(sigma::STEEL_TAPE)),
    ("steel tape along a wall", Way::Sigma(sigma::TAPE_ALONG_WALL)),
    ("slope tape", Way::Sigma(sigma::SLOPE_TAPE)),
    ("plumb line", Way::Sigma(sigma::OVERHANG_BY_PLUMB_LINE)),
    ("folding rule", Way::Sigma(sigma::FOLDING_RULE)),
    ("laser", Way::Sigma(LASER)),
    ("counted courses", Way::Courses),
    ("counted bricks", Way::Sigma(sigma::COUNTED)),
    ("counted boards", Way::Sigma(sigma::COUNTED)),
    ("paced", Way::Sigma(sigma::PACED)),
];

/// Ways to read a pitch, radians.
pub(super) const PITCHES: &[(&str, f64)] = &[
    ("level and rule", sigma::PITCH_LEVEL_AND_RULE),
    ("inclinometer", sigma::PITCH_ON_SHINGLES),
    ("phone", sigma::PITCH_PHONE),
    ("sighted", sigma::PITCH_SIGHTED),
];

impl<'d> Reader<'d> {
    /// The sigma of a length, metres: as stated, else by the method, else a steel tape's.
    pub fn length_sigma(&mut self, table: &Table<'d>, length: f64) -> Result<f64, Told> {
        let method = self.optional(table, "method", |reader, item| reader.choice(item, LENGTHS));
        let sigma = self.optional(table, "sigma", |reader, item| reader.length(item, Sign::NotNegative));
        let method = match method?.unwrap_or(Way::Sigma(sigma::STEEL_TAPE)) {
            Way::Sigma(sigma) => sigma,
            Way::Courses => sigma::counted_courses(self.gauge),
        };
        Ok(sigma?.unwrap_or_else(|| method.of(length)))
    }

    /// The sigma of a pitch reading, radians: as stated in degrees, else by the method, else level and rule.
    pub fn pitch_sigma(&mut self, table: &Table<'d>) -> Result<f64, Told> {
        let method = self.optional(table, "method", |reader, item| reader.choice(item, PITCHES));
        let sigma = self.optional(table, "sigma", |reader, item| reader.angle(item, Sign::NotNegative));
        let method = method?.unwrap_or(sigma::PITCH_LEVEL_AND_RULE);
        Ok(sigma?.unwrap_or(method))
    }
}
