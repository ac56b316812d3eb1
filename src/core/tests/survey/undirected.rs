//! From marks alone: no position, no stated direction, no right angle. The same optimum is found as with directions stated,
//! and new draws of the recorded buildings converge.

use cases::{Case, all, number, survey};
use eavewright_core::survey::adjust;
use eavewright_core::survey::model::{ObservationKind, Survey};
use random::Random;
use support::survey::cases;
use support::survey::random;
use support::survey::simulated;

fn case(name: &str) -> Case {
    all().into_iter().find(|case| case.name == name).unwrap()
}

/// Without what tells directions.
fn bare(mut survey: Survey) -> Survey {
    survey.axes.clear();
    without_right_angles(survey)
}

fn without_right_angles(mut survey: Survey) -> Survey {
    survey.observations.retain(|observation| !matches!(observation.kind, ObservationKind::Square { .. }));
    survey
}

const TWO_OR_MORE: [&str; 4] = ["hip_p2_t5_s0", "hip_p3_t8_s0", "lgable_p2_t5_s0", "lgable_p3_t8_s0"];

#[test]
fn the_same_optimum_is_found_without_directions() {
    for name in TWO_OR_MORE {
        let survey = case(name).survey;
        let directed = adjust(&[], &without_right_angles(survey.clone())).unwrap().report;
        let found = adjust(&[], &bare(survey)).unwrap().report;
        let (chi2, expected) = (found.chi2.unwrap(), directed.chi2.unwrap());
        assert!((chi2 / expected - 1.0).abs() < 1e-3, "{name}: {chi2} {expected}");
        for (face, expected) in found.faces.iter().zip(&directed.faces) {
            match (face.area, expected.area, expected.area_sd) {
                (Some(area), Some(expected), Some(sd)) => assert!((area - expected).abs() < 0.01 * sd, "{name}"),
                (found, expected, _) => assert_eq!(found, expected, "{name} {}", face.name),
            }
        }
    }
}

/// Runs that end at the truth, of `runs` new draws.
fn converged(name: &str, runs: usize, seed: u64) -> usize {
    let case = case(name);
    let mut random = Random::new(seed);
    let mut good = 0;
    for _ in 0..runs {
        let drawn = simulated::draw(&case, &mut random);
        let Ok(found) = adjust(&[], &bare(survey(&drawn))) else { continue };
        let is_true = |face: &eavewright_core::survey::report::AdjustedFace| {
            let truth = number(&drawn["truth"]["areas"][&face.name]);
            // A wrong solution misses by far more than any chance.
            matches!((face.area, face.area_sd), (Some(area), Some(sd)) if (area - truth).abs() < 8.0 * sd)
        };
        good += usize::from(found.report.faces.iter().all(is_true));
    }
    println!("{name:18} without any direction: {good} of {runs} at the truth");
    good
}

#[test]
fn new_draws_converge() {
    for (name, seed) in TWO_OR_MORE.into_iter().zip(31..) {
        assert!(converged(name, 10, seed) == 10, "{name}");
    }
}

#[test]
#[ignore = "a minute or two of computing"]
fn ninety_nine_in_a_hundred_converge() {
    let runs = support::part_of(200);
    for (name, seed) in TWO_OR_MORE.into_iter().zip(41..) {
        assert!(converged(name, runs, seed) * 100 >= runs * 99, "{name}");
    }
}
