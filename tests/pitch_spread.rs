//! A pitch found from a ridge height or a taped rafter is as sure as these and the outline are: standard deviations of
//! areas, lengths and pitch against first-order propagation worked out by hand.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Answer, Options};
use eavewright::outline::pitch::TAPED;
use eavewright::roof::EdgeKind;

fn solved(sides: &str, found_from: &str) -> Answer {
    let text = format!("units = \"m\"\n[[block]]\nname = \"b\"\nheight = 2.4\n{found_from}\nsides = [{sides}]\n");
    let (job, ..) = input::read("b.toml", &text, &NoFiles).unwrap();
    job::solve(&job, &Options::default()).unwrap()
}

/// A gable 8 x 6 m by exact places.
const PLACES: &str = r#"
  { from = "A", at = [0, 0], pitch = "?" }, { from = "B", at = [8, 0], verge = true },
  { from = "C", at = [8, 6], pitch = "?" }, { from = "D", at = [0, 6], verge = true }"#;

/// The same walked, its right angles exact, so that it stays a rectangle: each side is the mean of two readings of 20 mm.
const WALKED: &str = r#"
  { from = "A", length = 8, sigma = "20 mm", turn = "L", turn_sigma = 0, pitch = "?" },
  { from = "B", length = 6, sigma = "20 mm", turn = "L", turn_sigma = 0, verge = true },
  { from = "C", length = 8, sigma = "20 mm", turn = "L", turn_sigma = 0, pitch = "?" },
  { from = "D", length = 6, sigma = "20 mm", verge = true }"#;

/// Central differences over a tenth of a standard deviation leave a few parts in a hundred thousand.
fn near(found: Option<f64>, expected: f64) {
    let found = found.unwrap();
    assert!((found - expected).abs() <= 1e-4 * expected, "{found} {expected}");
}

fn total(answer: &Answer) -> f64 {
    answer.roof.roof_faces().map(|(_, face)| answer.roof.area(face).0).sum()
}

fn verge_sd(answer: &Answer) -> Option<f64> {
    let edge = answer.roof.edges.iter().position(|edge| edge.kind == EdgeKind::Verge).unwrap();
    answer.spread.edge_length[edge]
}

#[test]
fn by_the_ridge_height_alone() {
    let answer = solved(PLACES, "ridge_height = 4.65");
    // Rise h over the run 3: rafter r = sqrt(9 + h²), area 16 r, pitch atan(h / 3).
    let (h, r) = (2.25, 3.75);
    assert!((total(&answer) - 16.0 * r).abs() < 1e-9);
    near(answer.spread.total_area, 16.0 * h / r * TAPED);
    near(answer.spread.face_area[0], 8.0 * h / r * TAPED);
    near(answer.spread.face_pitch[0], 3.0 / (r * r) * TAPED);
    near(verge_sd(&answer), h / r * TAPED);
}

#[test]
fn by_a_taped_rafter_alone() {
    let answer = solved(PLACES, "rafter = { side = \"A\", length = 3.75 }");
    near(answer.spread.total_area, 16.0 * TAPED);
    near(verge_sd(&answer), TAPED);
    // cos(pitch) = 3 / r.
    let r = 3.75_f64;
    near(answer.spread.face_pitch[0], 3.0 / (r * (r * r - 9.0).sqrt()) * TAPED);
}

#[test]
fn by_both_together() {
    let answer = solved(PLACES, "ridge_height = 4.65\nrafter = { side = \"A\", length = 3.75 }");
    // Both readings as equations for the slope t: 3 t and 3 sqrt(1 + t²), weights alike; area 48 sqrt(1 + t²).
    let t: f64 = 0.75;
    let by_slope = [3.0, 3.0 * t / t.hypot(1.0)];
    let slope_sd = TAPED / by_slope[0].hypot(by_slope[1]);
    near(answer.spread.total_area, 48.0 * t / t.hypot(1.0) * slope_sd);
    near(answer.spread.face_pitch[0], slope_sd / (1.0 + t * t));
}

#[test]
fn with_the_outline_uncertain_too() {
    let answer = solved(WALKED, "ridge_height = 4.65");
    // Area 2 l sqrt(w²/4 + h²) of the length l, the width w, the rise h.
    let (l, w, h) = (8.0, 6.0, 2.25);
    let r: f64 = 3.75;
    let mean = 0.020 / 2.0_f64.sqrt();
    let parts = [2.0 * r * mean, 2.0 * l * (w / 4.0) / r * mean, 2.0 * l * h / r * TAPED];
    near(answer.spread.total_area, parts.iter().map(|part| part * part).sum::<f64>().sqrt());
    // Without the reading's own uncertainty it would be smaller by a third.
    assert!(parts[0].hypot(parts[1]) < 0.7 * answer.spread.total_area.unwrap());
}
