//! Why nothing was found in a picture.

/// Why nothing was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Refusal {
    /// It lies outside the picture, or too near its border.
    Outside,
    /// Too short in the picture to be measured.
    TooShort,
    /// No edge: the profiles do not agree on a line.
    Nothing,
    /// Two edges side by side, and the picture does not tell which is meant.
    Several,
    /// An edge, but no second one that crosses it.
    OneEdge,
    /// Edges that do not meet in one place.
    NotOnePlace,
}

impl Refusal {
    /// A stable code, for JSON.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Self::Outside => "outside",
            Self::TooShort => "too-short",
            Self::Nothing => "nothing-there",
            Self::Several => "several-edges",
            Self::OneEdge => "one-edge",
            Self::NotOnePlace => "not-one-place",
        }
    }
}
