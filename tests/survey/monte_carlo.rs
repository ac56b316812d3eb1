//! Seeded Monte Carlo: do the errors of areas keep to the standard deviations that the tool states, does it converge
//! from marks alone, does it name a misread tape? Takes a minute or two, so it is run by hand:
//! `cargo test --no-default-features --test survey monte_carlo -- --ignored --nocapture`.

use cases::{Case, all, number, survey, text};
use eavewright::survey::adjust;
use eavewright::wording::survey::Names;
use random::Random;
use serde_json::json;
use support::survey::cases;
use support::survey::random;
use support::survey::simulated;

const RUNS: usize = 200;

/// As many of them as are asked for.
fn runs() -> usize {
    support::part_of(RUNS)
}

fn case(name: &str) -> Case {
    all().into_iter().find(|case| case.name == name).unwrap()
}

struct Outcome {
    converged: usize,
    within: usize,
    areas: usize,
    /// 95th percentile of a face's error, parts of its area.
    largest_95: f64,
    mean_width: f64,
    chi2_passed: usize,
}

fn run(name: &str, seed: u64) -> Outcome {
    let runs = runs();
    let case = case(name);
    let mut random = Random::new(seed);
    let mut errors = Vec::new();
    let mut out = Outcome { converged: 0, within: 0, areas: 0, largest_95: 0.0, mean_width: 0.0, chi2_passed: 0 };
    for _ in 0..runs {
        let drawn = simulated::draw(&case, &mut random);
        let Ok(found) = adjust(&[], &survey(&drawn)) else { continue };
        let report = &found.report;
        let [low, high] = report.chi2_bounds.unwrap();
        let chi2 = report.chi2.unwrap();
        out.chi2_passed += usize::from(low <= chi2 && chi2 <= high);
        let mut all_there = true;
        for face in &report.faces {
            let truth = number(&drawn["truth"]["areas"][&face.name]);
            let (Some(area), Some(sd)) = (face.area, face.area_sd) else {
                all_there = false;
                continue;
            };
            let error = (area - truth).abs();
            // A wrong solution misses by far more than any chance.
            all_there &= error < 8.0 * sd;
            errors.push(error / truth);
            out.mean_width += sd / truth;
            out.areas += 1;
            out.within += usize::from(error <= 1.96 * sd);
        }
        out.converged += usize::from(all_there);
    }
    errors.sort_by(f64::total_cmp);
    out.largest_95 = errors[errors.len() * 95 / 100];
    out.mean_width /= out.areas as f64;
    println!(
        "{name:18} converged {}/{runs}; 95 % of faces within {:.2} %; 95 % intervals hold {:.1} %; mean sd {:.2} %; chi-square passed {}",
        out.converged,
        100.0 * out.largest_95,
        100.0 * out.within as f64 / out.areas as f64,
        100.0 * out.mean_width,
        out.chi2_passed
    );
    out
}

/// Bounds on a face's 95 % error, set beforehand for each layout of photos and tapes.
#[test]
#[ignore = "a minute or two of computing"]
fn stated_standard_deviations_hold() {
    let runs = runs();
    for (name, bound, seed) in [
        ("hip_p1_t3_s0", 0.010, 1),
        ("hip_p2_t5_s0", 0.008, 2),
        ("hip_p3_t8_s0", 0.006, 3),
        ("lgable_p1_t3_s0", 0.032, 4),
        ("lgable_p2_t5_s0", 0.010, 5),
        ("lgable_p3_t8_s0", 0.009, 6),
    ] {
        let out = run(name, seed);
        assert!(out.converged * 100 >= runs * 99, "{name}: {} of {runs} converged", out.converged);
        // Neither too narrow nor too wide: within three standard deviations of the count, faces of one building going
        // together, so that a building counts as two.
        let off = (out.within as f64 / out.areas as f64 - 0.95).abs();
        let chance = (0.95 * 0.05 / (2.0 * runs as f64)).sqrt();
        assert!(off <= 3.0 * chance, "{name}: {} of {} intervals hold", out.within, out.areas);
        assert!(out.largest_95 <= bound, "{name}: {}", out.largest_95);
    }
}

#[test]
#[ignore = "a minute or two of computing"]
fn a_tape_misread_by_a_metre_is_named_first() {
    let runs = runs();
    for (name, seed) in [("hip_p2_t5_s0", 11), ("lgable_p2_t5_s0", 12)] {
        let case = case(name);
        let mut random = Random::new(seed);
        let mut named = 0;
        for turn in 0..runs {
            let mut drawn = simulated::draw(&case, &mut random);
            let tapes = drawn["tapes"].as_array_mut().unwrap();
            let count = tapes.len();
            let tape = &mut tapes[turn % count];
            let sign = if random.signed() < 0.0 { -1.0 } else { 1.0 };
            tape["length"] = json!(number(&tape["length"]) + sign);
            let name = format!("tape {}-{}", text(&tape["a"]), text(&tape["b"]));
            let drawn = survey(&drawn);
            let Ok(found) = adjust(&[], &drawn) else { continue };
            let names = Names::new(&[], &drawn);
            named +=
                usize::from(found.report.suspects.first().is_some_and(|s| names.observation(s.observation) == name));
        }
        println!("{name:18} a metre's misreading named first {named}/{runs}");
        assert!(named * 100 >= runs * 95, "{name}: {named}");
    }
}
