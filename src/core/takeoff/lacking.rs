//! Goods that a card may lack.

/// Goods a roof may ask for that a card may lack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Goods {
    /// Lining of valleys.
    ValleyLining,
    /// Caps of ridges and hips.
    Caps,
    /// Metal at walls and openings.
    Flashing,
    /// Metal at eaves.
    EaveMetal,
    /// Metal at verges.
    VergeMetal,
    /// Nails, screws or hooks.
    Fixings,
    /// Underlay.
    Underlay,
}
