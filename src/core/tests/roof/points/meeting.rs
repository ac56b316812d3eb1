//! How faces that do not quite meet are brought together, and what each plumb face is.

use super::model::{Model, check_sound, hip_roof, length_of, model};
use eavewright_core::base::finding::Finding as _;
use eavewright_core::roof::EdgeKind;
use eavewright_core::roof::FaceKind;
use eavewright_core::roof::kernel::points::Options;
use eavewright_core::roof::kernel::points::solve;
use eavewright_core::roof::model::finding::{Finding, Refitted};
use nalgebra::Point3;
use nalgebra::Vector3;

#[test]
fn corners_go_to_the_nearest_place_on_all_their_planes() {
    let mut rough = hip_roof(9.2, 5.6, 35.0);
    for (index, by) in [(0, [0.0, 0.0, 0.008]), (2, [0.003, -0.002, -0.006]), (4, [0.006, -0.004, 0.009])] {
        let at = rough.places[index].unwrap();
        rough.places[index] = Some(at + Vector3::from(by));
    }
    let solved = rough.solve().unwrap();
    let roof = &solved.roof;
    check_sound(roof);
    let planes: Vec<_> = roof.faces.iter().map(|face| face.plane).collect();
    // The planes are each face's own least squares: no point of three faces asks for more.
    for (face, plane) in rough.survey.faces.iter().zip(&planes) {
        let points: Vec<Point3<f64>> = face.points.iter().map(|p| rough.places[p.index()].unwrap()).collect();
        let mean = points.iter().map(|p| p.coords).sum::<Vector3<f64>>() / points.len() as f64;
        let scatter =
            points.iter().map(|p| (p.coords - mean) * (p.coords - mean).transpose()).sum::<nalgebra::Matrix3<f64>>();
        let eigen = nalgebra::SymmetricEigen::new(scatter);
        let normal = eigen.eigenvectors.column(eigen.eigenvalues.imin()).into_owned();
        assert!(normal.cross(&plane.normal).norm() < 1e-9 && (plane.normal.dot(&mean) - plane.offset).abs() < 1e-12);
    }
    // R1 lies on three: Cramer's rule. E1 lies on two: its move is square to their line.
    let [south, _, north, west] = [planes[0], planes[1], planes[2], planes[3]];
    let triple = south.normal.dot(&north.normal.cross(&west.normal));
    let r1 = (north.normal.cross(&west.normal) * south.offset
        + west.normal.cross(&south.normal) * north.offset
        + south.normal.cross(&north.normal) * west.offset)
        / triple;
    assert!((roof.corners[4].coords - r1).norm() < 1e-12);
    let line = south.normal.cross(&west.normal);
    let moved = &solved.moves[0];
    assert_eq!(moved.name, "E1");
    assert!(moved.by.norm() > 1e-4 && moved.by.dot(&line).abs() < 1e-14);
    assert!(roof.findings.iter().any(|finding| {
        matches!(finding, Finding::PointsMoved { moved, .. } if moved.iter().any(|(point, _)| rough.name(*point) == "R1"))
    }));
    assert!(roof.findings.iter().all(|finding| finding.code() != "point-moved-far"));
}

#[test]
fn a_move_beyond_chance_is_said() {
    let mut rough = hip_roof(9.2, 5.6, 35.0);
    rough.places[0].as_mut().unwrap().z += 0.25;
    let solved = rough.solve().unwrap();
    let moved_far = |finding: &Finding| match finding {
        Finding::PointMovedFar { point, .. } => Some(rough.name(*point).to_owned()),
        _ => None,
    };
    let far: Vec<String> = solved.roof.findings.iter().filter_map(moved_far).collect();
    // The triangle of the west takes E1's height as given, so it is the ridge that gives way.
    assert_eq!(far.len(), 2, "{far:?}");
    assert!(far.iter().all(|name| name.starts_with('R')), "{far:?}");
}

/// A pyramid over a square of 4 m, apex at 2.4.
fn pyramid() -> Model {
    model(
        &[
            ("E1", [0.0, 0.0, 0.0]),
            ("E2", [4.0, 0.0, 0.0]),
            ("E3", [4.0, 4.0, 0.0]),
            ("E4", [0.0, 4.0, 0.0]),
            ("M", [2.0, 0.02, 0.0]),
            ("N", [3.99, 2.0, 0.0]),
            ("T", [2.0, 2.0, 2.4]),
        ],
        &[
            ("south", &["E1", "M", "E2", "T"]),
            ("east", &["E2", "N", "E3", "T"]),
            ("north", &["E3", "E4", "T"]),
            ("west", &["E4", "E1", "T"]),
        ],
    )
}

