//! A pitch found from a ridge height or a taped rafter is as sure as these and the outline are: standard deviations of
//! areas, lengths and pitch against first-order propagation worked out by hand.

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

/// A plane that turns about its eave lies off by the turn times the distance from the eave, everywhere.
#[test]
fn all_over_the_face() {
    let answer = solved(PLACES, "ridge_height = 4.65");
    let (r, turn) = (3.75, 3.0 / (3.75 * 3.75) * TAPED);
    let face = answer.roof.face_named("b/A").unwrap();
    let plane = answer.spread.plane_of(face).unwrap();
    for [x, up] in [[0.0, 0.0], [8.0, 0.0], [1.0, 1.5], [4.0, 3.75], [7.5, 3.0]] {
        let place = nalgebra::Point3::new(x, up * 3.0 / r, 2.4 + up * 2.25 / r);
        assert!((plane.at(&place) - up * turn).abs() < 1e-6 * TAPED + 1e-4 * up * turn, "{x} {up}");
    }
}

/// A plane through three points whose heights alone are unsure, independently and alike: its height at a place has the
/// variance s² (a² + b² + c²) by the place's barycentric coordinates, so s / √3 in the middle.
#[test]
fn between_three_points() {
    let tapes: String = [("A", "a"), ("B", "b"), ("C", "c")]
        .iter()
        .map(|(up, down)| {
            format!("[[tape]]\nfrom = \"{down}\"\nto = \"{up}\"\nlength = 2\nsigma = \"10 mm\"\n\n[[plumb]]\npoints = [\"{down}\", \"{up}\"]\nsigma = \"0.001 mm\"\n\n")
        })
        .collect();
    let text = format!(
        "units = \"m\"\n[points]\na = [0, 0, 0]\nb = [6, 0, 0.5]\nc = [0, 4, 3]\nA = {{ near = [0, 0, 2] }}\nB = {{ near = [6, 0, 2.5] }}\nC = {{ near = [0, 4, 5] }}\n\n{tapes}[[face]]\nname = \"only\"\npoints = [\"A\", \"B\", \"C\"]\n"
    );
    let (job, ..) = input::read("b.toml", &text, &NoFiles).unwrap();
    let answer = job::solve(&job, &Options::default()).unwrap();
    let plane = answer.spread.plane_of(answer.roof.face_named("only").unwrap()).unwrap();
    let corners = [[0.0, 0.0, 2.0], [6.0, 0.0, 2.5], [0.0, 4.0, 5.0]].map(nalgebra::Point3::from);
    // Square to the plane a height counts by the plane's own slope.
    let normal = (corners[1] - corners[0]).cross(&(corners[2] - corners[0])).normalize();
    let s = 0.010 * normal.z;
    for shares in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [1.0 / 3.0; 3], [0.5, 0.5, 0.0], [0.2, 0.2, 0.6], [-1.0, 1.0, 1.0]]
    {
        let place =
            corners.iter().zip(shares).map(|(corner, share)| corner.coords * share).sum::<nalgebra::Vector3<f64>>();
        let expected = s * shares.iter().map(|share| share * share).sum::<f64>().sqrt();
        let found = plane.at(&place.into());
        assert!((found - expected).abs() < 1e-3 * expected, "{shares:?}: {found} {expected}");
    }
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
