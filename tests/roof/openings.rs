//! Openings cut from faces, against closed forms of plane geometry. Sizes are of our own invention.

use eavewright::base::multi_error::MultiError;
use eavewright::base::place::Place;
use eavewright::base::polygon::signed_area;
use eavewright::roof::Roof;
use eavewright::roof::analysis::opening::{Opening, OpeningError, OpeningShape, cut};
use eavewright::roof::model::frame::FaceFrame;
use eavewright::wording;
use eavewright::wording::units::Format;
use nalgebra::{Point2, Point3};
use points::roof;
use support::points;

/// A gable roof 8.0 × 6.0 at 30° with the ridge along x, moved to (x, y).
fn gable(x: f64, y: f64) -> Roof {
    let rise = 3.0 * 30.0_f64.to_radians().tan();
    roof(
        &[
            ("A", [x, y, 2.0]),
            ("B", [x + 8.0, y, 2.0]),
            ("C", [x + 8.0, y + 6.0, 2.0]),
            ("D", [x, y + 6.0, 2.0]),
            ("P", [x, y + 3.0, 2.0 + rise]),
            ("Q", [x + 8.0, y + 3.0, 2.0 + rise]),
        ],
        &[("south", &["A", "B", "Q", "P"]), ("north", &["C", "D", "P", "Q"])],
    )
}

fn in_face(face: &str, at: [f64; 2], size: [f64; 2]) -> Opening {
    Opening {
        kind: "roof window".to_owned(),
        shape: OpeningShape::InFace { face: face.to_owned(), at, size },
        height: None,
    }
}

fn plan(corners: &[(f64, f64)]) -> Opening {
    let corners = corners.iter().map(|&(x, y)| Point2::new(x, y)).collect();
    Opening { kind: "chimney".to_owned(), shape: OpeningShape::Plan(corners), height: None }
}

#[test]
fn a_roof_window_takes_its_own_area() {
    let roof = gable(0.0, 0.0);
    let cuts = cut(&roof, &[in_face("north", [1.0, 0.5], [0.78, 1.18])]).unwrap();
    assert_eq!(cuts.len(), 1);
    assert!((cuts[0].area - 0.78 * 1.18).abs() < 1e-14);
    assert_eq!(cuts[0].ring[0], Point2::new(1.0, 0.5));
    // Its lower left corner seen from outside: from the north the left end of the eave is C, at x = 8.
    let face = &roof.faces[cuts[0].face.index()];
    let place = FaceFrame::of(&roof, face).unwrap().to_space(&cuts[0].ring[0]);
    let up = 30.0_f64.to_radians();
    assert!((place - Point3::new(7.0, 6.0 - 0.5 * up.cos(), 2.0 + 0.5 * up.sin())).norm() < 1e-12);
}

#[test]
fn a_chimney_astride_the_ridge_takes_from_both_faces() {
    // 0.9 × 0.5 in plan, 0.1 m nearer the south: k = 1 / cos 30.
    for (x, y) in [(0.0, 0.0), (431_000.0, 5_270_000.0)] {
        let roof = gable(x, y);
        let chimney = plan(&[(x + 3.0, y + 2.65), (x + 3.9, y + 2.65), (x + 3.9, y + 3.15), (x + 3.0, y + 3.15)]);
        let cuts = cut(&roof, &[chimney]).unwrap();
        let k = 30.0_f64.to_radians().cos().recip();
        let area = |name: &str| -> f64 {
            let id = roof.face_named(name).unwrap();
            cuts.iter().filter(|cut| cut.face == id).map(|cut| cut.area).sum()
        };
        assert!((area("south") - 0.9 * 0.35 * k).abs() < 1e-8, "{}", area("south") - 0.9 * 0.35 * k);
        assert!((area("north") - 0.9 * 0.15 * k).abs() < 1e-8);
        for cut in &cuts {
            assert!((signed_area(&cut.ring) - cut.area).abs() < 1e-12);
            assert_eq!((cut.kind.as_str(), cut.ring.len()), ("chimney", 4));
        }
    }
    // Nothing is lost where the numbers are small.
    let cuts = cut(&gable(0.0, 0.0), &[plan(&[(3.0, 2.65), (3.0, 3.15), (3.9, 3.15), (3.9, 2.65)])]).unwrap();
    let total: f64 = cuts.iter().map(|cut| cut.area).sum();
    assert!((total - 0.45 / 30.0_f64.to_radians().cos()).abs() < 1e-12);
}

#[test]
fn a_round_flue_and_an_angled_plan_are_cut_as_they_are() {
    let roof = gable(0.0, 0.0);
    let ring: Vec<(f64, f64)> = (0..24)
        .map(|k| f64::from(k) * 15.0_f64.to_radians())
        .map(|a| (2.0 + 0.15 * a.cos(), 1.0 + 0.15 * a.sin()))
        .collect();
    // An L round the ridge: not convex.
    let angled = [(5.0, 2.5), (6.0, 2.5), (6.0, 2.8), (5.3, 2.8), (5.3, 3.5), (5.0, 3.5)];
    let mut flue = plan(&ring);
    flue.kind = "flue".to_owned();
    let cuts = cut(&roof, &[flue, plan(&angled)]).unwrap();
    let k = 30.0_f64.to_radians().cos().recip();
    let area = |kind: &str| -> f64 { cuts.iter().filter(|cut| cut.kind == kind).map(|cut| cut.area).sum() };
    let circle = 12.0 * 0.15 * 0.15 * 15.0_f64.to_radians().sin();
    assert!((area("flue") - circle * k).abs() < 1e-12);
    assert!((area("chimney") - (1.0 * 0.3 + 0.3 * 0.7) * k).abs() < 1e-12);
}

