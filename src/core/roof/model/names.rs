//! Names of faces: by the side they rise from, lower pieces first.

use super::{Face, FaceKind};

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

/// Gives pieces their names ([`name`]) in the order of [`Rank::compare`].
#[derive(Clone, Debug)]
pub struct Namer<'a> {
    block: &'a str,
    /// Side and kind of the piece named last, and how many of these there were.
    last: Option<(u32, FaceKind)>,
    count: usize,
}

impl<'a> Namer<'a> {
    /// For the pieces of a block.
    #[must_use]
    pub fn new(block: &'a str) -> Self {
        Self { block, last: None, count: 0 }
    }

    /// The name of the next piece, over a side of this name. O(1).
    pub fn next(&mut self, side: &str, rank: &Rank) -> String {
        // Pieces of one side and kind follow each other.
        let this = Some((rank.side, rank.kind));
        self.count = if self.last == this { self.count + 1 } else { 1 };
        self.last = this;
        name(self.block, side, rank.kind, self.count)
    }
}

/// A face's name as far as it tells within its block: `side`, `side:2`, `side:wall`; a face by points has its whole name.
#[must_use]
pub fn within_block(face: &Face) -> &str {
    let block = face.block.as_deref();
    let rest = block.and_then(|block| face.name.strip_prefix(block)?.strip_prefix('/'));
    rest.unwrap_or(&face.name)
}

/// The name of a side's piece of a kind, the first, second and so on from below: `block/side`, `block/side:2` …,
/// `block/side:wall`, `block/side:wall2` ….
#[must_use]
pub fn name(block: &str, side: &str, kind: FaceKind, count: usize) -> String {
    let mut name = String::with_capacity(block.len() + side.len() + 8);
    name.push_str(block);
    name.push('/');
    name.push_str(side);
    match (kind, count) {
        (FaceKind::Roof, 1) => {}
        (FaceKind::Roof, count) => name.push_str(&format!(":{count}")),
        (FaceKind::Wall, 1) => name.push_str(":wall"),
        (FaceKind::Wall, count) => name.push_str(&format!(":wall{count}")),
    }
    name
}
