//! How long an adjustment takes, start values, covariance, reliability and the best next measurement included: three
//! photos with 60 marks and 10 tapes; a network of 500 points held by tapes alone.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

use criterion::{Criterion, criterion_group, criterion_main};
use eavewright::survey::adjust;
use eavewright::survey::model::{Observation, ObservationKind, Survey};
use serde_json::json;
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
    group.finish();
}

criterion_group!(benches, adjustments);
criterion_main!(benches);