#[test]
fn four_planes_are_fitted_together_so_that_they_meet() {
    let rough = pyramid();
    let solved = rough.solve().unwrap();
    let roof = &solved.roof;
    check_sound(roof);
    assert!(roof.findings.iter().any(|finding| {
        matches!(finding, Finding::PlanesRefitted { point, faces, why: Refitted::ManyMeet, .. }
            if rough.name(*point) == "T" && faces.len() == 4)
    }));
    // An independent statement of the same least squares: with the apex at P, the best plane of a face through P
    // leaves the smallest eigenvalue of its scatter about P; their sum has its least value at the apex found.
    let cost = |apex: &Point3<f64>| -> f64 {
        rough
            .survey
            .faces
            .iter()
            .map(|face| {
                let scatter = face
                    .points
                    .iter()
                    .map(|p| rough.places[p.index()].unwrap() - apex)
                    .map(|d| d * d.transpose())
                    .sum::<nalgebra::Matrix3<f64>>();
                nalgebra::SymmetricEigen::new(scatter).eigenvalues.min()
            })
            .sum()
    };
    let apex = roof.corners[6];
    let here = cost(&apex);
    for axis in 0..3 {
        for step in [1e-3, -1e-3] {
            let mut aside = apex;
            aside[axis] += step;
            assert!(cost(&aside) > here, "{axis} {step}");
        }
    }
}

#[test]
fn neighbours_nearly_in_one_plane_do_not_throw_their_corners_off() {
    // A long roof in two faces that differ by 0.3°, ends of the seam 15 mm off: the two planes' own line would run
    // metres away.
    for tilt in [0.0, 0.3_f64, 3.0] {
        let rise = |x: f64| if x > 4.0 { (x - 4.0) * tilt.to_radians().tan() } else { 0.0 };
        let at = |x: f64, y: f64, off: f64| [x, y, 0.5 * y + rise(x) + off];
        let rough = model(
            &[
                ("a", at(0.0, 0.0, 0.0)),
                ("b", at(4.0, 0.0, 0.015)),
                ("c", at(8.0, 0.0, -0.01)),
                ("d", at(8.0, 4.0, 0.008)),
                ("e", at(4.0, 4.0, -0.015)),
                ("f", at(0.0, 4.0, 0.01)),
            ],
            &[("one", &["a", "b", "e", "f"]), ("two", &["b", "c", "d", "e"])],
        );
        let solved = rough.solve().unwrap();
        check_sound(&solved.roof);
        let largest = solved.moves.iter().map(|moved| moved.by.norm()).fold(0.0, f64::max);
        assert!(largest < 0.033, "tilt {tilt}: moved {largest}");
    }
}

#[test]
fn faces_in_one_plane_stay_in_it() {
    let flat = model(
        &[
            ("a", [0.0, 0.0, 0.0]),
            ("b", [4.0, 0.0, 0.0]),
            ("c", [8.0, 0.0, 0.0]),
            ("d", [8.0, 4.0, 3.0]),
            ("e", [4.0, 4.0, 3.0]),
            ("f", [0.0, 4.0, 3.0]),
        ],
        &[("one", &["a", "b", "e", "f"]), ("two", &["b", "c", "d", "e"])],
    );
    let solved = flat.solve().unwrap();
    check_sound(&solved.roof);
    assert!(solved.moves.iter().all(|moved| moved.by.norm() < 1e-14));
    assert!(solved.roof.findings.iter().any(|finding| finding.code() == "faces-in-one-plane"));
    assert!((length_of(&solved.roof, EdgeKind::Eave) - 8.0).abs() < 1e-14);
    assert!((length_of(&solved.roof, EdgeKind::Top) - 8.0).abs() < 1e-14);
    assert!((length_of(&solved.roof, EdgeKind::Verge) - 10.0).abs() < 1e-14);
}

