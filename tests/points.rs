//! Faces by points against real roofs and closed forms.
//!
//! Sources: roofs of open city models, Zurich (CC0) and Vienna (CC BY 4.0, City of Vienna; both licences from memory),
//! one object a record in `data/points_roofs.json`, whose areas, pitches and edges an independent script computed from
//! the published polygons; closed forms of plane geometry elsewhere.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use eavewright::base::ids::PointId;
use eavewright::base::several::Several;
use eavewright::roof::points::{Options, PointsError, Solved, solve};
use eavewright::roof::{EdgeKind, FaceKind, Roof};
use eavewright::survey::model::{FaceByPoints, Known, Point, Survey};
use nalgebra::{Point3, Vector3};
use serde_json::Value;
use std::collections::BTreeMap;

struct Model {
    survey: Survey,
    places: Vec<Option<Point3<f64>>>,
}

impl Model {
    fn new() -> Self {
        Self { survey: Survey::default(), places: Vec::new() }
    }

    fn point(&mut self, at: Point3<f64>) -> PointId {
        if let Some(index) = self.places.iter().position(|place| *place == Some(at)) {
            return PointId::new(index);
        }
        self.named(&format!("p{}", self.places.len()), Some(at))
    }

    fn named(&mut self, name: &str, at: Option<Point3<f64>>) -> PointId {
        self.survey.points.push(Point { name: name.to_owned(), known: at.map_or(Known::Unknown, Known::At) });
        self.places.push(at);
        PointId::new(self.places.len() - 1)
    }

    fn face(&mut self, name: &str, points: Vec<PointId>) {
        self.survey.faces.push(FaceByPoints { name: name.to_owned(), points, sigma: 0.01 });
    }

    fn solve(&self) -> Result<Solved, PointsError> {
        solve(&self.survey, &self.places, &Options::default())
    }
}

/// Named points and faces by names.
fn model(points: &[(&str, [f64; 3])], faces: &[(&str, &[&str])]) -> Model {
    let mut model = Model::new();
    let ids: BTreeMap<&str, PointId> =
        points.iter().map(|(name, at)| (*name, model.named(name, Some(Point3::from(*at))))).collect();
    for (name, points) in faces {
        model.face(name, points.iter().map(|point| ids[point]).collect());
    }
    model
}

fn length_of(roof: &Roof, kind: EdgeKind) -> f64 {
    roof.edges.iter().filter(|edge| edge.kind == kind).map(|edge| roof.length(edge).0).sum()
}

/// Every corner lies on every plane of its faces, every edge on both planes, and rings run anticlockwise.
fn check_sound(roof: &Roof) {
    for face in &roof.faces {
        let ring = roof.ring(face);
        for corner in &ring {
            assert!(face.plane.distance(corner).abs() < 1e-9, "{} {}", face.name, face.plane.distance(corner));
        }
        assert!(eavewright::base::polygon::vector_area(&ring).dot(&face.plane.normal) > 0.0);
        assert_eq!(face.edges.len(), ring.len());
        for (index, edge) in face.edges.iter().enumerate() {
            let edge = &roof.edges[edge.index()];
            let ends = [face.ring[index], face.ring[(index + 1) % ring.len()]];
            assert!(ends == [edge.from, edge.to] || ends == [edge.to, edge.from]);
        }
    }
}

fn real_roofs() -> Vec<Value> {
    // Another file of the same form may be named.
    let text = match std::env::var("POINT_ROOFS") {
        Ok(path) => std::fs::read_to_string(path).unwrap(),
        Err(_) => include_str!("data/points_roofs.json").to_owned(),
    };
    let file: Value = serde_json::from_str(&text).unwrap();
    file.get("roofs").unwrap_or(&file).as_array().unwrap().clone()
}

fn of_record(record: &Value) -> Model {
    let mut model = Model::new();
    for plane in record["planes"].as_array().unwrap() {
        let ring = &plane["polygons"][0][0];
        let points = ring
            .as_array()
            .unwrap()
            .iter()
            .map(|at| {
                let at: Vec<f64> = at.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect();
                model.point(Point3::new(at[0], at[1], at[2]))
            })
            .collect();
        model.face(&format!("plane {}", plane["plane"]), points);
    }
    model
}

