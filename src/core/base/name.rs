//! Names of blocks and sides: short texts, copied often, so held in place up to 23 bytes and shared beyond.

use std::fmt;

/// A name.
pub type Name = smol_str::SmolStr;

/// A side by the names it goes by in a job, which no two sides share: what it is of, a block or a dormer, and its own.
/// Other than [`super::ids::SideId`] it also names the sides that blocks get on their way: those of a dormer, and jogs at
/// the drip edge.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SideName {
    /// The block or dormer.
    pub block: Name,
    /// The side, by the corner it starts from.
    pub side: Name,
}

impl SideName {
    /// Of a block's name and the side's own.
    #[must_use]
    pub fn new(block: &str, side: &str) -> Self {
        Self { block: block.into(), side: side.into() }
    }

    /// Whether `written`, as a user writes it, is this name: the block's, a stroke, the side's own.
    #[must_use]
    pub fn is(&self, written: &str) -> bool {
        self.rest_of(written) == Some("")
    }

    /// What stands in `written` after this name; `None` where it does not begin with it.
    #[must_use]
    pub(crate) fn rest_of<'a>(&self, written: &'a str) -> Option<&'a str> {
        written.strip_prefix(self.block.as_str())?.strip_prefix('/')?.strip_prefix(self.side.as_str())
    }
}

impl fmt::Display for SideName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.block, self.side)
    }
}
