//! A second, independent implementation of the weighted straight skeleton roof, for tests only.
//!
//! It shares nothing with the kernel but the types a footprint is stated in. Every number is a rational, every
//! comparison exact; nothing is clever. The shrinking outline is kept as closed chains of directed segments labelled
//! by the plane they climb. The next height at which anything happens is found by looking at every corner against
//! every segment; there the whole outline is cut at every touching point, opposite segments cancel, and the chains are
//! put together anew by the interior sectors round each point. That single procedure serves edge, split, vertex and
//! many-at-once events alike. What it answers is plan area by plane, volume and the highest point.
//!
//! Why restarting from the outline is right: with speeds that are never negative an interior sector's offset stays
//! inside the sector (a convex one is an intersection of half-planes that shrink, a reflex one a union of such), so
//! sectors that touch in a point never meet again nearby. Compare Biedl, Held, Huber, Kaaser, Palfrader, "Weighted
//! straight skeletons in the plane" (2015), on what positive weights guarantee.

#![allow(dead_code, unused_imports, clippy::unwrap_used, clippy::expect_used)]
// Grid places are small whole numbers.
#![allow(clippy::cast_possible_wrap, clippy::cast_possible_truncation)]

pub mod compare;
pub mod exact;
pub mod failures;
pub mod generate;
pub mod planes;
pub mod random;
pub mod rebuild;
pub mod simulate;
pub mod validity;
pub mod wide;

pub use rebuild::Reading;
pub use simulate::{Answer, Refusal, other_readings, simulate, simulate_reading};