/// The kind of an edge in the words of the recorded data, which calls every level free edge an eave.
fn word(kind: EdgeKind) -> &'static str {
    match kind {
        EdgeKind::Top => "eave",
        EdgeKind::Verge => "rake",
        other => other.word(),
    }
}

#[test]
fn real_roofs_come_out_as_published() {
    for record in real_roofs() {
        let name = record["object_id"].as_str().unwrap();
        let solved = of_record(&record).solve().unwrap_or_else(|error| panic!("{name}: {error}"));
        let roof = &solved.roof;
        check_sound(roof);
        let number = |value: &Value| value.as_f64().unwrap();
        // Published coordinates are rounded to a millimetre; two roofs hold faces that are up to 5 mm out of flat, one
        // of them with neighbours that are 1.1° from one plane.
        let most = match name {
            "UUID_LOD2_011528-93dd7dd5-8851-4b34-8ceb_1" => 0.005,
            "UUID_LOD2_012955-ee0b4840-69df-4d62-8c68_9" => 0.025,
            _ => 0.003,
        };
        let largest = solved.moves.iter().map(|moved| moved.by.norm()).fold(0.0, f64::max);
        assert!(largest < most, "{name}: moved {largest}");
        let slack = largest + 1e-4;

        let planes = record["planes"].as_array().unwrap();
        assert_eq!(roof.faces.len(), planes.len(), "{name}");
        for (face, plane) in roof.faces.iter().zip(planes) {
            let around: f64 = face.edges.iter().map(|edge| roof.length(&roof.edges[edge.index()]).0).sum();
            let off = roof.area(face).0 - number(&plane["area_m2"]);
            assert!(off.abs() < slack * around / 2.0, "{name} {}: area off {off}", face.name);
            let plan_off = roof.plan_area(face).0 - number(&plane["plan_area_m2"]);
            assert!(plan_off.abs() < slack * around / 2.0, "{name} {}: plan area off {plan_off}", face.name);
            let off = face.plane.pitch().to_degrees() - number(&plane["pitch_deg"]);
            assert!(off.abs() < 0.03, "{name} {}: pitch off {off}", face.name);
            let down = face.plane.downslope().unwrap();
            let off = (down.x.atan2(down.y).to_degrees() - number(&plane["downslope_azimuth_deg"]) + 540.0)
                .rem_euclid(360.0)
                - 180.0;
            assert!(off.abs() < 0.2, "{name} {}: aspect off {off}", face.name);
        }
        // Every recorded edge has its own edge here: kind, length, slope and dihedral.
        let mut left: Vec<usize> = (0..roof.edges.len()).collect();
        for edge in record["edges"].as_array().unwrap() {
            let fits = |index: &usize| {
                let here = &roof.edges[*index];
                word(here.kind) == edge["type"].as_str().unwrap()
                    && (roof.length(here).0 - number(&edge["length_m"])).abs() < 2.0 * slack
                    && (roof.slope(here).to_degrees() - number(&edge["slope_deg"])).abs()
                        < 0.01 + (2.0 * slack / roof.length(here).0).to_degrees()
                    && match (here.dihedral, edge["dihedral_deg"].as_f64()) {
                        (Some(here), Some(there)) => (here.to_degrees() - there).abs() < 0.05,
                        (None, None) => true,
                        _ => false,
                    }
            };
            let at = left.iter().position(fits).unwrap_or_else(|| panic!("{name}: no edge like {edge}"));
            left.remove(at);
        }
        assert!(left.is_empty(), "{name}: edges beyond the recorded ones");
        for (kind, total) in record["edge_totals_m"].as_object().unwrap() {
            let here: f64 =
                roof.edges.iter().filter(|edge| word(edge.kind) == kind).map(|edge| roof.length(edge).0).sum();
            assert!((here - number(total)).abs() < 4.0 * slack, "{name}: {kind} {here} for {total}");
        }
    }
}

/// A hip roof over a rectangle, sides of one pitch: eaves E1..E4 anticlockwise from the origin, ridge R1, R2.
fn hip_roof(length: f64, width: f64, degrees: f64) -> Model {
    let (run, rise) = (width / 2.0, width / 2.0 * degrees.to_radians().tan());
    model(
        &[
            ("E1", [0.0, 0.0, 0.0]),
            ("E2", [length, 0.0, 0.0]),
            ("E3", [length, width, 0.0]),
            ("E4", [0.0, width, 0.0]),
            ("R1", [run, run, rise]),
            ("R2", [length - run, run, rise]),
        ],
        &[
            ("south", &["E1", "E2", "R2", "R1"]),
            ("east", &["E2", "E3", "R2"]),
            ("north", &["E3", "E4", "R1", "R2"]),
            ("west", &["E4", "E1", "R1"]),
        ],
    )
}

