//! Faces and edges of a roof as one table of comma-separated values (RFC 4180): lengths in metres, areas in square metres,
//! angles in degrees.

use super::facts::Model;
use crate::base::ids::{EdgeId, FaceId};
use crate::write::spreadsheet::{csv_records, harmless};
use serde_json::{Map, Value};
use std::borrow::Cow;

/// The heads: keys of the facts of faces and edges, `what` before them, ends of edges after.
const KEYS: [&str; 15] = [
    "name",
    "id",
    "kind",
    "block",
    "area",
    "area_sd",
    "plan_area",
    "openings_area",
    "net_area",
    "pitch",
    "aspect",
    "length",
    "plan_length",
    "slope",
    "faces",
];
const ENDS: [&str; 6] = ["from_x", "from_y", "from_z", "to_x", "to_y", "to_z"];

/// The table: a row a face, then a row an edge. Numbers have a point and all their digits; what is not determined is blank.
///
/// # Errors
/// What the writer of records says.
pub fn csv(model: &Model) -> Result<String, csv::Error> {
    let roof = model.roof();
    let heads = std::iter::once("what").chain(KEYS).chain(ENDS).map(Cow::from).collect();
    let faces = (0..roof.faces.len()).map(|at| record("face", &model.of_face(FaceId::new(at)), None));
    let edges = roof.edges.iter().enumerate().map(|(at, edge)| {
        let ends = [roof.at(edge.from), roof.at(edge.to)].map(|place| [place.x, place.y, place.z]);
        record("edge", &model.of_edge(EdgeId::new(at)), Some(ends))
    });
    csv_records(std::iter::once(heads).chain(faces).chain(edges))
}

fn record(what: &'static str, facts: &Map<String, Value>, ends: Option<[[f64; 3]; 2]>) -> Vec<Cow<'static, str>> {
    let cell = |key: &str| match facts.get(key) {
        Some(Value::String(words)) => harmless(words).into(),
        Some(Value::Number(number)) => number.to_string().into(),
        Some(Value::Array(names)) => {
            let names: Vec<&str> = names.iter().filter_map(Value::as_str).collect();
            harmless(&names.join("; ")).into()
        }
        _ => Cow::from(""),
    };
    let ends = ends.map_or_else(
        || vec![Cow::from(""); ENDS.len()],
        |ends| ends.into_iter().flatten().map(|place| format!("{}", place + 0.0).into()).collect(),
    );
    std::iter::once(Cow::from(what)).chain(KEYS.into_iter().map(cell)).chain(ends).collect()
}
