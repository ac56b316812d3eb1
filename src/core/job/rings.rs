//! The rings of a job's blocks as the adjustment takes them, and back again by block.

use super::model::Job;
use crate::base::ids::SideId;
use crate::outline::block::{Block, Placement};
use crate::survey::model::{RingFrame, RingInput};
use nalgebra::{Point2, Rotation2, Vector2};

/// Every ring of every block, in file order.
#[must_use]
pub fn inputs(job: &Job) -> Vec<RingInput<'_>> {
    let mut inputs = Vec::new();
    for block in &job.blocks {
        for (ring, stated) in block.rings.iter().enumerate() {
            inputs.push(RingInput {
                block: &block.name,
                ring,
                sides: stated.sides.iter().map(|side| side.name.as_str()).collect(),
                measured: &stated.measured,
                frame: frame(job, block, ring),
                heights: stated.sides.iter().map(|side| side.height).collect(),
            });
        }
    }
    inputs
}

/// Places of ring corners, which stand in the order of [`inputs`], gathered by block and ring.
#[must_use]
pub(crate) fn by_block(job: &Job, rings: &[Vec<Point2<f64>>]) -> Vec<Vec<Vec<Point2<f64>>>> {
    let mut rest = rings.iter();
    job.blocks.iter().map(|block| rest.by_ref().take(block.rings.len()).cloned().collect()).collect()
}

/// Index of a ring in [`inputs`].
#[must_use]
pub(crate) fn index_of(job: &Job, side: SideId) -> usize {
    let before: usize = job.blocks.iter().take(side.block.index()).map(|block| block.rings.len()).sum();
    before + side.ring as usize
}

/// Where a ring stands: a courtyard in its block's frame, that on the site plan or on another block's side.
fn frame(job: &Job, block: &Block, ring: usize) -> RingFrame {
    let stated = &block.rings[ring];
    match block.placement {
        Placement::At { start, heading } if ring == 0 => RingFrame::At { start, heading },
        Placement::At { start, heading } => {
            let turned = Rotation2::new(heading) * stated.start.coords;
            RingFrame::At { start: start + turned, heading: heading + stated.heading }
        }
        Placement::OnSide { side, offset } => RingFrame::OnSide {
            ring: index_of(job, side),
            side: side.side as usize,
            at: stated.start + Vector2::new(offset, 0.0),
            heading: stated.heading,
        },
    }
}
