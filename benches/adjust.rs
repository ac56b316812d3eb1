//! How long an adjustment takes, start values, covariance, reliability and the best next measurement included: three
//! photos with 60 marks and 10 tapes; a network of 500 points held by tapes alone.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

#[path = "../tests/survey_support/random.rs"]
mod random;
#[path = "../tests/survey_support/simulated.rs"]
mod simulated;
#[path = "../tests/survey_support/mod.rs"]
mod survey_support;

use criterion::{Criterion, criterion_group, criterion_main};
use eavewright::base::ids::PointId;
use eavewright::survey::model::{Known, Observation, ObservationKind, Point, Survey};
use eavewright::survey::{adjust, sigma};
use nalgebra::{Point3, Vector3};
use random::Random;
use serde_json::json;
use std::hint::black_box;
use std::time::Duration;

/// The recorded L-shaped building with every point and three more marked in each of its three photos.
fn photos() -> Survey {
    let mut random = Random::new(1);
    let mut case = survey_support::all().into_iter().find(|case| case.name == "lgable_p3_t8_s0").unwrap();
    for (name, at) in [("x1", [3.0, 0.0, 2.5]), ("x2", [9.5, -4.0, 2.5]), ("x3", [4.0, 3.0, 4.6])] {
        case.json["truth"]["points"][name] = json!(at);
    }
    let truth = case.json["truth"].clone();
    let lens = ["f", "cx", "cy", "k1"].map(|key| survey_support::number(&truth[key]));
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
    survey_support::survey(&case.json)
}

/// A field of 25 x 20 points, each taped to its neighbours, across and aslant.
fn network() -> Survey {
    let mut random = Random::new(2);
    let (wide, deep) = (25, 20);
    let places: Vec<Point3<f64>> = (0..wide * deep)
        .map(|i| {
            let (x, y) = ((i % wide) as f64, (i / wide) as f64);
            Point3::new(4.0 * x + random.signed(), 4.0 * y + random.signed(), 0.0)
        })
        .collect();
    let mut observations = vec![Observation {
        kind: ObservationKind::Level { points: (0..places.len()).map(PointId::new).collect() },
        sigma: sigma::LEVEL,
    }];
    for i in 0..places.len() {
        let (x, y) = (i % wide, i / wide);
        let right = (x + 1 < wide).then_some(i + 1);
        let up = (y + 1 < deep).then_some(i + wide);
        let slant = (x + 1 < wide && y + 1 < deep).then_some(i + wide + 1);
        for to in [right, up, slant].into_iter().flatten() {
            let length = (places[to] - places[i]).norm();
            let sigma = sigma::STEEL_TAPE.of(length);
            let kind = ObservationKind::Tape {
                from: PointId::new(i),
                to: PointId::new(to),
                length: length + sigma * random.normal(),
                plan: true,
            };
            observations.push(Observation { kind, sigma });
        }
    }
    let points = places
        .iter()
        .enumerate()
        .map(|(i, at)| {
            let near = at + Vector3::new(random.signed(), random.signed(), 0.0) * 0.5;
            Point { name: format!("P{i}"), known: Known::Near(near) }
        })
        .collect();
    Survey { points, observations, ..Survey::default() }
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
    let survey = network();
    group.bench_function(format!("{} points by tapes", survey.points.len()), |bencher| {
        bencher.iter(|| adjust(&[], black_box(&survey)).unwrap());
    });
    group.finish();
}

criterion_group!(benches, adjustments);
criterion_main!(benches);
