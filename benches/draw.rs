//! How long drawings and the sheet take: a roof of twelve faces, without timbers and with all of them, warm.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

use criterion::{Criterion, criterion_group, criterion_main};
use eavewright::base::units::LengthUnit;
use eavewright::cli::sheet::FileFormat;
use eavewright::cli::{draw, sheet};
use eavewright::drawing::Context;
use eavewright::drawing::job_sheet::{Audience, SheetInput};
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, order};
use std::hint::black_box;

/// A cross of four wings, every side an eave: twelve faces.
const CROSS: &str = "
title = \"Twelve faces\"
units = \"m\"
[[block]]
name = \"cross\"
height = 2.4
sides = [
  { from = \"A\", at = [4.0, 0.0], pitch = 35 },
  { from = \"B\", at = [8.0, 0.0], pitch = 35 },
  { from = \"C\", at = [8.0, 4.0], pitch = 35 },
  { from = \"D\", at = [12.0, 4.0], pitch = 35 },
  { from = \"E\", at = [12.0, 8.0], pitch = 35 },
  { from = \"F\", at = [8.0, 8.0], pitch = 35 },
  { from = \"G\", at = [8.0, 12.0], pitch = 35 },
  { from = \"H\", at = [4.0, 12.0], pitch = 35 },
  { from = \"I\", at = [4.0, 8.0], pitch = 35 },
  { from = \"J\", at = [0.0, 8.0], pitch = 35 },
  { from = \"K\", at = [0.0, 4.0], pitch = 35 },
  { from = \"L\", at = [4.0, 4.0], pitch = 35 },
]
";

/// Every timber cut.
const FRAMED: &str = "
[framing]
spacing = 0.6
rafter = [0.050, 0.150]
hip = [0.050, 0.175]
valley = [0.050, 0.175]
ridge = [0.050, 0.200]
plate = [0.100, 0.050]
fascia = [0.025, 0.200]
";

fn drawing(criterion: &mut Criterion) {
    timed(criterion, "twelve faces", CROSS);
    timed(criterion, "twelve faces, framed", &format!("{CROSS}{FRAMED}"));
}

fn timed(criterion: &mut Criterion, name: &str, text: &str) {
    let (job, ..) = input::read("cross.toml", text, &NoFiles).unwrap();
    let answer = job::solve(&job, &job::Options { steps: true, spread: true }).unwrap();
    assert_eq!(answer.roof.roof_faces().count(), 12);
    let take_off = order::take_off(&job, &answer);
    let context = Context::of(&job);
    let mut group = criterion.benchmark_group(name);
    group.sample_size(10);
    group.bench_function("all drawings", |bencher| {
        bencher.iter(|| draw::drawings(black_box(&answer), Some(&take_off), &job, &context).len());
    });
    group.bench_function("all drawings, written as SVG, DXF and PDF", |bencher| {
        bencher.iter(|| {
            let drawings = draw::drawings(black_box(&answer), Some(&take_off), &job, &context);
            draw::draw_all(&drawings, &job.title, LengthUnit::Metre).unwrap().len()
        });
    });
    for (name, format) in [("sheet as PDF", FileFormat::Pdf), ("sheet as HTML", FileFormat::Html)] {
        group.bench_function(name, |bencher| {
            let audience = Audience::Own;
            let input = SheetInput {
                job: &job,
                answer: &answer,
                take_off: &take_off,
                context: &context,
                audience,
                full: false,
            };
            bencher.iter(|| sheet::sheet(black_box(&input), format).unwrap().len());
        });
    }
    group.finish();
}

criterion_group!(benches, drawing);
criterion_main!(benches);