#[test]
fn either_winding_and_a_site_far_away_give_the_same_roof() {
    let here = hip_roof(9.2, 5.6, 35.0);
    let mut away = hip_roof(9.2, 5.6, 35.0);
    for face in &mut away.survey.faces[..2] {
        face.points.reverse();
    }
    let far = Vector3::new(412_000.0, -287_000.0, 600.0);
    for place in &mut away.places {
        *place = place.map(|place| place + far);
    }
    let (one, two) = (here.solve().unwrap().roof, away.solve().unwrap().roof);
    for (a, b) in one.faces.iter().zip(&two.faces) {
        assert!((one.area(a).0 - two.area(b).0).abs() < 1e-8);
        assert!((a.plane.normal - b.plane.normal).norm() < 1e-9);
        assert!(b.plane.normal.z > 0.0);
    }
    for (a, b) in one.edges.iter().zip(&two.edges) {
        assert_eq!(a.kind, b.kind);
        assert!((a.dihedral.unwrap_or(0.0) - b.dihedral.unwrap_or(0.0)).abs() < 1e-9);
    }
    // 180° less both backings: closed form of the equal-pitch hip, 2 asin(sin 35 cos 45) off flat.
    let hip = one.edges.iter().find(|edge| edge.kind == EdgeKind::Hip).unwrap();
    let backing = (35.0_f64.to_radians().sin() * 0.5_f64.sqrt()).asin();
    assert!((hip.dihedral.unwrap() - (std::f64::consts::PI - 2.0 * backing)).abs() < 1e-12);
    let ridge = one.edges.iter().find(|edge| edge.kind == EdgeKind::Ridge).unwrap();
    assert!((ridge.dihedral.unwrap().to_degrees() - 110.0).abs() < 1e-10);
}

#[test]
fn plumb_faces_are_walls_and_the_wall_comes_second() {
    // A lean-to with its two cheeks and front wall, against a wall above: windings mixed.
    let shed = model(
        &[
            ("a", [0.0, 0.0, 2.0]),
            ("b", [6.0, 0.0, 2.0]),
            ("c", [6.0, 3.0, 2.7]),
            ("d", [0.0, 3.0, 2.7]),
            ("a0", [0.0, 0.0, 0.0]),
            ("b0", [6.0, 0.0, 0.0]),
            ("c1", [6.0, 3.0, 4.0]),
            ("d1", [0.0, 3.0, 4.0]),
        ],
        &[("front", &["a", "b", "b0", "a0"]), ("roof", &["a", "b", "c", "d"]), ("house", &["d", "c", "c1", "d1"])],
    );
    let roof = shed.solve().unwrap().roof;
    check_sound(&roof);
    let kinds: Vec<FaceKind> = roof.faces.iter().map(|face| face.kind).collect();
    assert_eq!(kinds, [FaceKind::Wall, FaceKind::Roof, FaceKind::Wall]);
    // The front's outside is to the south, the house wall's too.
    assert!(roof.faces[0].plane.normal.y < -0.99 && roof.faces[2].plane.normal.y < -0.99);
    let between = |a: usize, b: usize| {
        roof.edges
            .iter()
            .find(|edge| edge.faces.len() == 2 && edge.faces[0].index() == a && edge.faces[1].index() == b)
            .unwrap()
    };
    assert_eq!(between(1, 0).kind, EdgeKind::Eave);
    assert_eq!(between(1, 2).kind, EdgeKind::Abutment);
    assert_eq!(between(1, 2).dihedral, None);
    assert_eq!(roof.edges.iter().filter(|edge| edge.kind == EdgeKind::Verge).count(), 2);
    assert!(roof.edges.iter().any(|edge| edge.kind == EdgeKind::Corner));
}

#[test]
fn an_uncertain_point_weighs_less() {
    // One of five points of a level face is 50 mm high but known to 100 mm only, the others to 1 mm.
    let mut face = model(
        &[
            ("a", [0.0, 0.0, 0.0]),
            ("b", [4.0, 0.0, 0.0]),
            ("c", [4.0, 4.0, 0.0]),
            ("d", [2.0, 4.5, 0.05]),
            ("e", [0.0, 4.0, 0.0]),
        ],
        &[("top", &["a", "b", "c", "d", "e"])],
    );
    face.survey.faces[0].sigma = 0.001;
    let cov = |sd: f64| Some(nalgebra::Matrix3::from_diagonal_element(sd * sd));
    let covariances = [cov(0.001), cov(0.001), cov(0.001), cov(0.1), cov(0.001)];
    let solved = solve(&face.survey, &face.places, &Options { covariances: &covariances, unsure: &[] }).unwrap();
    assert!(solved.roof.faces[0].plane.pitch().to_degrees() < 0.001);
    assert!((solved.moves[3].by.norm() - 0.05).abs() < 1e-4);
    assert!(solved.roof.findings.iter().all(|finding| finding.code() != "point-moved-far"));
    let plain = face.solve().unwrap();
    assert!(plain.roof.faces[0].plane.pitch().to_degrees() > 0.05);
}
