//! What can be put on a roof by hand.

/// A part of a roof that is placed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Part {
    /// A block on a side whose roof runs on into the one it stands against.
    Wing,
    /// A small lower one.
    Porch,
    /// A slope against a side.
    LeanTo,
    /// A block set into a face.
    Dormer,
    /// A plumb opening through whatever it meets.
    Chimney,
    /// An opening in a face.
    RoofWindow,
}

impl Part {
    /// All of them, in the order the window offers them.
    pub const ALL: [Self; 6] = [Self::Wing, Self::Porch, Self::LeanTo, Self::Dormer, Self::Chimney, Self::RoofWindow];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Wing => "wing",
            Self::Porch => "porch",
            Self::LeanTo => "lean-to",
            Self::Dormer => "dormer",
            Self::Chimney => "chimney",
            Self::RoofWindow => "roof window",
        }
    }

    /// Its line in the menu.
    #[must_use]
    pub(super) fn in_menu(self) -> &'static str {
        match self {
            Self::Wing => "a wing that runs in",
            Self::Porch => "a porch",
            Self::LeanTo => "a lean-to",
            Self::Dormer => "a dormer",
            Self::Chimney => "a chimney",
            Self::RoofWindow => "a roof window",
        }
    }

    /// Whether it stands on a side of an outline, not in a face.
    #[must_use]
    pub(super) fn is_on_side(self) -> bool {
        matches!(self, Self::Wing | Self::Porch | Self::LeanTo)
    }

    /// What it begins with, metres: along the side or the eave, and away from it; on a face smaller ones follow, for
    /// faces with little room.
    #[must_use]
    pub(super) fn sizes(self) -> &'static [[f64; 2]] {
        match self {
            Self::Wing => &[[4.0, 2.5]],
            Self::Porch => &[[1.8, 1.2]],
            Self::LeanTo => &[[3.0, 1.8]],
            Self::Dormer => &[[1.6, 0.9], [1.2, 0.7], [0.8, 0.5]],
            Self::Chimney => &[[0.5, 0.5], [0.35, 0.35]],
            Self::RoofWindow => &[[0.78, 1.18], [0.55, 0.78], [0.3, 0.4]],
        }
    }

    /// The shortest side it may stand on, metres.
    #[must_use]
    pub(super) fn least(self) -> f64 {
        if self == Self::Porch { 0.8 } else { 1.0 }
    }
}
