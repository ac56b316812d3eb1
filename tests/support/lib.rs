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
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

/// How many cases of a long run to compute: all, or one in PARTS where the environment says so; one at least.
pub fn part_of(count: usize) -> usize {
    let parts = std::env::var("PARTS").map_or(1, |parts| parts.parse().expect("PARTS is a whole number"));
    count.div_ceil(parts)
}

/// A file or folder of `tests/data`.
pub fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../data").join(name)
}

/// Says that a check by an outside tool is left out, and how many this program has left out so far; where CI runs the tool
/// must be there. `from` installs it. Said past the harness, which keeps what passing tests print to itself.
///
/// # Panics
/// Where `CI` is set.
pub fn skipped(tool: &str, what: &str, from: &str) {
    static COUNT: AtomicUsize = AtomicUsize::new(0);
    assert!(std::env::var_os("CI").is_none(), "CI must install {tool}: {from}");
    let count = COUNT.fetch_add(1, Ordering::Relaxed) + 1;
    let _ = writeln!(std::io::stderr(), "SKIPPED ({count} so far): {what}; {tool} is not installed ({from})");
}
