//! New surveys of the recorded buildings: other building errors, cameras, lenses, readings and marks, seeded.
#![allow(dead_code)]

use super::cases::{Case, number, text};
use super::random::Random;
use nalgebra::{Matrix3, Point3, Rotation3, Vector3};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// Pixels of a point, x right, y down.
pub fn project(pose: (&Matrix3<f64>, &Point3<f64>), lens: [f64; 4], point: &Point3<f64>) -> Option<[f64; 2]> {
    let q = pose.0 * (point - pose.1);
    let (x, y) = (q.x / q.z, q.y / q.z);
    let gain = lens[0] * (1.0 + lens[3] * (x * x + y * y));
    (q.z > 1.0).then_some([lens[1] + gain * x, lens[2] + gain * y])
}

pub fn point(value: &Value) -> Point3<f64> {
    Point3::new(number(&value[0]), number(&value[1]), number(&value[2]))
}

pub fn matrix(value: &Value) -> Matrix3<f64> {
    Matrix3::from_fn(|i, j| number(&value[i][j]))
}

/// The building as designed: the recorded places without their errors of a centimetre. Corners stand on a grid of half
/// metres, ridges and valley feet follow from a pitch.
fn designed(case: &Case) -> BTreeMap<String, Point3<f64>> {
    let snap = |v: f64, step: f64| (v / step).round() * step;
    let recorded = case.json["truth"]["points"].as_object().unwrap();
    let mean_height = |names: &[&str]| names.iter().map(|n| number(&recorded[*n][2])).sum::<f64>() / names.len() as f64;
    let level = |name: &str| match name {
        "R1" | "R2" => mean_height(&["R1", "R2"]),
        "M1" | "M2" => mean_height(&["M1", "M2"]),
        "N" | "V" => mean_height(&["N", "V"]),
        low if low.chars().next().is_some_and(char::is_lowercase) => 0.0,
        _ => snap(number(&recorded["A"][2]), 0.1),
    };
    recorded
        .iter()
        .map(|(name, at)| {
            (name.clone(), Point3::new(snap(number(&at[0]), 0.5), snap(number(&at[1]), 0.5), level(name)))
        })
        .collect()
}

/// A survey drawn anew, in the recorded form, with the areas of its own true points.
pub fn draw(case: &Case, random: &mut Random) -> Value {
    let mut json = case.json.clone();
    // Building errors of 5 mm a coordinate, of which levels, planes and plumb lines see theirs.
    let mut points = designed(case);
    for at in points.values_mut() {
        *at += Vector3::new(random.normal(), random.normal(), random.normal()) * 0.005;
    }
    let priors = &case.json["priors"];
    let f = number(&priors["f"]) * (number(&priors["f_rel_sigma"]) * random.normal()).exp();
    let lens = [
        f,
        number(&priors["cx"]) + number(&priors["pp_sigma"]) * random.normal(),
        number(&priors["cy"]) + number(&priors["pp_sigma"]) * random.normal(),
        number(&priors["k1_sigma"]) * random.normal(),
    ];
    let cameras = case.json["truth"]["cameras"].as_array().unwrap();
    let photos: Vec<Value> = case.json["photos"]
        .as_array()
        .unwrap()
        .iter()
        .zip(cameras)
        .map(|(marks, camera)| {
            // Stands up to 1.5 m from the recorded place, looks up to some degrees elsewhere.
            let jitter = Vector3::new(random.signed(), random.signed(), 0.1 * random.signed());
            let centre = point(&camera["C"]) + jitter * 1.5;
            let turn = Rotation3::new(Vector3::new(random.normal(), random.normal(), random.normal()) * 0.03);
            let rotation = turn.into_inner() * matrix(&camera["R"]);
            let sigma = number(&case.json["sigma"]["mark_px"]);
            let mut seen = serde_json::Map::new();
            for name in marks.as_object().unwrap().keys() {
                let at = project((&rotation, &centre), lens, &points[name]).unwrap();
                seen.insert(name.clone(), json!(at.map(|v| v + sigma * random.normal())));
            }
            Value::Object(seen)
        })
        .collect();
    json["photos"] = Value::from(photos);
    let sigma = number(&case.json["sigma"]["tape"]);
    for tape in json["tapes"].as_array_mut().unwrap() {
        let way = points[&text(&tape["b"])] - points[&text(&tape["a"])];
        tape["length"] = json!(way.norm() + sigma * random.normal());
    }
    let mut areas = serde_json::Map::new();
    let mut normals = BTreeMap::new();
    for (face, ring) in case.json["faces"].as_object().unwrap() {
        let ring: Vec<Point3<f64>> = ring.as_array().unwrap().iter().map(|n| points[&text(n)]).collect();
        let normal = eavewright_core::base::polygon::vector_area(&ring);
        areas.insert(face.clone(), json!(normal.norm()));
        normals.insert(face.clone(), normal);
    }
    for reading in json["pitches"].as_array_mut().unwrap() {
        let normal = normals[&text(&reading["face"])];
        let pitch = normal.xy().norm().atan2(normal.z.abs());
        reading["angle"] = json!(pitch + number(&case.json["sigma"]["pitch"]) * random.normal());
    }
    json["truth"]["areas"] = Value::Object(areas);
    let places: serde_json::Map<String, Value> =
        points.iter().map(|(name, at)| (name.clone(), json!([at.x, at.y, at.z]))).collect();
    json["truth"]["points"] = Value::Object(places);
    json
}
