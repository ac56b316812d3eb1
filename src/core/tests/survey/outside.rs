//! The adjustment against answers from outside: a textbook's trilateration, scipy's networks of tapes, `OpenCV`'s camera
//! (tests/data/survey/README.md).

use eavewright_core::base::ids::PointId;
use eavewright_core::survey::equation::Term;
use eavewright_core::survey::model::{
    Camera, Known, Mark, Measured, Observation, ObservationKind, Photo, Point, Survey,
};
use eavewright_core::survey::report::Undetermined;
use eavewright_core::survey::sight::Sight;
use eavewright_core::survey::state::{Layout, Lens, Moved, Pose, State};
use eavewright_core::survey::{Adjusted, adjust};
use nalgebra::{Matrix3, Point3, Vector3};
use serde_json::Value;

fn data(name: &str) -> Value {
    let path = support::data("survey").join(name);
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect()
}

fn rows(value: &Value) -> Vec<Vec<f64>> {
    value.as_array().unwrap().iter().map(numbers).collect()
}

fn tape(from: usize, to: usize, length: f64, sigma: f64, plan: bool) -> Observation {
    let kind = ObservationKind::Tape { from: PointId::new(from), to: PointId::new(to), length, plan };
    Observation { kind, sigma }
}

fn level(count: usize) -> Observation {
    Observation { kind: ObservationKind::Level { points: (0..count).map(PointId::new).collect() }, sigma: 0.01 }
}

/// C. D. Ghilani and P. R. Wolf, Adjustment Computations, example 14.2: a point by distances from three known ones (feet;
/// the inputs are the book's, the solution was computed from them with scipy).
#[test]
fn a_point_by_three_distances() {
    let known = [(865.40, 4527.15), (2432.55, 2047.25), (2865.22, 27.15)];
    let mut points: Vec<Point> = known
        .iter()
        .enumerate()
        .map(|(i, (x, y))| Point { name: format!("P{i}"), known: Known::At(Point3::new(*x, *y, 0.0)) })
        .collect();
    points.push(Point { name: String::from("U"), known: Known::Near(Point3::new(6500.0, 4000.0, 0.0)) });
    let mut observations: Vec<Observation> =
        [6049.00, 4736.83, 5446.49].iter().enumerate().map(|(i, d)| tape(i, 3, *d, 1.0, true)).collect();
    observations.push(level(4));
    let found = adjust(&[], &Survey { points, observations, ..Survey::default() }).unwrap();
    let u = found.points[3].unwrap();
    assert!((u.x - 6861.31679).abs() < 1e-4 && (u.y - 3727.81857).abs() < 1e-4, "{u}");
    // Three levels on known heights add two degrees of freedom and no residual.
    assert_eq!(found.report.dof, 3);
    let s0 = found.report.chi2.unwrap().sqrt();
    assert!((s0 - 0.09766).abs() < 1e-5, "{s0}");
    let sd = found.report.points[3].sd.unwrap();
    assert!((s0 * sd[0] - 0.07753).abs() < 1e-5 && (s0 * sd[1] - 0.15425).abs() < 1e-5, "{sd:?}");
    for (check, expected) in found.report.checks.iter().zip([0.14645, 0.61832, 0.23523]) {
        assert!((check.redundancy - expected).abs() < 1e-5, "{check:?}");
    }
    for (check, expected) in found.report.checks.iter().zip([-0.03737, 0.07679, -0.04737]) {
        assert!((check.residual - expected).abs() < 1e-5, "{check:?}");
    }
}

/// The network as recorded; `start` says where each point is taken to be.
fn network(recorded: &Value, start: impl Fn(usize, Point3<f64>) -> Known) -> (Survey, Adjusted) {
    let plan = recorded["plan"].as_bool().unwrap();
    let places = rows(&recorded["points"]);
    let points = places
        .iter()
        .enumerate()
        .map(|(i, p)| {
            let at = Point3::new(p[0], p[1], p.get(2).copied().unwrap_or(0.0));
            Point { name: format!("P{i}"), known: start(i, at) }
        })
        .collect();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let mut observations: Vec<Observation> =
        rows(&recorded["tapes"]).iter().map(|t| tape(t[0] as usize, t[1] as usize, t[2], t[3], plan)).collect();
    if plan {
        observations.push(level(places.len()));
    }
    let survey = Survey { points, observations, ..Survey::default() };
    let found = adjust(&[], &survey).unwrap();
    (survey, found)
}

fn compare(recorded: &Value, found: &Adjusted) {
    let dof = recorded["dof"].as_u64().unwrap();
    let chi2 = recorded["chi2"].as_f64().unwrap();
    assert_eq!(found.report.dof as u64, dof, "{}", recorded["name"]);
    assert!((found.report.chi2.unwrap() - chi2).abs() < 1e-6 * chi2, "{:?} {chi2}", found.report.chi2);
    let covariance = &found.covariance;
    for row in rows(&recorded["distances"]) {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let (a, b) = (row[0] as usize, row[1] as usize);
        let way = found.report.points[b].at - found.report.points[a].at;
        assert!((way.norm() - row[2]).abs() < 1e-7, "{a}-{b}: {} {}", way.norm(), row[2]);
        let gradient: Vec<(usize, f64)> = (0..3)
            .flat_map(|k| {
                let slope = way[k] / way.norm();
                [(covariance.point(b) + k, slope), (covariance.point(a) + k, -slope)]
            })
            .collect();
        let sd = covariance.variance(&gradient).unwrap().sqrt();
        assert!((sd / row[3] - 1.0).abs() < 1e-5, "{a}-{b}: {sd} {}", row[3]);
    }
}

