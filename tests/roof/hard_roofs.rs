//! The roofs of `tests/roofs`, each named by what is hard about it, against closed forms: school geometry of planes at
//! stated pitches, worked out beside each. The buildings are invented.

use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options};
use eavewright::outline::{Footprint, Ring, Side, TakesOver};
use eavewright::roof::{self, EdgeKind, Roof};
use nalgebra::Point2;
use outline::{area, assert_lengths, check_solid, close, eave, face_area, lengths};
use std::f64::consts::{PI, SQRT_2};
use support::outline;

fn solved(name: &str) -> Roof {
    let path = format!("{}/tests/roofs/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let (job, _, _) = input::read(name, &text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}"));
    let answer = job::solve(&job, &Options { steps: false, spread: false });
    answer.unwrap_or_else(|failure| panic!("{name}: {failure}")).roof
}

fn tan(degrees: f64) -> f64 {
    degrees.to_radians().tan()
}

fn cos(degrees: f64) -> f64 {
    degrees.to_radians().cos()
}

/// A fold over the bisector of a right angle, both slopes at one pitch, as long as `run` goes in from each eave.
fn fold(run: f64, degrees: f64) -> f64 {
    run * (2.0 + tan(degrees).powi(2)).sqrt()
}

#[test]
fn many_ridges_at_one_point() {
    let roof = solved("many_ridges_at_one_point");
    check_solid(&roof).unwrap();
    close(area(&roof), 80.0 / cos(40.0), 1e-9);
    assert_lengths(&roof, EdgeKind::Ridge, &[4.0; 4], 1e-9);
    assert_lengths(&roof, EdgeKind::Valley, &[fold(2.0, 40.0); 4], 1e-9);
    assert_lengths(&roof, EdgeKind::Hip, &[fold(2.0, 40.0); 8], 1e-9);
    close(roof.ridge_height().unwrap(), 2.5 + 2.0 * tan(40.0), 1e-9);
    // One point in the middle, four at the wings' ends, twelve corners.
    assert_eq!(roof.corners.len(), 17);
}

#[test]
fn spire_with_sprocket() {
    let roof = solved("spire_with_sprocket");
    check_solid(&roof).unwrap();
    let plan = |apothem: f64| 8.0 * tan(22.5) * apothem * apothem;
    let foot = 1.0 / tan(22.5);
    let bend = foot - 0.5 / tan(35.0);
    close(area(&roof), (plan(foot) - plan(bend)) / cos(35.0) + plan(bend) / cos(65.0), 1e-6);
    close(roof.ridge_height().unwrap(), 3.5 + bend * tan(65.0), 1e-6);
    assert_eq!(lengths(&roof, EdgeKind::Hip).len(), 16);
    assert_lengths(&roof, EdgeKind::PitchBreak, &[2.0 * bend * tan(22.5); 8], 1e-6);
    assert_eq!(roof.corners.len(), 17);
}

#[test]
fn mansard_round_a_court() {
    let roof = solved("mansard_round_a_court");
    check_solid(&roof).unwrap();
    let run = 1.5 / tan(60.0);
    let lower = 168.0 - (14.0 - 2.0 * run) * (12.0 - 2.0 * run) + (6.0 + 2.0 * run) * (4.0 + 2.0 * run) - 24.0;
    close(area(&roof), lower / cos(60.0) + (144.0 - lower) / cos(20.0), 1e-9);
    assert_lengths(&roof, EdgeKind::Ridge, &[10.0, 10.0, 8.0, 8.0], 1e-9);
    close(roof.ridge_height().unwrap(), 4.5 + (2.0 - run) * tan(20.0), 1e-9);
}

#[test]
fn half_hip_and_gablet() {
    let roof = solved("half_hip_and_gablet");
    check_solid(&roof).unwrap();
    let run = 1.5 / tan(60.0);
    let (half_hip, gablet) = (3.0 * run / 2.0, f64::midpoint(6.0, 3.0) * run);
    close(face_area(&roof, "barn/B"), half_hip / cos(60.0), 1e-6);
    close(face_area(&roof, "barn/D"), gablet / cos(60.0), 1e-6);
    close(area(&roof), (half_hip + gablet) / cos(60.0) + (60.0 - half_hip - gablet) / cos(45.0), 1e-6);
    assert_lengths(&roof, EdgeKind::Ridge, &[10.0 - 2.0 * run], 1e-6);
}

