//! Roofs with closed forms. The jobs are invented; the formulas are school geometry, stated beside each.

use eavewright_core::outline::{Footprint, Role};
use eavewright_core::roof::{self, EdgeKind, FaceKind, Options, Roof};
use outline::{
    area, assert_lengths, block, block_at, check_solid, close, eave, face_area, pitch, rectangle, wall_area,
};
use std::f64::consts::PI;
use support::outline;

fn solve(footprint: &Footprint) -> Roof {
    footprint.check_invariants().unwrap();
    let roof = roof::solve(std::slice::from_ref(footprint), &Options::default()).unwrap();
    check_solid(&roof).unwrap();
    roof
}

fn tan(degrees: f64) -> f64 {
    degrees.to_radians().tan()
}

fn slope(degrees: f64) -> f64 {
    1.0 / degrees.to_radians().cos()
}

#[test]
fn hip_roof_on_a_rectangle() {
    // 9.20 x 5.60 at 35: area 51.52 k; ridge 9.20 - 5.60; rise 2.80 tan 35; hips 2.80 sqrt(2 + tan²).
    let roof = solve(&rectangle(9.2, 5.6, [eave(35.0), eave(35.0), eave(35.0), eave(35.0)]));
    close(area(&roof), 62.894, 5e-4);
    close(area(&roof), 51.52 * slope(35.0), 1e-12 * 63.0);
    close(face_area(&roof, "b/A"), 21.876, 5e-4);
    close(face_area(&roof, "b/B"), 9.571, 5e-4);
    assert_lengths(&roof, EdgeKind::Ridge, &[3.6], 1e-12);
    assert_lengths(&roof, EdgeKind::Hip, &[2.8 * (2.0 + tan(35.0).powi(2)).sqrt(); 4], 1e-12);
    assert_lengths(&roof, EdgeKind::Eave, &[9.2, 9.2, 5.6, 5.6], 0.0);
    close(roof.ridge_height().unwrap(), 1.961, 5e-4);
    assert_eq!((roof.faces.len(), roof.edges.len(), roof.corners.len()), (4, 9, 6));
    assert!(roof.faces.iter().all(|face| face.kind == FaceKind::Roof));
    // A prism over the ridge and a pyramid of the two ends.
    let rise = 2.8 * tan(35.0);
    close(roof.volume.unwrap(), 3.6 * 5.6 * rise / 2.0 + 5.6 * 5.6 * rise / 3.0, 1e-12);
}

#[test]
fn lean_to_against_a_wall() {
    let roof = solve(&rectangle(6.0, 3.0, [eave(12.0), Role::Verge, Role::Abutment, Role::Verge]));
    close(area(&roof), 18.402, 5e-4);
    assert_lengths(&roof, EdgeKind::Verge, &[3.0 * slope(12.0); 2], 1e-12);
    assert_lengths(&roof, EdgeKind::Abutment, &[6.0], 1e-12);
    assert_lengths(&roof, EdgeKind::Eave, &[6.0], 0.0);
    assert_lengths(&roof, EdgeKind::Base, &[6.0, 3.0, 3.0], 0.0);
    close(roof.ridge_height().unwrap(), 0.638, 5e-4);
    close(wall_area(&roof), 9.0 * tan(12.0) + 18.0 * tan(12.0), 1e-12);
    let names: Vec<_> = roof.faces.iter().map(eavewright_core::roof::Face::name).collect();
    assert_eq!(names, ["b/A", "b/B:wall", "b/C:wall", "b/D:wall"]);
}

#[test]
fn free_top_of_a_lean_to() {
    let roof = solve(&rectangle(6.0, 3.0, [eave(12.0), Role::Verge, Role::Verge, Role::Verge]));
    assert_lengths(&roof, EdgeKind::Top, &[6.0], 1e-12);
    assert_lengths(&roof, EdgeKind::Abutment, &[], 0.0);
}