#[test]
fn the_hip_roof_of_the_vienna_model_as_a_rectangle() {
    // Derived from the City of Vienna's model (CC BY 4.0, from memory): a rectangle 6.581 × 5.808 m at 20.55°; faces of
    // 11.40 and 9.01 m², hips of 4.2489 m and a ridge of 0.7723 m computed from its polygons.
    let solved = hip_roof(6.581, 5.808, 20.55).solve().unwrap();
    let roof = &solved.roof;
    check_sound(roof);
    let areas: Vec<f64> = roof.faces.iter().map(|face| roof.area(face).0).collect();
    for (area, published) in areas.iter().zip([11.40, 9.01, 11.40, 9.01]) {
        assert!((area - published).abs() < 0.006, "{area} for {published}");
    }
    assert!((length_of(roof, EdgeKind::Hip) / 4.0 - 4.2489).abs() < 6e-4);
    assert!((length_of(roof, EdgeKind::Ridge) - 0.7723).abs() < 1e-3);
    assert!((length_of(roof, EdgeKind::Eave) - 2.0 * (6.581 + 5.808)).abs() < 1e-12);
    assert_eq!(roof.volume, None);
    assert!(roof.notes.is_empty(), "{:?}", roof.notes);
}

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
    assert!(roof.notes.iter().any(|note| note.code == "points-moved" && note.message.contains("R1")));
    assert!(roof.notes.iter().all(|note| note.code != "point-moved-far"));
}

#[test]
fn a_move_beyond_chance_is_said() {
    let mut rough = hip_roof(9.2, 5.6, 35.0);
    rough.places[0].as_mut().unwrap().z += 0.25;
    let solved = rough.solve().unwrap();
    let far: Vec<&str> = solved
        .roof
        .notes
        .iter()
        .filter(|note| note.code == "point-moved-far")
        .map(|note| note.message.as_str())
        .collect();
    // The triangle of the west takes E1's height as given, so it is the ridge that gives way.
    assert_eq!(far.len(), 2, "{far:?}");
    assert!(
        far.iter().all(|message| message.contains("point R") && message.contains("standard deviations")),
        "{far:?}"
    );
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
    assert!(roof.notes.iter().any(|note| note.code == "planes-refitted" && note.message.contains("4 faces meet at T")));
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
    assert!(solved.roof.notes.iter().any(|note| note.code == "faces-in-one-plane"));
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
    let solved = solve(&face.survey, &face.places, &Options { covariances: &covariances }).unwrap();
    assert!(solved.roof.faces[0].plane.pitch().to_degrees() < 0.001);
    assert!((solved.moves[3].by.norm() - 0.05).abs() < 1e-4);
    assert!(solved.roof.notes.iter().all(|note| note.code != "point-moved-far"));
    let plain = face.solve().unwrap();
    assert!(plain.roof.faces[0].plane.pitch().to_degrees() > 0.05);
}

