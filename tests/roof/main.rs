//! Roofs of whole roof files, and what is said of them.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod broken_eaves;
mod hard_roofs;
mod joined;
mod openings;
mod placed_by_side;
mod plumb_stays;
mod run_in;
mod solids;
