//! Rules of thumb, to compare a count with: what they reckon by (common practice, no source).

use super::item::Unit;

/// Whole allowance on the area, for waste, starter and caps together.
pub(super) const ALLOWANCE: f64 = 0.15;

/// Nails on a square metre of strips.
pub(super) const NAILS: f64 = 50.0;

/// Square metres of strips to a tube of adhesive.
pub(super) const AREA_A_TUBE: f64 = 6.0;

/// What a rule reckons by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Thumb {
    /// So much roof to a pack, and an allowance on it.
    Allowance {
        /// Square metres to a pack.
        covers: f64,
        /// On the area, a fraction.
        allowance: f64,
    },
    /// So many on each square metre.
    OnArea(f64),
    /// One for each so many square metres.
    OneFor(f64),
}

impl Thumb {
    /// Packs by the rule, unrounded, for an area in square metres; `pack` pieces are in a pack.
    #[must_use]
    pub fn packs(self, area: f64, pack: f64) -> f64 {
        match self {
            Self::Allowance { covers, allowance } => area * (1.0 + allowance) / covers,
            Self::OnArea(each) => area * each / pack,
            Self::OneFor(each) => area / each,
        }
    }

    /// The numbers it tells, by name, in SI units; fractions as such.
    #[must_use]
    pub fn values(self) -> Vec<(&'static str, f64)> {
        match self {
            Self::Allowance { covers, allowance } => vec![("thumb_each_area", covers), ("thumb_allowance", allowance)],
            Self::OnArea(each) => vec![("thumb_nails", each), ("thumb_nails_square", on_square(each))],
            Self::OneFor(each) => vec![("thumb_each_area", each)],
        }
    }
}

/// So many on a square metre, on a square of a hundred square feet.
#[must_use]
pub fn on_square(each: f64) -> f64 {
    each * Unit::Square.in_base().1
}
