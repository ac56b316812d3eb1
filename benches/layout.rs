//! How long a take-off takes: a 12-face, 300 m² roof with all materials; 31 pitches of it compared.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

#[path = "../tests/one_face/solved.rs"]
mod solved;

use criterion::{Criterion, criterion_group, criterion_main};
use eavewright::base::units::Pitch;
use eavewright::takeoff::compare::{CompareInput, Trial, compare};
use eavewright::takeoff::{TakeoffInput, take_off};
use solved::{covering, eave, twelve_sided};
use std::hint::black_box;
use std::time::Duration;

fn layout(criterion: &mut Criterion) {
    let roof = twelve_sided();
    let covering = covering("strip-shingle");
    let mut group = criterion.benchmark_group("take-off");
    group.sample_size(20).warm_up_time(Duration::from_millis(300)).measurement_time(Duration::from_secs(2));
    group.bench_function("12 faces, 300 m2, all materials", |bencher| {
        bencher.iter(|| {
            let input = TakeoffInput {
                roof: black_box(&roof),
                openings: &[],
                covering: &covering,
                wind_from: None,
                north: 0.0,
                area_sd: Some(0.5),
            };
            take_off(&input)
        });
    });
    let pitches: Vec<Pitch> = (20..=50).map(|degrees| Pitch::from_degrees(f64::from(degrees)).unwrap()).collect();
    let input = CompareInput { covering: &covering, wind_from: None, north: 0.0 };
    group.bench_function("31 pitches of a hip roof compared", |bencher| {
        bencher.iter(|| {
            compare(black_box(&pitches), &input, |pitch| {
                let role = || eave(pitch.degrees());
                Ok(Trial { roof: solved::rectangle(9.2, 5.6, role(), role()), openings: Vec::new() })
            })
        });
    });
    group.finish();
}

criterion_group!(benches, layout);
criterion_main!(benches);
