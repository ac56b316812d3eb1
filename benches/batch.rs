//! How long a roof over an outline of a map takes, from its text to its answer: reading, solving with every check, writing. By
//! the line and from a table's rows, on one thread; each figure is of a thousand outlines.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use eavewright::base::wkb;
use eavewright::input::outlines::{Content, Defaults, Piece, Row, read};
use eavewright::job::outlines::{self, RoofSums};
use eavewright::write::batch::{Answered, SolvedOutline, line};
use nalgebra::Point2;
use std::hint::black_box;
use support::random;

const COUNT: u64 = 1000;

/// Rings of so many sides as buildings have them.
fn rings(sides: usize) -> Vec<Vec<Point2<f64>>> {
    let ring = |seed| {
        let footprint = random::rectilinear(seed, sides, false);
        let mut ring = footprint.rings[0].corners();
        ring.push(ring[0]);
        ring
    };
    (0..COUNT).map(ring).collect()
}

fn by_line(rings: &[Vec<Point2<f64>>]) -> Piece {
    let mut text = Vec::new();
    let mut features = Vec::new();
    for (line, ring) in (1..).zip(rings) {
        let places: Vec<String> = ring.iter().map(|place| format!("[{:.3},{:.3}]", place.x, place.y)).collect();
        let from = text.len();
        let feature = format!(
            "{{\"type\":\"Feature\",\"properties\":{{\"id\":{line}}},\"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[{}]]}}}}\n",
            places.join(",")
        );
        text.extend_from_slice(feature.as_bytes());
        features.push((line, from, text.len()));
    }
    Piece { end: text.len() as u64, content: Content::Texts { text, features }, before: 0, count: COUNT }
}

fn by_row(rings: &[Vec<Point2<f64>>]) -> Piece {
    let row = |(number, ring): (u64, &Vec<Point2<f64>>)| Row {
        number,
        id: number.to_string(),
        geometry: Some(wkb::write(&[vec![ring.clone()]])),
        properties: serde_json::Map::new(),
    };
    Piece { content: Content::Rows((1..).zip(rings).map(row).collect()), end: COUNT, before: 0, count: COUNT }
}

/// Every answer of a piece as lines of JSON.
fn answers(piece: &Piece, defaults: &Defaults) -> usize {
    let mut bytes = Vec::new();
    for feature in read(piece, defaults) {
        let at = feature.outline.as_ref().ok().map(|placed| placed.frame.origin);
        let roof = feature.outline.and_then(|placed| {
            let roof = outlines::solve(&placed.outline)?;
            let sums = RoofSums::of(&roof);
            Ok(SolvedOutline {
                sums,
                laid: None,
                roof,
                polygons: placed.outline.polygons,
                frame: placed.frame,
                is_degrees: false,
            })
        });
        line::write(&mut bytes, &Answered { line: feature.line, id: feature.id, at, roof }, false).unwrap();
    }
    bytes.len()
}

fn batch(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("batch");
    group.sample_size(10).throughput(Throughput::Elements(COUNT));
    let defaults = Defaults { pitch: Some(35.0), ..Defaults::default() };
    for sides in [6, 12, 24, 48] {
        let rings = rings(sides);
        for (name, piece) in [("lines", by_line(&rings)), ("rows", by_row(&rings))] {
            group.bench_with_input(BenchmarkId::new(name, sides), &piece, |bencher, piece| {
                bencher.iter(|| black_box(answers(black_box(piece), &defaults)));
            });
        }
    }
    group.finish();
}

criterion_group!(benches, batch);
criterion_main!(benches);