#[test]
fn half_hip() {
    // 8.0 x 6.0 at 45, both ends plumb to a rise of 2.0, hip at 60: i = 1/tan 60.
    let end = Role::HalfHip { hip_from: 2.0, pitch: pitch(60.0) };
    let roof = solve(&rectangle(8.0, 6.0, [eave(45.0), end.clone(), eave(45.0), end]));
    let i = 1.0 / tan(60.0);
    close(area(&roof), 68.559, 5e-4);
    close(face_area(&roof, "b/A") + face_area(&roof, "b/C"), (48.0 - 2.0 * i) * slope(45.0), 1e-9);
    close(face_area(&roof, "b/B"), i / (60f64).to_radians().cos(), 1e-9);
    assert_lengths(&roof, EdgeKind::Ridge, &[8.0 - 2.0 * i], 1e-9);
    assert_lengths(&roof, EdgeKind::Hip, &[(2.0 + i * i).sqrt(); 4], 1e-9);
    assert_lengths(&roof, EdgeKind::Verge, &[8f64.sqrt(); 4], 1e-9);
    assert_lengths(&roof, EdgeKind::Eave, &[8.0, 8.0, 2.0, 2.0], 1e-9);
    close(face_area(&roof, "b/B:wall"), f64::midpoint(6.0, 2.0) * 2.0, 1e-9);
}

#[test]
fn gambrel() {
    // 7.0 x 6.0, 60 over a run of 1.0, then 30.
    let side = Role::Eave { pitch: pitch(60.0), breaks: vec![(tan(60.0), pitch(30.0))] };
    let roof = solve(&rectangle(7.0, 6.0, [side.clone(), Role::Verge, side, Role::Verge]));
    close(area(&roof), 14.0 * (slope(60.0) + 2.0 * slope(30.0)), 1e-9);
    close(area(&roof), 60.332, 5e-4);
    assert_lengths(&roof, EdgeKind::PitchBreak, &[7.0, 7.0], 1e-9);
    assert_lengths(&roof, EdgeKind::Ridge, &[7.0], 1e-9);
    close(roof.ridge_height().unwrap(), 2.887, 5e-4);
    let verges: f64 = outline::lengths(&roof, EdgeKind::Verge).iter().sum();
    close(verges, 4.0 * 4.309, 2e-3);
    close(face_area(&roof, "b/A"), 7.0 * slope(60.0), 1e-9);
    close(face_area(&roof, "b/A:2"), 14.0 * slope(30.0), 1e-9);
    let breaks = roof.edges.iter().find(|edge| edge.kind == EdgeKind::PitchBreak).unwrap();
    close(breaks.dihedral.unwrap(), PI - 30f64.to_radians(), 1e-9);
}

#[test]
fn pyramid_on_a_square_and_nearly() {
    let roof = solve(&rectangle(4.0, 4.0, [eave(50.0), eave(50.0), eave(50.0), eave(50.0)]));
    close(area(&roof), 24.892, 5e-4);
    assert_lengths(&roof, EdgeKind::Hip, &[2.0 * (2.0 + tan(50.0).powi(2)).sqrt(); 4], 1e-12);
    assert_lengths(&roof, EdgeKind::Ridge, &[], 0.0);
    // Not squared up, the centimetre is a ridge.
    let roof = solve(&rectangle(4.0, 4.01, [eave(50.0), eave(50.0), eave(50.0), eave(50.0)]));
    assert_lengths(&roof, EdgeKind::Ridge, &[0.01], 1e-12);
}

#[test]
fn unequal_hip() {
    // Walls 10.0 x 6.0, sides 30, ends 45, to the plate: r = 3 tan 30; ridge 10 - 2 r; hips sqrt 15.
    let roof = solve(&rectangle(10.0, 6.0, [eave(30.0), eave(45.0), eave(30.0), eave(45.0)]));
    let r = 3.0 * tan(30.0);
    assert_lengths(&roof, EdgeKind::Ridge, &[10.0 - 2.0 * r], 1e-12);
    assert_lengths(&roof, EdgeKind::Hip, &[15f64.sqrt(); 4], 1e-12);
    close(area(&roof), 71.979, 5e-4);
    close(face_area(&roof, "b/B") + face_area(&roof, "b/D"), 2.0 * 7.348, 1e-3);
    close(face_area(&roof, "b/A") + face_area(&roof, "b/C"), 57.282, 5e-4);
    for hip in roof.edges.iter().filter(|edge| edge.kind == EdgeKind::Hip) {
        close(roof.slope(hip).to_degrees(), 26.565, 5e-4);
        close(hip.dihedral.unwrap().to_degrees(), 127.761, 5e-4);
    }
}