#[test]
fn a_prism_that_stands_partly_beside_the_roof_takes_what_it_meets() {
    let roof = gable(0.0, 0.0);
    let cuts = cut(&roof, &[plan(&[(-0.3, 1.0), (0.3, 1.0), (0.3, 1.6), (-0.3, 1.6)])]).unwrap();
    assert_eq!(cuts.len(), 1);
    assert!((cuts[0].area - 0.3 * 0.6 / 30.0_f64.to_radians().cos()).abs() < 1e-12);
    let beside = cut(&roof, &[plan(&[(9.0, 1.0), (9.5, 1.0), (9.5, 1.6)])]).unwrap_err();
    assert!(matches!(beside, OpeningError::MeetsNothing { by: Some(by), .. } if (by - 1.0).abs() < 1e-12), "{beside}");
}

#[test]
fn what_lies_outside_is_refused_by_name_with_how_far() {
    let roof = gable(0.0, 0.0);
    // 3.464 m of slope: 3.0 + 0.6 is 0.136 beyond the ridge.
    let over = in_face("south", [1.0, 3.0], [0.5, 0.6]);
    let error = cut(&roof, std::slice::from_ref(&over)).unwrap_err();
    let OpeningError::Outside { face, by, area, .. } = &error else { panic!("{error}") };
    let beyond = 3.6 - 12.0_f64.sqrt();
    assert_eq!(face.to_string(), "south");
    assert!((by - beyond).abs() < 1e-9 && (area - 0.5 * beyond).abs() < 1e-9);
    assert_eq!(error.places(), [Place::Opening(0)]);
    let told = wording::fault::opening(&error, Format::default());
    assert!(told.starts_with("opening 1 reaches 136 mm beyond the face south"), "{told}");

    // All of them at once, each by its own index; touching the edge is no fault.
    let list = [
        in_face("south", [0.0, 0.0], [0.5, 12.0_f64.sqrt()]),
        over,
        in_face("east", [0.0, 0.0], [1.0, 1.0]),
        in_face("south", [1.0, 1.0], [0.0, 1.0]),
        plan(&[(1.0, 1.0), (2.0, 2.0)]),
        in_face("north", [1.0, 1.0], [1.0, 1.0]),
        in_face("north", [1.5, 1.5], [1.0, 1.0]),
    ];
    let error = cut(&roof, &list).unwrap_err();
    let found = error.each();
    assert_eq!(found.len(), 5, "{error}");
    assert!(matches!(found[1], OpeningError::UnknownFace { opening: 2, .. }));
    assert!(matches!(found[2], OpeningError::NoSize { opening: 3, .. }));
    assert!(matches!(found[3], OpeningError::NotAnOutline { opening: 4, corners: 2 }));
    assert!(matches!(found[4], OpeningError::Overlap { openings: [5, 6], area, .. } if (area - 0.25).abs() < 1e-9));
}

#[test]
fn a_rectangle_in_a_hip_end_must_keep_clear_of_the_hips() {
    let rise = 2.0;
    let roof = roof(
        &[
            ("A", [0.0, 0.0, 0.0]),
            ("B", [4.0, 0.0, 0.0]),
            ("C", [4.0, 4.0, 0.0]),
            ("D", [0.0, 4.0, 0.0]),
            ("T", [2.0, 2.0, rise]),
        ],
        &[("s", &["A", "B", "T"]), ("e", &["B", "C", "T"]), ("n", &["C", "D", "T"]), ("w", &["D", "A", "T"])],
    );
    assert!(cut(&roof, &[in_face("s", [1.5, 0.2], [1.0, 1.0])]).is_ok());
    let error = cut(&roof, &[in_face("s", [0.5, 0.2], [1.0, 1.0])]).unwrap_err();
    // The hip in the face runs from (0, 0) to (2, 2 sqrt 2): the corner (0.5, 1.2) lies off it by
    // (1.2 · 2 − 0.5 · 2 sqrt 2) / sqrt 12.
    let expected = (1.2 * 2.0 - 0.5 * 8.0_f64.sqrt()) / 12.0_f64.sqrt();
    assert!(matches!(error, OpeningError::Outside { by, .. } if (by - expected).abs() < 1e-9), "{error}");
}

#[test]
fn a_prism_round_a_hole_of_a_face_is_parted() {
    // A flat-topped roof light stands in a hole of the south face; a curb round it takes the ring between.
    let mut roof = gable(0.0, 0.0);
    let up = 30.0_f64.to_radians().tan();
    let south = roof.face_named("south").unwrap().index();
    let mut hole = Vec::new();
    for (x, y) in [(2.0, 1.0), (2.0, 2.0), (3.0, 2.0), (3.0, 1.0)] {
        hole.push(eavewright::base::ids::CornerId::new(roof.corners.len()));
        roof.corners.push(Point3::new(x, y, 2.0 + y * up));
    }
    roof.faces[south].holes.push(hole.into());
    let cuts = cut(&roof, &[plan(&[(1.5, 0.5), (3.5, 0.5), (3.5, 2.5), (1.5, 2.5)])]).unwrap();
    assert_eq!(cuts.len(), 2);
    let total: f64 = cuts.iter().map(|cut| cut.area).sum();
    assert!((total - 3.0 * up.hypot(1.0)).abs() < 1e-12);
    assert!(cuts.iter().all(|cut| (signed_area(&cut.ring) - cut.area).abs() < 1e-12));
}
