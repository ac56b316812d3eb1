//! What tests of several rooms and the benchmarks share: random outlines, roofs built by hand, recorded surveys.
#![allow(clippy::unwrap_used, clippy::expect_used)]

pub mod blocks;
pub mod hip;
pub mod numbers;
pub mod one_face;
pub mod outline;
pub mod points;
pub mod random;
pub mod roofs;
pub mod survey;

pub use hip::hip;
use std::path::{Path, PathBuf};

/// How many cases of a long run to compute: all, or one in PARTS where the environment says so; one at least.
pub fn part_of(count: usize) -> usize {
    let parts = std::env::var("PARTS").map_or(1, |parts| parts.parse().expect("PARTS is a whole number"));
    count.div_ceil(parts)
}

/// A file or folder of `tests/data`.
pub fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../data").join(name)
}