#[test]
fn step_in_a_straight_eave() {
    let roof = solved("step_in_a_straight_eave");
    check_solid(&roof).unwrap();
    let meet = |degrees: f64| 6.0 * tan(35.0) / (tan(degrees) + tan(35.0));
    let (flat, steep) = (5.0 * meet(30.0), 6.0 * meet(45.0));
    close(face_area(&roof, "row/A"), flat / cos(30.0), 1e-9);
    close(face_area(&roof, "row/B"), steep / cos(45.0), 1e-9);
    close(face_area(&roof, "row/D"), (66.0 - flat - steep) / cos(35.0), 1e-9);
    assert_lengths(&roof, EdgeKind::Ridge, &[6.0, 5.0], 1e-9);
    // The wall of the step: the area between two profiles over the corner, from the flatter slope up to the steeper.
    let wall = roof.face_named("row/A:wall").map(|id| roof.area(&roof.faces[id.index()]).0).unwrap();
    let profile = |run: f64, degrees: f64| run * tan(degrees) * 6.0 / 2.0;
    close(wall, profile(meet(45.0), 45.0) - profile(meet(30.0), 30.0), 1e-9);
}

#[test]
fn star_of_reflex_corners() {
    let roof = solved("star_of_reflex_corners");
    check_solid(&roof).unwrap();
    close(area(&roof), 8.0 * 3.0 * 6.0 * (PI / 8.0).sin() / cos(45.0), 1e-6);
    assert_eq!((lengths(&roof, EdgeKind::Hip).len(), lengths(&roof, EdgeKind::Valley).len()), (8, 8));
    assert_eq!(roof.corners.len(), 17);
}

/// Regular stars of every kind as floats give them: all of their sides meet in one apex but for rounding, in some order
/// that only exact arithmetic tells. Every face is one of equal triangles over the star's plan.
#[test]
fn stars_come_to_one_apex_whatever_rounding_does() {
    for points in 3..=24 {
        for inner in [0.5, 1.1, 2.0, 2.5, 3.0, 3.3, 4.0, 5.0, 5.4] {
            let half_turn = PI / f64::from(points);
            if inner >= 6.0 * half_turn.cos() {
                continue;
            }
            let side = |at: i32| {
                let radius = if at % 2 == 0 { 6.0 } else { inner };
                let (sine, cosine) = (half_turn * f64::from(at)).sin_cos();
                let start = Point2::new(radius * cosine, radius * sine);
                Side { name: at.to_string().into(), start, height: 0.0, role: eave(45.0) }
            };
            let rings = vec![Ring { sides: (0..2 * points).map(side).collect() }];
            let footprint =
                Footprint { name: "s".into(), height: 0.0, rings, walls: None, take_over: TakesOver::Flatter };
            let roof = roof::solve(std::slice::from_ref(&footprint), &roof::Options::default());
            let roof = roof.unwrap_or_else(|error| panic!("{points} points, {inner}: {error}"));
            check_solid(&roof).unwrap();
            let plan = f64::from(points) * 6.0 * inner * half_turn.sin();
            close(area(&roof), plan * SQRT_2, 1e-9 * plan);
            // From the apex each side is as far as the triangle over it is high.
            let base = (36.0 + inner * inner - 12.0 * inner * half_turn.cos()).sqrt();
            close(roof.ridge_height().unwrap(), 6.0 * inner * half_turn.sin() / base, 1e-9);
            assert_eq!(roof.corners.len(), 2 * usize::try_from(points).unwrap() + 1, "{points} points, {inner}");
        }
    }
}

#[test]
fn comb_of_equal_teeth() {
    let roof = solved("comb_of_equal_teeth");
    check_solid(&roof).unwrap();
    close(area(&roof), 152.0 / cos(35.0), 1e-9);
    assert_lengths(&roof, EdgeKind::Ridge, &[8.0, 8.0, 6.0, 6.0, 6.0], 1e-9);
    assert_lengths(&roof, EdgeKind::Valley, &[fold(2.0, 35.0); 4], 1e-9);
    assert_lengths(&roof, EdgeKind::Hip, &[fold(2.0, 35.0); 8], 1e-9);
}

