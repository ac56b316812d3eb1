//! What a number without a unit means.

use crate::base::units::LengthUnit;

/// What a bare length means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum BareUnit {
    /// As `units` states.
    Stated(LengthUnit),
    /// The file states none.
    Missing,
    /// The file states something that is no unit: told once, bare lengths are let pass.
    Unreadable,
}
