//! Names of faces: by the side they rise from, lower pieces first.

use crate::base::name::{Name, SideName};
use std::fmt;

/// Whether a face is roof or wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaceKind {
    /// Covered with roofing.
    Roof,
    /// Plumb: gable, step, cheek, gablet.
    Wall,
}

/// What orders the pieces of one side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rank {
    /// The side, in file order.
    pub side: u32,
    /// Roof or wall.
    pub kind: FaceKind,
    /// Height of the piece's lowest point.
    pub lowest: f64,
    /// How far along the side it begins.
    pub along: f64,
}

impl Rank {
    /// The order in which pieces are named and listed: by side, roof before walls, from below, then along the side.
    #[must_use]
    pub fn compare(&self, other: &Self) -> std::cmp::Ordering {
        let walls = |rank: &Self| u8::from(rank.kind == FaceKind::Wall);
        (self.side, walls(self))
            .cmp(&(other.side, walls(other)))
            .then(self.lowest.total_cmp(&other.lowest))
            .then(self.along.total_cmp(&other.along))
    }
}

/// What a face is of, and so its identity: no two faces of a roof share it. Its display is the face's name, and nothing
/// else makes one: `block/side`, `block/side:2` for the second roof face over a side from below, `block/side:wall`,
/// `block/side:wall2` for the plumb ones; a face by points goes by the name it was given.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaceName {
    /// A piece of what stands over a side.
    Piece {
        /// The side, of several in one plane the first in file order.
        side: SideName,
        /// Roof or wall.
        kind: FaceKind,
        /// Which of the side's pieces of that kind, from 1 in the order of [`Rank::compare`].
        number: u32,
    },
    /// A face given by its points.
    Points(Name),
}

impl FaceName {
    /// The first roof face over a side.
    #[must_use]
    pub fn over(side: SideName) -> Self {
        Self::Piece { side, kind: FaceKind::Roof, number: 1 }
    }

    /// The side it stands over; `None` for a face by points.
    #[must_use]
    pub fn side(&self) -> Option<&SideName> {
        match self {
            Self::Piece { side, .. } => Some(side),
            Self::Points(_) => None,
        }
    }

    /// Whether `written`, as a user writes it, is this name. O(its length).
    #[must_use]
    pub fn is(&self, written: &str) -> bool {
        match self {
            Self::Piece { side, .. } => side.rest_of(written).is_some_and(|rest| rest == self.piece().as_str()),
            Self::Points(name) => *name == written,
        }
    }

    /// Whether `written` means the side this face stands over: by its full name, with or without a piece.
    #[must_use]
    pub(crate) fn is_meant_by(&self, written: &str) -> bool {
        let rest = self.side().and_then(|side| side.rest_of(written));
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(':'))
    }

    /// As far as it tells within its block: `side`, `side:2`, `side:wall`; a face by points has its whole name.
    #[must_use]
    pub fn within_block(&self) -> Name {
        match self {
            Self::Piece { side, .. } => smol_str::format_smolstr!("{}{}", side.side, self.piece()),
            Self::Points(name) => name.clone(),
        }
    }

    /// What tells the pieces of a side apart.
    fn piece(&self) -> Name {
        match self {
            Self::Points(_) | Self::Piece { kind: FaceKind::Roof, number: 1, .. } => Name::default(),
            Self::Piece { kind: FaceKind::Roof, number, .. } => smol_str::format_smolstr!(":{number}"),
            Self::Piece { kind: FaceKind::Wall, number: 1, .. } => Name::new_static(":wall"),
            Self::Piece { kind: FaceKind::Wall, number, .. } => smol_str::format_smolstr!(":wall{number}"),
        }
    }
}

impl fmt::Display for FaceName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Piece { side, .. } => write!(f, "{side}{}", self.piece()),
            Self::Points(name) => f.write_str(name),
        }
    }
}

/// Counts the pieces of a block's sides in the order of [`Rank::compare`].
#[derive(Clone, Debug, Default)]
pub struct Numbering {
    /// Side and kind of the piece counted last, and how many of these there were.
    last: Option<(u32, FaceKind)>,
    count: u32,
}

impl Numbering {
    /// The number of the next piece. O(1).
    pub fn next(&mut self, rank: &Rank) -> u32 {
        // Pieces of one side and kind follow each other.
        let this = Some((rank.side, rank.kind));
        self.count = if self.last == this { self.count + 1 } else { 1 };
        self.last = this;
        self.count
    }
}
