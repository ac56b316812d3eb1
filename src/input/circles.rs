//! Blocks that stand on each other's sides in a circle, so that none of them has a place.

use super::reader::Reader;
use crate::job::reading::{Beside, Fault, Problem};
use crate::outline::Block;
use crate::outline::block::Placement;
use std::ops::Range;

impl Reader<'_> {
    /// Tells of every circle once, at the first of its blocks. `at_sides` says where each block's `at_side` is written.
    /// O(blocks²) where each stands on the next one's side.
    pub(crate) fn check_circles(&mut self, blocks: &[Block], at_sides: &[Option<Range<usize>>]) {
        for first in 0..blocks.len() {
            let Some(circle) = circle(blocks, first).filter(|circle| circle.iter().all(|&block| block >= first)) else {
                continue;
            };
            let names: Vec<String> = circle.iter().map(|&block| blocks[block].name.clone()).collect();
            let mut spans = circle.iter().filter_map(|&block| at_sides.get(block).cloned().flatten());
            let Some(span) = spans.next() else { continue };
            let written = self.written(&span);
            let mut error = Problem::error(span, Fault::Circle { blocks: names }).written(written);
            for other in spans {
                error = error.beside(other, Beside::StandsHere);
            }
            self.report(error);
        }
    }
}

/// The blocks one comes by on the way from host to host, when it leads back to the first.
fn circle(blocks: &[Block], first: usize) -> Option<Vec<usize>> {
    let mut way = vec![first];
    while way.len() <= blocks.len() {
        let Placement::OnSide { side, .. } = blocks.get(*way.last()?)?.placement else { return None };
        if side.block.index() == first {
            return Some(way);
        }
        way.push(side.block.index());
    }
    None
}
