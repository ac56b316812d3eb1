//! How long an adjustment takes, start values, covariance, reliability and the best next measurement included: three
//! photos with 60 marks and 10 tapes; a network of 500 points held by tapes alone; a walk of 1,000 sides.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

use criterion::{Criterion, criterion_group, criterion_main};
use eavewright::survey::model::{
    Leg, Measured, MeasuredRing, Observation, ObservationKind, RingFrame, RingInput, Survey,
};
use eavewright::survey::{adjust, sigma};
use nalgebra::Point2;
use serde_json::json;
use std::f64::consts::FRAC_PI_2;
use std::hint::black_box;
use std::time::Duration;
use support::survey::random::Random;
use support::survey::{cases, field, simulated};

/// The recorded L-shaped building with every point and three more marked in each of its three photos.
fn photos() -> Survey {
    let mut random = Random::new(1);
    let mut case = cases::all().into_iter().find(|case| case.name == "lgable_p3_t8_s0").unwrap();
    for (name, at) in [("x1", [3.0, 0.0, 2.5]), ("x2", [9.5, -4.0, 2.5]), ("x3", [4.0, 3.0, 4.6])] {
        case.json["truth"]["points"][name] = json!(at);
    }
    let truth = case.json["truth"].clone();
    let lens = ["f", "cx", "cy", "k1"].map(|key| cases::number(&truth[key]));
    for (photo, camera) in truth["cameras"].as_array().unwrap().iter().enumerate() {
        let (rotation, centre) = (simulated::matrix(&camera["R"]), simulated::point(&camera["C"]));
        for (name, at) in truth["points"].as_object().unwrap() {
            if let Some(pixel) = simulated::project((&rotation, &centre), lens, &simulated::point(at)) {
                case.json["photos"][photo][name] = json!(pixel.map(|v| v + 2.0 * random.normal()));
            }
        }
    }
    for (a, b) in [("D", "M1"), ("C", "c")] {
        let at = |name: &str| simulated::point(&truth["points"][name]);
        let tape = json!({ "a": a, "b": b, "length": (at(b) - at(a)).norm() + 0.005 * random.normal() });
        case.json["tapes"].as_array_mut().unwrap().push(tape);
    }
    cases::survey(&case.json)
}

fn adjustments(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("adjust");
    group.sample_size(20).warm_up_time(Duration::from_millis(500)).measurement_time(Duration::from_secs(3));
    let survey = photos();
    let marks: usize = survey.photos.iter().map(|photo| photo.marks.len()).sum();
    let tapes = survey.observations.iter().filter(|o| matches!(o.kind, ObservationKind::Tape { .. })).count();
    group.bench_function(format!("{} photos, {marks} marks, {tapes} tapes", survey.photos.len()), |bencher| {
        bencher.iter(|| adjust(&[], black_box(&survey)).unwrap());
    });
    group.sample_size(10);
    let survey = field::field(25, 20, 2);
    group.bench_function(format!("{} points by tapes", survey.points.len()), |bencher| {
        bencher.iter(|| adjust(&[], black_box(&survey)).unwrap());
    });
    let mut survey = field::field(25, 20, 2);
    let Some(Observation { kind: ObservationKind::Tape { length, .. }, .. }) = survey.observations.get_mut(700) else {
        panic!("no tape")
    };
    *length += 1.0;
    group.bench_function(format!("{} points by tapes, one misread", survey.points.len()), |bencher| {
        bencher.iter(|| adjust(&[], black_box(&survey)).unwrap());
    });
    let legs = MeasuredRing::Walk(comb(249));
    let count = 2 * 2 * 249 + 4;
    let names: Vec<String> = (0..count).map(|side| side.to_string()).collect();
    let ring = RingInput {
        block: "comb",
        ring: 0,
        sides: names.iter().map(String::as_str).collect(),
        measured: &legs,
        frame: RingFrame::At { start: Point2::origin(), heading: 0.0 },
        heights: vec![2.4; count],
    };
    let rings = [ring];
    group.bench_function(format!("{count} walked sides"), |bencher| {
        bencher.iter(|| adjust(black_box(&rings), &Survey::default()).unwrap());
    });
    group.finish();
}

/// A walk round a block with a comb of teeth of 0.1 m along its far side.
fn comb(teeth: usize) -> Vec<Leg> {
    let leg = |length: f64, turn: f64| Leg {
        length: Measured { value: length, sigma: sigma::STEEL_TAPE.of(length) },
        turn: Some(Measured { value: turn * FRAC_PI_2, sigma: sigma::TURN_RIGHT_ANGLE }),
    };
    let wide = 0.2 * teeth as f64 + 0.1;
    let mut legs = vec![leg(wide, 1.0), leg(5.1, 1.0)];
    for _ in 0..teeth {
        legs.extend([leg(0.1, 1.0), leg(0.1, -1.0), leg(0.1, -1.0), leg(0.1, 1.0)]);
    }
    legs.extend([leg(0.1, 1.0), leg(5.1, 1.0)]);
    legs
}

criterion_group!(benches, adjustments);
criterion_main!(benches);