#[test]
fn t_plan_with_gables() {
    // Main 10.0 x 6.0, wing 4.0 wide 3.0 out, 40.
    let e = || eave(40.0);
    let roof = solve(&block(&[
        (0.0, 0.0, e()),
        (3.0, 0.0, e()),
        (3.0, -3.0, Role::Verge),
        (7.0, -3.0, e()),
        (7.0, 0.0, e()),
        (10.0, 0.0, Role::Verge),
        (10.0, 6.0, e()),
        (0.0, 6.0, Role::Verge),
    ]));
    close(area(&roof), 93.989, 1e-3);
    assert_lengths(&roof, EdgeKind::Valley, &[2.0 * (2.0 + tan(40.0).powi(2)).sqrt(); 2], 1e-12);
    close(outline::lengths(&roof, EdgeKind::Valley)[0], 3.289, 5e-4);
    assert_lengths(&roof, EdgeKind::Ridge, &[10.0, 5.0], 1e-12);
    assert_lengths(&roof, EdgeKind::Verge, &[3.916, 3.916, 3.916, 3.916, 2.611, 2.611], 5e-4);
    close(outline::lengths(&roof, EdgeKind::Eave).iter().sum(), 22.0, 1e-12);
    // The two eaves beside the wing lie in one plane and their roofs touch: one face, named by the first.
    let main = &roof.faces[roof.face_named("b/A").unwrap().index()];
    assert_eq!(main.side_names(), ["A", "E"]);
}

#[test]
fn l_plan_with_gables() {
    // 8.0 x 7.0, legs 4.0, 30.
    let e = || eave(30.0);
    let roof = solve(&block(&[
        (0.0, 0.0, e()),
        (8.0, 0.0, Role::Verge),
        (8.0, 4.0, e()),
        (4.0, 4.0, e()),
        (4.0, 7.0, Role::Verge),
        (0.0, 7.0, e()),
    ]));
    close(area(&roof), 50.807, 1e-3);
    assert_lengths(&roof, EdgeKind::Hip, &[3.055], 5e-4);
    assert_lengths(&roof, EdgeKind::Valley, &[3.055], 5e-4);
    assert_lengths(&roof, EdgeKind::Ridge, &[6.0, 5.0], 1e-12);
    assert_lengths(&roof, EdgeKind::Verge, &[2.309; 4], 5e-4);
}

#[test]
fn gablet() {
    // 8 x 6 at 45; the ends hip up to a rise of 1.0, then stand plumb.
    let end = Role::Gablet { pitch: pitch(45.0), verge_from: 1.0 };
    let roof = solve(&rectangle(8.0, 6.0, [eave(45.0), end.clone(), eave(45.0), end]));
    assert_lengths(&roof, EdgeKind::Ridge, &[6.0], 1e-9);
    assert_lengths(&roof, EdgeKind::Abutment, &[4.0, 4.0], 1e-9);
    assert_lengths(&roof, EdgeKind::Hip, &[3f64.sqrt(); 4], 1e-9);
    assert_lengths(&roof, EdgeKind::Verge, &[8f64.sqrt(); 4], 1e-9);
    close(face_area(&roof, "b/B:wall"), 4.0, 1e-9);
    close(area(&roof), 48.0 * 2f64.sqrt(), 1e-9);
}

#[test]
fn step_between_collinear_eaves_of_unequal_pitch() {
    // South 10 long, its left half at 30, its right half at 45; verges at the ends, north abutment; 4 deep.
    let roof = solve(&block(&[
        (0.0, 0.0, eave(30.0)),
        (5.0, 0.0, eave(45.0)),
        (10.0, 0.0, Role::Verge),
        (10.0, 4.0, Role::Abutment),
        (0.0, 4.0, Role::Verge),
    ]));
    close(face_area(&roof, "b/A"), 20.0 * slope(30.0), 1e-9);
    close(face_area(&roof, "b/B"), 20.0 * slope(45.0), 1e-9);
    // Over the corner a plumb step, its wall the flatter side's.
    close(face_area(&roof, "b/A:wall"), 8.0 * (1.0 - tan(30.0)), 1e-9);
    assert_lengths(&roof, EdgeKind::Step, &[4.0 * 2f64.sqrt()], 1e-9);
    assert_eq!(roof.findings.iter().map(eavewright_core::base::finding::Finding::code).collect::<Vec<_>>(), ["step"]);
}

