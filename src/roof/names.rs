//! Names of faces: by the side they rise from, lower pieces first.

use super::model::FaceKind;

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

/// Names for pieces already in order: `block/side`, `block/side:2` …, `block/side:wall`, `block/side:wall2` …. O(n).
#[must_use]
pub fn names(block: &str, side_names: &[&str], ranks: &[Rank]) -> Vec<String> {
    let mut last: Option<(u32, FaceKind)> = None;
    let mut count = 0;
    ranks
        .iter()
        .map(|rank| {
            // Pieces of one side and kind follow each other.
            count = if last == Some((rank.side, rank.kind)) { count + 1 } else { 1 };
            last = Some((rank.side, rank.kind));
            let side = side_names[rank.side as usize];
            let mut name = String::with_capacity(block.len() + side.len() + 8);
            name.push_str(block);
            name.push('/');
            name.push_str(side);
            match (rank.kind, count) {
                (FaceKind::Roof, 1) => {}
                (FaceKind::Roof, count) => name.push_str(&format!(":{count}")),
                (FaceKind::Wall, 1) => name.push_str(":wall"),
                (FaceKind::Wall, count) => name.push_str(&format!(":wall{count}")),
            }
            name
        })
        .collect()
}
