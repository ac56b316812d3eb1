//! From measured blocks to drip-edge footprints: roles of sides, overhangs, levels.

pub mod block;
pub mod footprint;

pub use block::{Block, Dormer};
pub use footprint::{Footprint, Ring, Role, Side};
