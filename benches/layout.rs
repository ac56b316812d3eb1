//! How long a take-off takes: a 12-face, 300 m² roof with all materials; 31 pitches of a hip roof compared; one slope laid
//! at growing sizes, a time a piece that should stay what it is.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

#[allow(dead_code)]
#[path = "../tests/takeoff/solved.rs"]
mod solved;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use eavewright::base::units::Pitch;
use eavewright::roof::analysis::drainage::{Drainage, drain};
use eavewright::takeoff::compare::{CompareInput, DesignLimits, Trial, compare};
use eavewright::takeoff::lay::lay;
use eavewright::takeoff::{TakeoffInput, take_off};
use solved::{covering, eave, twelve_sided};
use std::hint::black_box;
use std::time::Duration;
use support::one_face::{covered, strip, triangle};

fn layout(criterion: &mut Criterion) {
    let roof = twelve_sided();
    let covering = covering("strip-shingle");
    let drainage = drain(&roof);
    let mut group = criterion.benchmark_group("take-off");
    group.sample_size(20).warm_up_time(Duration::from_millis(300)).measurement_time(Duration::from_secs(2));
    group.bench_function("12 faces, 300 m2, all materials", |bencher| {
        bencher.iter(|| {
            let input = TakeoffInput {
                roof: black_box(&roof),
                drainage: &drainage,
                openings: &[],
                covering: &covering,
                wind_from: None,
                timbers: &[],
                north: 0.0,
                area_sd: Some(0.5),
            };
            take_off(&input)
        });
    });
    let pitches: Vec<Pitch> = (20..=50).map(|degrees| Pitch::from_degrees(f64::from(degrees)).unwrap()).collect();
    let order = |trial: &Trial, drainage: &Drainage| {
        take_off(&TakeoffInput {
            roof: &trial.roof,
            drainage,
            openings: &trial.openings,
            covering: &covering,
            wind_from: None,
            timbers: &[],
            north: 0.0,
            area_sd: None,
        })
    };
    let input = CompareInput { take_off: &order, limits: DesignLimits::default(), present: &[] };
    group.bench_function("31 pitches of a hip roof compared", |bencher| {
        bencher.iter(|| {
            compare(black_box(&pitches), &input, |pitch: Pitch| {
                let role = || eave(pitch.degrees());
                Ok::<_, std::convert::Infallible>(Trial {
                    roof: solved::rectangle(9.2, 5.6, role(), role()),
                    openings: Vec::new(),
                })
            })
        });
    });
    group.finish();
}

/// A hip end of growing width: every course has two raking ends, and offcuts wait to be used.
fn sizes(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("a hip end by pieces");
    group.sample_size(20).warm_up_time(Duration::from_millis(200)).measurement_time(Duration::from_secs(1));
    for width in [5.0, 10.0, 20.0, 40.0, 80.0] {
        let face = covered(&triangle(width, width * 0.6, 35.0), &[]);
        let counts = lay(&face, &strip()).counts();
        let pieces = counts.whole + counts.cut + counts.from_offcuts;
        group.throughput(Throughput::Elements(pieces as u64));
        group.bench_with_input(BenchmarkId::from_parameter(pieces), &face, |bencher, face| {
            bencher.iter(|| lay(black_box(face), &strip()));
        });
    }
    group.finish();
}

criterion_group!(benches, layout, sizes);
criterion_main!(benches);
