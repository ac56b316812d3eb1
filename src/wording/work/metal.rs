//! Lengths of metal along edges.

use crate::takeoff::work::Along;
use crate::wording::units::Format;

/// `16.00 m of eaves, pieces of 2 m lapped 50 mm`.
pub(super) fn along(metal: &Along, of: &str, format: Format) -> String {
    format!(
        "{} of {of}, pieces of {} lapped {}",
        format.length(metal.length),
        format.stock(metal.piece),
        format.fine(metal.lap)
    )
}