#[test]
fn collinear_eaves_of_equal_pitch_are_one_face() {
    let roof = solve(&block(&[
        (0.0, 0.0, eave(35.0)),
        (3.0, 0.0, eave(35.0)),
        (9.2, 0.0, eave(35.0)),
        (9.2, 5.6, eave(35.0)),
        (0.0, 5.6, eave(35.0)),
    ]));
    close(area(&roof), 51.52 * slope(35.0), 1e-9);
    assert_eq!(roof.faces.len(), 4);
    assert_eq!(roof.faces[0].side_names(), ["A", "B"]);
    close(face_area(&roof, "b/A"), 21.876, 5e-4);
}

#[test]
fn a_side_rests_until_its_own_height() {
    // 8 x 6; south and north at 0, the ends begin at 1.0, all at 45: the ends' hips begin on plumb walls.
    let roof = solve(&block_at(&[
        (0.0, 0.0, 0.0, eave(45.0)),
        (8.0, 0.0, 1.0, eave(45.0)),
        (8.0, 6.0, 0.0, eave(45.0)),
        (0.0, 6.0, 1.0, eave(45.0)),
    ]));
    close(area(&roof), 48.0 * 2f64.sqrt(), 1e-9);
    assert_lengths(&roof, EdgeKind::Eave, &[8.0, 8.0, 4.0, 4.0], 1e-9);
    assert_lengths(&roof, EdgeKind::Ridge, &[4.0], 1e-9);
    assert_lengths(&roof, EdgeKind::Verge, &[2f64.sqrt(); 4], 1e-9);
    close(wall_area(&roof), 2.0 * 5.0, 1e-9);
}

#[test]
fn courtyard() {
    // A square ring: outer 12, court 4, all at 45: the ridge runs half way, at a rise of 2.
    let mut footprint = rectangle(12.0, 12.0, [eave(45.0), eave(45.0), eave(45.0), eave(45.0)]);
    let court =
        block(&[(4.0, 4.0, eave(45.0)), (4.0, 8.0, eave(45.0)), (8.0, 8.0, eave(45.0)), (8.0, 4.0, eave(45.0))]);
    let mut ring = court.rings[0].clone();
    ring.sides.iter_mut().zip(["P", "Q", "R", "S"]).for_each(|(side, name)| side.name = name.into());
    footprint.rings.push(ring);
    let roof = solve(&footprint);
    close(area(&roof), 128.0 * 2f64.sqrt(), 1e-9);
    assert_lengths(&roof, EdgeKind::Ridge, &[8.0; 4], 1e-9);
    assert_lengths(&roof, EdgeKind::Hip, &[12f64.sqrt(); 4], 1e-9);
    assert_lengths(&roof, EdgeKind::Valley, &[12f64.sqrt(); 4], 1e-9);
}

#[test]
fn plumb_sides_alone_are_refused() {
    let side = || Role::Gablet { pitch: pitch(45.0), verge_from: 1.0 };
    let footprint = rectangle(8.0, 6.0, [side(), side(), side(), side()]);
    let error = roof::solve(&[footprint], &Options::default()).unwrap_err();
    assert!(matches!(error, roof::SolveError::NeverCloses { .. }), "{error}");
}

#[test]
fn crossing_sides_are_refused() {
    let footprint =
        block(&[(0.0, 0.0, eave(45.0)), (4.0, 4.0, eave(45.0)), (4.0, 0.0, eave(45.0)), (0.0, 5.0, eave(45.0))]);
    let error = roof::solve(&[footprint], &Options::default()).unwrap_err();
    assert!(matches!(error, roof::SolveError::Crosses { .. }), "{error}");
}