/// Free networks: distances and their standard deviations do not depend on where the network is held, nor, in space,
/// on how it is tilted, so they must be those of scipy although the coordinates are not.
#[test]
fn free_networks_of_tapes_agree_with_scipy() {
    for recorded in data("scipy_tapes.json")["networks"].as_array().unwrap() {
        let (_, found) = network(recorded, |i, at| {
            let off = |k: f64| 0.4 * (k + i as f64).sin();
            Known::Near(at + Vector3::new(off(1.0), off(5.0), if at.z == 0.0 { 0.0 } else { off(9.0) }))
        });
        compare(recorded, &found);
    }
}

/// The same from no places at all: the tapes alone tell the shape.
#[test]
fn free_networks_of_tapes_need_no_start() {
    for recorded in data("scipy_tapes.json")["networks"].as_array().unwrap() {
        let (_, found) = network(recorded, |_, _| Known::Unknown);
        compare(recorded, &found);
    }
}

/// In space, tapes alone leave the tilt open: points are not located, lengths are.
#[test]
fn tapes_alone_do_not_tell_what_is_level() {
    let recorded = &data("scipy_tapes.json")["networks"][1];
    let (_, found) = network(recorded, |_, at| Known::Near(at));
    assert!(
        found
            .report
            .undetermined
            .iter()
            .any(|open| matches!(open, Undetermined::Point { point, .. } if point.index() == 5))
    );
    assert!(found.points[5].is_none());
}

fn matrix(value: &Value) -> Matrix3<f64> {
    let r = rows(value);
    Matrix3::from_fn(|i, j| r[i][j])
}

fn point(value: &[f64]) -> Point3<f64> {
    Point3::new(value[0], value[1], value[2])
}

#[test]
fn marks_are_where_opencv_projects_them() {
    let recorded = data("opencv_camera.json");
    let mut compared = 0;
    for case in recorded["cases"].as_array().unwrap() {
        let lens = numbers(&case["lens"]);
        let state = State {
            places: rows(&case["points"]).iter().map(|p| point(p)).collect(),
            poses: vec![Pose { rotation: matrix(&case["rotation"]), centre: point(&numbers(&case["centre"])) }],
            lenses: vec![Lens { values: [lens[0].ln(), lens[1], lens[2], lens[3], 0.0] }],
            ..State::default()
        };
        let count = state.places.len();
        let layout =
            Layout { places: vec![[None; 3]; count], poses: vec![None], lenses: vec![[None; 5]], ..Layout::default() };
        let at: Moved<'_, f64> = Moved { state: &state, layout: &layout, step: &[] };
        let sight = Sight { pose: state.poses[0], lens: state.lenses[0], size: [4000.0, 3000.0] };
        for (place, expected) in rows(&case["projected"]).iter().enumerate() {
            let seen = sight.pixel(&state.places[place]).unwrap();
            assert!((seen - nalgebra::Point2::new(expected[0], expected[1])).norm() < 1e-8, "{seen}");
            for (axis, expected) in expected.iter().enumerate() {
                let found = Term::Mark { pose: 0, lens: 0, place, axis }.computed(&at);
                assert!((found - expected).abs() < 1e-8, "{found} {expected}");
                compared += 1;
            }
            // And back: the ray of the pixel goes through the place.
            let pixel = [expected[0], expected[1]];
            let q = state.poses[0].rotation * (state.places[place] - state.poses[0].centre);
            assert!((state.lenses[0].ray(pixel) - q / q.z).norm() < 1e-9);
        }
    }
    assert_eq!(compared, 12 * 9 * 2);
}

/// A camera set by nine known points, with no start value: `OpenCV`'s solution of the same least squares.
#[test]
fn cameras_stand_where_opencv_finds_them() {
    let recorded = data("opencv_camera.json");
    for (number, case) in recorded["cases"].as_array().unwrap().iter().enumerate() {
        let lens = numbers(&case["lens"]);
        let points = rows(&case["points"])
            .iter()
            .enumerate()
            .map(|(i, p)| Point { name: format!("P{i}"), known: Known::At(point(p)) })
            .collect();
        let marks = rows(&case["marks"])
            .iter()
            .enumerate()
            .map(|(i, m)| Mark { point: PointId::new(i), at: [m[0], m[1]], sigma: 2.0 })
            .collect();
        let exact = |value| Measured { value, sigma: 0.0 };
        let camera = Camera {
            name: String::from("phone"),
            focal: exact(lens[0]),
            centre: [lens[1], lens[2]],
            centre_sigma: 0.0,
            k1: exact(lens[3]),
            k2: exact(0.0),
        };
        let photo = Photo {
            camera: 0,
            file: None,
            size: [4000.0, 3000.0],
            marks,
            lines: Vec::new(),
            sheet: None,
            compass: None,
            plumb: Vec::new(),
            plumb_sigma: 1.0,
        };
        let survey = Survey { points, cameras: vec![camera], photos: vec![photo], ..Survey::default() };
        let found = adjust(&[], &survey).unwrap();
        let pose = found.report.photos[0].unwrap().pose;
        let centre = point(&numbers(&case["solved_centre"]));
        assert!((pose.centre - centre).norm() < 1e-4, "case {number}: {} {centre}", pose.centre);
        assert!((pose.rotation - matrix(&case["solved_rotation"])).norm() < 1e-5, "case {number}");
        assert_eq!(found.report.dof, 12);
    }
}
