//! The nodes of the height reached, found by number and by place: in an outline drawn on a grid thousands come to be at
//! one height.

use super::plane::TriplePoint;
use smallvec::SmallVec;
use std::collections::HashMap;

/// Up to so many are looked through one by one.
const FEW: usize = 24;

/// Last bits of a coordinate that rounding may have changed: equal places differ by less than 64 units in the last place,
/// so that they stand in one cell or in neighbouring ones.
const ROUNDED_BITS: u32 = 8;

/// Nodes with their exact points, in order of their numbers.
#[derive(Clone, Debug, Default)]
pub struct Here {
    nodes: Vec<(u32, TriplePoint)>,
    /// Once they are not few: which stand in each cell.
    cells: HashMap<[u64; 2], SmallVec<[u32; 2]>>,
}

impl Here {
    /// None, with room for a few.
    #[must_use]
    pub fn new() -> Self {
        Self { nodes: Vec::with_capacity(2), cells: HashMap::new() }
    }

    /// Forgets all.
    pub fn clear(&mut self) {
        self.nodes.clear();
        // Emptying a table takes as long as it is large.
        if !self.cells.is_empty() {
            self.cells = HashMap::new();
        }
    }

    /// Adds a node whose number is larger than all before it.
    pub fn push(&mut self, node: u32, point: TriplePoint) {
        self.nodes.push((node, point));
        if self.nodes.len() == FEW + 1 {
            for at in 0..self.nodes.len() {
                self.put(at);
            }
        } else if self.nodes.len() > FEW {
            self.put(self.nodes.len() - 1);
        }
    }

    fn put(&mut self, at: usize) {
        #[allow(clippy::cast_possible_truncation)]
        self.cells.entry(cell(&self.nodes[at].1)).or_default().push(at as u32);
    }

    /// The node that stands at a point. O(1) expected.
    #[must_use]
    pub(crate) fn node_at(&self, point: &TriplePoint) -> Option<u32> {
        let is_there = |(_, other): &&(u32, TriplePoint)| point.same_place(other);
        if self.nodes.len() <= FEW {
            return self.nodes.iter().find(is_there).map(|known| known.0);
        }
        let [x, y] = cell(point);
        let beside = |value: u64| [value, value.wrapping_sub(1), value.wrapping_add(1)];
        let cells = beside(x).into_iter().flat_map(|x| beside(y).map(|y| [x, y]));
        let mut known = cells.filter_map(|cell| self.cells.get(&cell)).flatten().map(|&at| &self.nodes[at as usize]);
        known.find(is_there).map(|known| known.0)
    }

    /// The point of a node of this height. O(log nodes).
    #[must_use]
    pub(crate) fn point_of(&self, node: u32) -> Option<&TriplePoint> {
        let at = self.nodes.binary_search_by_key(&node, |known| known.0).ok()?;
        Some(&self.nodes[at].1)
    }

    /// Nodes with their points, in order.
    pub fn iter(&self) -> std::slice::Iter<'_, (u32, TriplePoint)> {
        self.nodes.iter()
    }
}

fn cell(point: &TriplePoint) -> [u64; 2] {
    // Adding zero makes one of both zeros.
    [0, 1].map(|axis| (point.near[axis] + 0.0).to_bits() >> ROUNDED_BITS)
}
