//! Random outlines: every one a verified roof with a closed solid.
// Counts of small random cases: far below any limit.
#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]

use eavewright_core::roof::{self, Options};
use support::outline;
use support::random;

#[test]
fn random_outlines_make_closed_roofs() {
    let mut wrong = Vec::new();
    for seed in 0..400 {
        let sides = 6 + (seed as usize * 7) % 60;
        for (kind, footprint) in [
            ("rectilinear one", random::rectilinear(seed, sides, false)),
            ("rectilinear many", random::rectilinear(seed, sides, true)),
            ("general one", random::general(seed, sides, false)),
            ("general many", random::general(seed, sides, true)),
        ] {
            match roof::solve(std::slice::from_ref(&footprint), &Options::default()) {
                Err(error) => wrong.push(format!("{kind} {seed}: {error}")),
                Ok(roof) => {
                    if let Err(error) = outline::check_solid(&roof) {
                        wrong.push(format!("{kind} {seed}: {error}"));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

/// The grid that finds splits in large outlines against what the small ones are solved by: every pair tried.
#[test]
fn large_outlines_make_closed_roofs() {
    for (seed, sides) in [(1, 300), (2, 700), (3, 1500)] {
        for footprint in [
            random::rectilinear(seed, sides, false),
            random::rectilinear(seed, sides, true),
            random::general(seed, sides, false),
            random::general(seed, sides, true),
            random::coincident(seed, sides, false, true),
            random::coincident(seed, sides, true, false),
        ] {
            match roof::solve(std::slice::from_ref(&footprint), &Options::default()) {
                Err(roof::SolveError::NeverCloses { .. }) => {}
                Err(error) => panic!("{seed} {sides}: {error}"),
                Ok(roof) => outline::check_solid(&roof).unwrap(),
            }
        }
    }
}

#[test]
fn coincidences_make_closed_roofs_or_clear_refusals() {
    if let Ok(seed) = std::env::var("SEED") {
        let seed: u64 = seed.parse().unwrap();
        let sides = 4 + (seed as usize * 3) % 24;
        let footprint = random::coincident(seed, sides, seed.is_multiple_of(2), seed % 4 < 2);
        for s in &footprint.rings[0].sides {
            println!("{} {:?} {} {:?}", s.name, s.start, s.height, s.role);
        }
        return;
    }
    let mut wrong = Vec::new();
    let (mut solved, mut open) = (0, 0);
    for seed in 0..1500 {
        let sides = 4 + (seed as usize * 3) % 24;
        let footprint = random::coincident(seed, sides, seed % 2 == 0, seed % 4 < 2);
        match roof::solve(std::slice::from_ref(&footprint), &Options::default()) {
            Err(roof::SolveError::NeverCloses { .. }) => open += 1,
            Err(error) => wrong.push(format!("{seed}: {error}")),
            Ok(roof) => match outline::check_solid(&roof) {
                Ok(()) => solved += 1,
                Err(error) => wrong.push(format!("{seed}: {error}")),
            },
        }
    }
    println!("{solved} solved, {open} never close, {} wrong", wrong.len());
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}
