//! Straight edges in photos as observations: the distance of places along them from the edge as the lens bends it.

use eavewright_core::base::ids::PointId;
use eavewright_core::survey::adjust;
use eavewright_core::survey::equation::Term;
use eavewright_core::survey::state::{Layout, Lens, Moved, Pose, State};
use invented::{Plan, View, draw};
use nalgebra::{Matrix3, Point3};
use random::Random;
use support::survey::invented;
use support::survey::random;

/// The least distance of a pixel from the projected edge, found by looking everywhere along it.
fn distance_by_search(state: &State, at: [f64; 2]) -> f64 {
    let (pose, lens) = (state.poses[0], state.lenses[0]);
    let distance = |share: f64| {
        let place = state.places[0] + (state.places[1] - state.places[0]) * share;
        let q = pose.rotation * (place - pose.centre);
        let (x, y) = (q.x / q.z, q.y / q.z);
        let square = x * x + y * y;
        let gain = lens.focal() * (1.0 + lens.values[3] * square + lens.values[4] * square * square);
        (lens.values[1] + gain * x - at[0]).hypot(lens.values[2] + gain * y - at[1])
    };
    let (mut low, mut high) = (-1.0, 2.0);
    for _ in 0..40 {
        let step = (high - low) / 20.0;
        let best =
            (0..=20).map(|k| low + step * f64::from(k)).min_by(|a, b| distance(*a).total_cmp(&distance(*b))).unwrap();
        (low, high) = (best - step, best + step);
    }
    distance(f64::midpoint(low, high))
}

#[test]
fn the_residual_is_the_pixel_distance_from_the_bent_edge() {
    let mut random = Random::new(3);
    let level = Matrix3::new(1.0, 0.0, 0.0, 0.0, 0.0, -1.0, 0.0, 1.0, 0.0);
    let layout = Layout { places: vec![[None; 3]; 2], poses: vec![None], lenses: vec![[None; 5]], ..Layout::default() };
    for _ in 0..100 {
        let mut end = |x: f64| Point3::new(x + random.signed(), 10.0 + 2.0 * random.signed(), 2.0 * random.signed());
        let places = vec![end(-4.0), end(4.0)];
        let bends = [0.15 * random.signed(), 0.05 * random.signed()];
        let lens = Lens { values: [3000.0_f64.ln(), 2000.0, 1500.0, bends[0], bends[1]] };
        let poses = vec![Pose { rotation: level, centre: Point3::origin() }];
        let state = State { places, poses, lenses: vec![lens], ..State::default() };
        let at = [2000.0 + 900.0 * random.signed(), 1500.0 + 600.0 * random.signed()];
        let term = Term::OnLine { pose: 0, lens: 0, ends: [0, 1], at };
        let found: f64 = term.computed(&Moved { state: &state, layout: &layout, step: &[] });
        let expected = distance_by_search(&state, at);
        assert!((found.abs() - expected).abs() < 1e-6 * (1.0 + expected), "{found} {expected}");
    }
}

fn plan(on_eaves: usize) -> Plan {
    let mut plan = Plan::new(&[["a", "b"], ["b", "c"], ["a", "E1"]], &[View::Corner(1, 0), View::Corner(3, 0)]);
    plan.on_eaves = on_eaves;
    plan
}

#[test]
fn lines_make_areas_surer_and_keep_them_true() {
    let mut random = Random::new(6);
    let (mut with, mut without, mut within, mut areas) = (0.0, 0.0, 0, 0);
    for _ in 0..40 {
        let mut drawn = draw(&plan(8), &mut random);
        let found = adjust(&[], &drawn.survey).unwrap();
        for photo in &mut drawn.survey.photos {
            photo.lines.clear();
        }
        let bare = adjust(&[], &drawn.survey).unwrap();
        for (face, (found, bare)) in found.report.faces.iter().zip(&bare.report.faces).enumerate() {
            let (sd, bare) = (found.area_sd.unwrap(), bare.area_sd.unwrap());
            with += sd;
            without += bare;
            areas += 1;
            within += usize::from((found.area.unwrap() - drawn.area(face)).abs() <= 1.96 * sd);
        }
    }
    println!(
        "mean standard deviation {:.3} with lines, {:.3} without; {within} of {areas} within",
        with / 160.0,
        without / 160.0
    );
    assert!(with < 0.97 * without, "{with} {without}");
    assert!((145..=159).contains(&within), "{within} of {areas}");
}

/// A barrel lens shows itself in eaves that are straight on site.
#[test]
fn straight_eaves_tell_the_lens() {
    let mut drawn_plan = plan(100);
    drawn_plan.k1 = [0.0, 0.1];
    let mut random = Random::new(8);
    let (mut with, mut without) = (0.0, 0.0);
    for _ in 0..20 {
        let mut drawn = draw(&drawn_plan, &mut random);
        let found = adjust(&[], &drawn.survey).unwrap();
        let k1 = found.report.photos[0].unwrap().lens.values[3];
        with += k1 * k1;
        for photo in &mut drawn.survey.photos {
            photo.lines.clear();
        }
        let bare = adjust(&[], &drawn.survey).unwrap();
        without += bare.report.photos[0].unwrap().lens.values[3].powi(2);
    }
    println!("k1 off by {:.4} with lines, {:.4} without", (with / 20.0).sqrt(), (without / 20.0).sqrt());
    assert!(with < 0.5 * without, "{with} {without}");
}

/// Where a corner is hidden, its eaves' lines find it: E3 is marked in no photo, and taped nowhere.
#[test]
fn a_hidden_corner_lies_where_its_lines_meet() {
    let mut random = Random::new(10);
    let mut drawn = draw(&plan(8), &mut random);
    let hidden = PointId::new(2);
    for photo in &mut drawn.survey.photos {
        photo.marks.retain(|mark| mark.point != hidden);
    }
    let found = adjust(&[], &drawn.survey).unwrap();
    let point = &found.report.points[2];
    assert!(point.located, "{:?}", found.report.undetermined);
    let off = (point.at - drawn.places[2]).norm();
    let sd = point.sd.unwrap().iter().map(|sd| sd * sd).sum::<f64>().sqrt();
    assert!(off < 4.0 * sd && sd < 0.1, "{off} {sd}");
}
