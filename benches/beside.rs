//! Building outlines with the time that each whole solve takes, one JSON line each, for `tests/tools/side_by_side.py`, which
//! gives the same outlines to general-purpose libraries in the same run:
//! `cargo bench --no-default-features --bench beside | python3 tests/tools/side_by_side.py`. `COUNT` says how many.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

#[path = "../src/core/tests/roof/buildings.rs"]
mod buildings;

use eavewright::outline::{Footprint, Ring, Role};
use eavewright::roof::model::solid;
use eavewright::roof::{self, Options};
use std::hint::black_box;
use std::time::Instant;

/// Each outline is solved so often; the least time counts, as it does for the libraries.
const ROUNDS: usize = 5;

/// One pitch a side, degrees; `None` where a side has more than that.
fn pitches(ring: &Ring) -> Option<Vec<f64>> {
    let pitch = |role: &Role| match role {
        Role::Eave { pitch, breaks } if breaks.is_empty() => Some(pitch.degrees()),
        Role::Verge => Some(90.0),
        _ => None,
    };
    ring.sides.iter().map(|side| pitch(&side.role)).collect()
}

fn line(seed: u64, footprint: &Footprint) -> Option<String> {
    let pitches: Vec<Vec<f64>> = footprint.rings.iter().map(pitches).collect::<Option<_>>()?;
    let mut least = f64::INFINITY;
    for _ in 0..ROUNDS {
        let start = Instant::now();
        let roof = roof::solve(std::slice::from_ref(black_box(footprint)), &Options::default()).ok()?;
        black_box(solid::build(&roof, 0.0).triangles.len());
        least = least.min(start.elapsed().as_secs_f64());
    }
    let place = |ring: &Ring| ring.sides.iter().map(|side| [side.start.x, side.start.y]).collect::<Vec<_>>();
    let rings: Vec<Vec<[f64; 2]>> = footprint.rings.iter().map(place).collect();
    Some(serde_json::json!({ "seed": seed, "rings": rings, "pitches": pitches, "seconds": least }).to_string())
}

fn main() {
    let count = std::env::var("COUNT").map_or(200, |count| count.parse().expect("COUNT is a number"));
    let size = |seed: u64| 3 + i64::try_from(seed % 4).unwrap();
    let made = (0..).map(|seed| (seed, buildings::outline(seed, size(seed), buildings::Temper::Building).1));
    let lines = made.filter_map(|(seed, footprint)| line(seed, &footprint));
    for line in lines.take(count) {
        println!("{line}");
    }
}
