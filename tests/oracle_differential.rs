//! The exact simulator against answers from outside, and the kernel against the simulator.

#![allow(clippy::unwrap_used, clippy::expect_used)]

mod oracle;

use eavewright::base::units::Pitch;
use eavewright::outline::footprint::{Footprint, Ring, Role, Side};
use nalgebra::Point2;
use oracle::simulate;
use serde_json::Value;

fn pair(value: &Value) -> Point2<f64> {
    Point2::new(value[0].as_f64().unwrap(), value[1].as_f64().unwrap())
}

/// A record of the reference file as a footprint: `pitch[i]` belongs to the side from corner i, 90 is a verge.
fn reference_footprint(record: &Value) -> Footprint {
    let mut rings = vec![(&record["ring"], &record["pitch"])];
    for hole in record["holes"].as_array().into_iter().flatten() {
        rings.push((&hole["ring"], &hole["pitch"]));
    }
    let rings = rings
        .into_iter()
        .enumerate()
        .map(|(r, (ring, pitch))| Ring {
            sides: ring
                .as_array()
                .unwrap()
                .iter()
                .zip(pitch.as_array().unwrap())
                .enumerate()
                .map(|(k, (place, pitch))| Side {
                    name: format!("{r}.{k}"),
                    start: pair(place),
                    height: 0.0,
                    role: match Pitch::from_degrees(pitch.as_f64().unwrap()) {
                        Ok(pitch) => Role::Eave { pitch, breaks: Vec::new() },
                        Err(_) => Role::Verge,
                    },
                })
                .collect(),
        })
        .collect();
    Footprint { name: "r".into(), height: 0.0, rings }
}

#[test]
fn simulator_agrees_with_reference_roofs() {
    let text = std::fs::read_to_string("tests/oracle/roofs.jsonl").unwrap();
    let mut wrong = Vec::new();
    let mut count = 0;
    for line in text.lines() {
        let record: Value = serde_json::from_str(line).unwrap();
        let id = record["id"].as_str().unwrap();
        let footprint = reference_footprint(&record);
        let answer = match simulate(&footprint) {
            Ok(answer) => answer,
            Err(refusal) => {
                wrong.push(format!("{id}: {refusal:?}"));
                continue;
            }
        };
        count += 1;
        let mut expected = vec![0.0; answer.area.len()];
        for (r, ring) in record["area_by_side"].as_array().unwrap().iter().enumerate() {
            for (k, area) in ring.as_array().unwrap().iter().enumerate() {
                expected[answer.of_side[&format!("{r}.{k}")]] += area.as_f64().unwrap();
            }
        }
        let total: f64 = expected.iter().sum();
        for (got, wanted) in answer.area.iter().zip(&expected) {
            if (got - wanted).abs() > 1e-6 * wanted + 1e-7 * total {
                wrong.push(format!("{id}: {got} {wanted}"));
            }
        }
        let top = record["ridge_top"].as_f64().unwrap();
        if (answer.top - top).abs() > 1e-6 * top {
            wrong.push(format!("{id}: top {} {top}", answer.top));
        }
    }
    assert!(wrong.is_empty(), "{} of {count}:\n{}", wrong.len(), wrong.join("\n"));
}
