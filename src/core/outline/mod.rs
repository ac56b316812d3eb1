//! From measured blocks to drip-edge footprints: roles of sides, overhangs, levels.
//!
//! [`trace`] takes the blocks as the file states them and the places the adjustment found for their corners; it checks
//! the rings ([`checks`]), squares them up where asked (`square_up`), what stands on their sides going with them
//! (`settle`), turns them anticlockwise (`orient`) and moves them out from the wall to the drip edge ([`overhang`],
//! `offset`), bridging recesses that this closes (`recess`). A pitch that was not measured is found beforehand by [`pitch::resolve`].

pub mod block;
pub(crate) mod builder;
pub mod checks;
pub mod error;
pub mod finding;
pub mod footprint;
pub(crate) mod offset;
pub(crate) mod orient;
pub mod overhang;
pub mod pitch;
mod recess;
pub(crate) mod refit;
mod settle;
pub(crate) mod square_up;
mod trace;

pub use block::{Block, Dormer};
pub use builder::FootprintBuilder;
pub use error::OutlineError;
pub use finding::Finding;
pub use footprint::{Footprint, Ring, Role, Side, TakesOver};
pub use trace::{RunIn, Traced, trace};