/// No closed form: what holds of any roof. Plan areas add up to the outline's by the surveyor's formula.
#[test]
fn slivers_and_noise() {
    let roof = solved("slivers_and_noise");
    check_solid(&roof).unwrap();
    let outline = [(0.0, 0.0), (5.0, 0.001), (5.001, 0.002), (9.0, 0.0), (9.0, 5.008), (4.0, 5.004), (0.0, 5.0)];
    let twice: f64 = (0..7).map(|i| (outline[i], outline[(i + 1) % 7])).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum();
    let plan: f64 = roof.roof_faces().map(|(_, face)| roof.plan_area(face).0).sum();
    close(plan, twice / 2.0, 1e-9);
    for (name, degrees) in [("A", 8.0), ("B", 75.0), ("C", 30.0), ("D", 75.0), ("E", 8.001), ("F", 8.0), ("G", 60.0)] {
        let face = &roof.faces[roof.face_named(&format!("shed/{name}")).unwrap().index()];
        close(face.plane.normal.z.acos().to_degrees(), degrees, 1e-9);
    }
}

#[test]
fn eaves_at_three_levels() {
    let roof = solved("eaves_at_three_levels");
    check_solid(&roof).unwrap();
    // South from 2.0 m and north from 2.4 m at 30° meet at this run and height.
    let run = 3.0 + 0.2 / tan(30.0);
    let top = 2.0 + run * tan(30.0);
    let (ends, in_from_end) = (6.0 - 0.8 / tan(30.0) - 0.4 / tan(30.0), (top - 2.8) / tan(40.0));
    let end = ends * in_from_end / 2.0;
    close(roof.ridge_height().unwrap(), top, 1e-9);
    assert_lengths(&roof, EdgeKind::Ridge, &[8.0 - 2.0 * in_from_end], 1e-9);
    close(face_area(&roof, "store/B"), end / cos(40.0), 1e-9);
    close(area(&roof), 2.0 * end / cos(40.0) + (48.0 - 2.0 * end) / cos(30.0), 1e-9);
}

#[test]
fn unequal_hips_over_a_wall() {
    let roof = solved("unequal_hips_over_a_wall");
    // One fascia: the steeper the slope, the less it overhangs.
    let drop = 0.5 * tan(30.0);
    let (length, width) = (9.0 + 0.3 + drop / tan(50.0), 6.0 + 0.5 + drop / tan(40.0));
    let top = width / (1.0 / tan(30.0) + 1.0 / tan(40.0));
    let hipped = width * top / tan(50.0) / 2.0;
    assert_lengths(&roof, EdgeKind::Ridge, &[length - top / tan(50.0)], 1e-6);
    close(roof.ridge_height().unwrap(), 2.6 - drop + top, 1e-6);
    close(face_area(&roof, "house/B"), hipped / cos(50.0), 1e-6);
    let south = (length - top / tan(50.0) / 2.0) * top / tan(30.0);
    close(face_area(&roof, "house/A"), south / cos(30.0), 1e-6);
    close(face_area(&roof, "house/C"), (length * width - hipped - south) / cos(40.0), 1e-6);
}

#[test]
fn wings_of_equal_ridges() {
    let roof = solved("wings_of_equal_ridges");
    // 14 x 6 and the two ends of 6 x 12 beside it, all at 40°; the lean-to of 3 x 2 at 15°.
    close(area(&roof), 120.0 / cos(40.0) + 6.0 / cos(15.0), 1e-9);
    assert_lengths(&roof, EdgeKind::Ridge, &[8.0, 7.0, 3.0, 2.0], 1e-9);
    assert_lengths(&roof, EdgeKind::Valley, &[fold(3.0, 40.0); 4], 1e-9);
    close(roof.ridge_height().unwrap(), 2.6 + 3.0 * tan(40.0), 1e-9);
}

#[test]
fn one_slope_overtakes_another() {
    let roof = solved("one_slope_overtakes_another");
    check_solid(&roof).unwrap();
    // The steeper eave lies 1.5 m behind: its plane and the flatter one meet where 1.5 = h (cot 35 - cot 55).
    let height = 1.5 / (1.0 / tan(35.0) - 1.0 / tan(55.0));
    let level = roof.edges.iter().find(|edge| edge.kind == EdgeKind::PitchBreak).unwrap();
    close(roof.at(level.from).z, 2.5 + height, 1e-9);
    close(roof.at(level.to).z, 2.5 + height, 1e-9);
    close(roof.ridge_height().unwrap(), 2.5 + 9.0 / (1.0 / tan(35.0) + 1.0 / tan(30.0)), 1e-9);
}
