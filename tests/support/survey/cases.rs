//! Reads a recorded photo survey into the model.
#![allow(dead_code)]

use eavewright_core::base::ids::{PlaneId, PointId};
use eavewright_core::survey::model::{
    AxisHint, Camera, FaceByPoints, Known, Mark, Measured, Observation, ObservationKind, Photo, Point, Survey,
};
use nalgebra::Vector3;
use serde_json::Value;

/// A recorded case.
pub struct Case {
    pub name: String,
    pub json: Value,
    pub survey: Survey,
}

pub fn text(value: &Value) -> String {
    value.as_str().unwrap().to_owned()
}

pub fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

pub fn read(path: &std::path::Path) -> Case {
    let json: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
    let survey = survey(&json);
    Case { name, json, survey }
}

pub fn all() -> Vec<Case> {
    let folder = crate::data("survey/photo");
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths.iter().map(|path| read(path)).collect()
}

fn camera(priors: &Value) -> Camera {
    Camera {
        name: String::from("phone"),
        focal: Measured { value: number(&priors["f"]), sigma: number(&priors["f_rel_sigma"]) },
        centre: [number(&priors["cx"]), number(&priors["cy"])],
        centre_sigma: number(&priors["pp_sigma"]),
        k1: Measured { value: number(&priors["k1"]), sigma: number(&priors["k1_sigma"]) },
        k2: Measured { value: 0.0, sigma: 0.0 },
    }
}

pub fn survey(json: &Value) -> Survey {
    let names: Vec<String> = json["truth"]["points"].as_object().unwrap().keys().cloned().collect();
    let point = |v: &Value| PointId::new(names.iter().position(|n| n == v.as_str().unwrap()).unwrap());
    let face_names: Vec<String> = json["faces"].as_object().unwrap().keys().cloned().collect();
    let face = |v: &Value| PlaneId::new(face_names.iter().position(|n| n == v.as_str().unwrap()).unwrap());
    let sigma = |key: &str| number(&json["sigma"][key]);
    let active: Vec<String> = list(&json["constraints"]["active"]).iter().map(text).collect();
    let on = |key: &str| active.iter().any(|a| a == key);
    let constraints = &json["constraints"];

    let mut observations = Vec::new();
    let mut add = |kind, sigma| observations.push(Observation { kind, sigma });
    for tape in list(&json["tapes"]) {
        let kind = ObservationKind::Tape {
            from: point(&tape["a"]),
            to: point(&tape["b"]),
            length: number(&tape["length"]),
            plan: false,
        };
        add(kind, sigma("tape"));
    }
    for reading in list(&json["pitches"]) {
        let kind = ObservationKind::PitchReading { face: face(&reading["face"]), pitch: number(&reading["angle"]) };
        add(kind, sigma("pitch"));
    }
    if on("level") {
        for group in list(&constraints["level"]) {
            add(ObservationKind::Level { points: list(group).iter().map(point).collect() }, sigma("level"));
        }
    }
    if on("plumb") {
        for pair in list(&constraints["plumb"]) {
            add(ObservationKind::Plumb { a: point(&pair[0]), b: point(&pair[1]) }, sigma("plumb"));
        }
    }
    if on("right") {
        for right in list(&constraints["right"]) {
            let arms = [point(&right["arms"][0]), point(&right["arms"][1])];
            add(ObservationKind::Square { at: point(&right["corner"]), arms }, sigma("right_angle"));
        }
    }
    if on("eq") {
        for pair in list(&constraints["equal_pitch"]) {
            add(ObservationKind::EqualPitch { faces: list(pair).iter().map(face).collect() }, sigma("equal_pitch"));
        }
    }
    if on("vplane") {
        for upright in list(&constraints["vertical_plane"]) {
            let over = [point(&upright["line"][0]), point(&upright["line"][1])];
            add(ObservationKind::Upright { point: point(&upright["point"]), over }, sigma("vertical_plane"));
        }
    }

    let faces = json["faces"]
        .as_object()
        .unwrap()
        .iter()
        .map(|(name, ring)| FaceByPoints {
            name: name.clone(),
            points: list(ring).iter().map(point).collect(),
            sigma: sigma("plane"),
        })
        .collect();
    let axes = list(&json["directions"])
        .iter()
        .map(|direction| {
            let along = match direction["axis"].as_str().unwrap() {
                "+x" => Vector3::x(),
                "-x" => -Vector3::x(),
                "+y" => Vector3::y(),
                "-y" => -Vector3::y(),
                "+z" => Vector3::z(),
                _ => -Vector3::z(),
            };
            AxisHint { from: point(&direction["a"]), to: point(&direction["b"]), along }
        })
        .collect();
    let photos = list(&json["photos"])
        .iter()
        .map(|marks| Photo {
            camera: 0,
            file: None,
            lines: Vec::new(),
            sheet: None,
            compass: None,
            plumb: Vec::new(),
            plumb_sigma: 1.0,
            size: [number(&json["image_size"][0]), number(&json["image_size"][1])],
            marks: marks
                .as_object()
                .unwrap()
                .iter()
                .map(|(name, at)| Mark {
                    point: point(&Value::from(name.as_str())),
                    at: [number(&at[0]), number(&at[1])],
                    sigma: sigma("mark_px"),
                })
                .collect(),
        })
        .collect();
    let points = names.iter().map(|name| Point { name: name.clone(), known: Known::Unknown }).collect();
    Survey { points, faces, observations, axes, cameras: vec![camera(&json["priors"])], photos }
}
