//! A large network of tapes.
#![allow(dead_code)]

use super::random::Random;
use eavewright_core::base::ids::PointId;
use eavewright_core::survey::model::{Known, Observation, ObservationKind, Point, Survey};
use eavewright_core::survey::sigma;
use nalgebra::{Point3, Vector3};

/// Points some 4 m apart on a level field, each taped to its neighbours, across and aslant, with a steel tape's errors;
/// the first observation levels them all. Starts are half a metre off.
pub fn field(wide: usize, deep: usize, seed: u64) -> Survey {
    let mut random = Random::new(seed);
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
