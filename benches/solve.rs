//! How long a whole solve takes: sweep, assembly, verification and solid.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use eavewright::outline::Footprint;
use eavewright::roof;
use eavewright::roof::Options;
use eavewright::roof::model::solid;
use std::hint::black_box;
use std::time::Duration;
use support::random;

fn whole(footprint: &Footprint) -> usize {
    let roof = roof::solve(std::slice::from_ref(footprint), &Options::default()).unwrap();
    solid::build(&roof, 0.0).triangles.len()
}

type Make = fn(u64, usize, bool) -> Footprint;

/// An outline and the count of its sides: a small one of just as many as asked for, a large one of about as many.
fn outline(make: Make, sides: usize, many: bool) -> (Footprint, usize) {
    let outlines = (7..).map(|seed| make(seed, sides, many));
    let mut counted = outlines.map(|footprint| {
        let count = footprint.rings[0].sides.len();
        (footprint, count)
    });
    counted.find(|(_, count)| sides > 100 || *count == sides).unwrap()
}

fn solve(criterion: &mut Criterion) {
    let kinds: [(&str, Make, bool); 4] = [
        ("rectilinear, one pitch", random::rectilinear, false),
        ("rectilinear, many pitches", random::rectilinear, true),
        ("general, one pitch", random::general, false),
        ("general, many pitches", random::general, true),
    ];
    for (name, make, many) in kinds {
        let mut group = criterion.benchmark_group(name);
        group.sample_size(10).warm_up_time(Duration::from_millis(300)).measurement_time(Duration::from_secs(1));
        for sides in [10, 50, 100, 1_000, 10_000, 100_000] {
            let (footprint, count) = outline(make, sides, many);
            group.throughput(Throughput::Elements(count as u64));
            group.bench_with_input(BenchmarkId::from_parameter(count), &footprint, |bencher, footprint| {
                bencher.iter(|| whole(black_box(footprint)));
            });
        }
        group.finish();
    }
}

criterion_group!(benches, solve);
criterion_main!(benches);