#[test]
fn what_cannot_be_a_face_is_refused_by_name() {
    let points = [
        ("a", [0.0, 0.0, 0.0]),
        ("b", [4.0, 0.0, 0.0]),
        ("c", [4.0, 4.0, 1.0]),
        ("d", [0.0, 4.0, 1.0]),
        ("m", [2.0, 0.0, 0.0]),
    ];
    let bad = model(
        &points,
        &[
            ("two", &["a", "b"]),
            ("line", &["a", "m", "b"]),
            ("crossed", &["a", "c", "b", "d"]),
            ("twice", &["a", "b", "c", "b"]),
        ],
    );
    let error = bad.solve().unwrap_err();
    let found = error.each();
    assert_eq!(found.len(), 4, "{error}");
    assert!(matches!(found[0], PointsError::TooFewPoints { face, found: 2 } if face == "two"));
    assert!(matches!(found[1], PointsError::OnOneLine { face, .. } if face == "line"));
    assert!(matches!(found[2], PointsError::NotInOrder { face, .. } if face == "crossed"));
    assert!(matches!(found[3], PointsError::SamePlace { face, .. } if face == "twice"));

    let many = model(
        &[
            ("a", [0.0, 0.0, 0.0]),
            ("b", [4.0, 0.0, 0.0]),
            ("c", [2.0, 3.0, 1.0]),
            ("d", [2.0, -3.0, 1.0]),
            ("e", [2.0, -3.0, -1.0]),
        ],
        &[("one", &["a", "b", "c"]), ("two", &["a", "b", "d"]), ("three", &["a", "b", "e"])],
    );
    assert!(matches!(many.solve().unwrap_err(), PointsError::SharedByMany { faces, .. } if faces.len() == 3));

    // Two level sheets a metre apart that claim a common corner: it would have to move past its neighbours.
    let apart = model(
        &[
            ("a", [0.0, 0.0, 0.0]),
            ("b", [2.0, 0.0, 0.0]),
            ("c", [4.0, 0.0, 0.0]),
            ("d", [4.0, 3.7, 0.0]),
            ("P", [4.0, 4.0, 0.5]),
            ("e", [2.0, 4.0, 0.0]),
            ("f", [0.0, 4.0, 0.0]),
            ("g", [4.3, 4.0, 1.0]),
            ("h", [8.0, 4.0, 1.0]),
            ("i", [8.0, 8.0, 1.0]),
            ("j", [4.0, 8.0, 1.0]),
        ],
        &[("one", &["a", "b", "c", "d", "P", "e", "f"]), ("two", &["P", "g", "h", "i", "j"])],
    );
    let error = apart.solve().unwrap_err();
    let each = error.each();
    assert!(
        each.iter()
            .any(|e| matches!(e, PointsError::CannotMeet { faces, point, .. } if point == "P" && faces.len() == 2)),
        "{error}"
    );
}

#[test]
fn a_face_with_an_unlocated_point_is_left_out_and_said() {
    let mut rough = hip_roof(9.2, 5.6, 35.0);
    rough.places[2] = None;
    let solved = rough.solve().unwrap();
    let names: Vec<&str> = solved.roof.faces.iter().map(|face| face.name.as_str()).collect();
    assert_eq!(names, ["south", "west"]);
    assert_eq!(solved.misfits.iter().filter(|misfit| misfit.is_none()).count(), 2);
    assert_eq!(solved.roof.notes.iter().filter(|note| note.code == "face-not-located").count(), 2);
    rough.places.fill(None);
    assert!(matches!(rough.solve().unwrap_err(), PointsError::NoFaces { .. }));
}

/// A patchwork of 3 × 3 quadrangles over a grid with 16 heights: every inner corner has four faces.
fn patchwork(heights: &[f64], sides: [f64; 2]) -> Model {
    let mut model = Model::new();
    let ids: Vec<PointId> = (0..16)
        .map(|index| {
            let (column, row) = (f64::from(index % 4), f64::from(index / 4));
            let at = Point3::new(column * sides[0], row * sides[1], heights[usize::try_from(index).unwrap()]);
            model.named(&format!("g{index}"), Some(at))
        })
        .collect();
    for row in 0..3 {
        for column in 0..3 {
            let at = row * 4 + column;
            model.face(&format!("f{row}{column}"), vec![ids[at], ids[at + 1], ids[at + 5], ids[at + 4]]);
        }
    }
    model
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(60))]

    /// Whatever is measured: either every corner lies on all its faces, or a refusal names the faces.
    #[test]
    fn a_patchwork_is_sound_or_refused(
        slope in -1.0..1.0_f64,
        bend in 0.0..0.6_f64,
        noise in proptest::collection::vec(-1.0..1.0_f64, 16),
        size in 0.0..0.05_f64,
    ) {
        let heights: Vec<f64> = (0..16)
            .map(|index| {
                let (x, y) = (f64::from(index % 4), f64::from(index / 4));
                slope * x - bend * (y - 1.5).powi(2) + size * noise[usize::try_from(index).unwrap()]
            })
            .collect();
        match patchwork(&heights, [2.0, 1.5]).solve() {
            Ok(solved) => {
                check_sound(&solved.roof);
                for moved in &solved.moves {
                    assert!(moved.by.norm() < 0.8, "{} moved {}", moved.name, moved.by.norm());
                }
            }
            Err(error) => {
                assert!(!error.places().is_empty());
                assert!(size > 0.01, "refused with little noise: {error}");
            }
        }
    }
}
