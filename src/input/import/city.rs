//! Roof surfaces of city models in `CityJSON` (1.0 to 2.0).

use super::Refusal;
use crate::job::imported::{Imported, LeftOut, Why};
use crate::wording::import as words;
use nalgebra::Point3;
use serde_json::Value;

/// Reads the roof surfaces of the finest geometry of each object. O(its bytes).
///
/// # Errors
/// What is no city model.
pub fn read(text: &str) -> Result<Imported, Refusal> {
    let model: Value = serde_json::from_str(text).map_err(|error| words::torn(&error.to_string()))?;
    if model["type"] != "CityJSON" {
        return Err(words::other_type(&model["type"].to_string(), "CityJSON"));
    }
    let three = |value: &Value, usual: f64| [0, 1, 2].map(|axis| value[axis].as_f64().unwrap_or(usual));
    let (scale, shift) = (three(&model["transform"]["scale"], 1.0), three(&model["transform"]["translate"], 0.0));
    let places: Vec<Point3<f64>> = (model["vertices"].as_array().into_iter().flatten())
        .map(|place| {
            let at = three(place, 0.0);
            Point3::from([0, 1, 2].map(|axis| at[axis] * scale[axis] + shift[axis]))
        })
        .collect();
    let mut imported = Imported::default();
    for (name, object) in model["CityObjects"].as_object().into_iter().flatten() {
        let level = |geometry: &&Value| match &geometry["lod"] {
            Value::String(level) => level.parse().unwrap_or(0.0),
            level => level.as_f64().unwrap_or(0.0),
        };
        let geometries = object["geometry"].as_array().into_iter().flatten();
        let Some(geometry) = geometries.max_by(|a, b| level(a).total_cmp(&level(b))) else { continue };
        object_of(name, geometry, &places, &mut imported);
    }
    Ok(imported)
}

fn object_of(name: &str, geometry: &Value, places: &[Point3<f64>], imported: &mut Imported) {
    let left_out = |why: Why| LeftOut { name: name.to_owned(), why };
    let (boundaries, values) = (&geometry["boundaries"], &geometry["semantics"]["values"]);
    let mut surfaces: Vec<(&Value, &Value)> = Vec::new();
    let depth = match geometry["type"].as_str() {
        Some("MultiSurface" | "CompositeSurface") => 0,
        Some("Solid") => 1,
        Some("MultiSolid" | "CompositeSolid") => 2,
        other => {
            imported.left_out.push(left_out(Why::Geometry(other.unwrap_or("none").to_owned())));
            return;
        }
    };
    gather(boundaries, values, depth, &mut surfaces);
    let kinds = &geometry["semantics"]["surfaces"];
    if kinds.as_array().is_none_or(Vec::is_empty) {
        imported.left_out.push(left_out(Why::NoSemantics));
        return;
    }
    let (mut others, mut count) = (0, 0);
    for (surface, value) in surfaces {
        let semantic = value.as_u64().map_or(&Value::Null, |at| &kinds[usize::try_from(at).unwrap_or(usize::MAX)]);
        if semantic["type"] != "RoofSurface" {
            others += 1;
            continue;
        }
        count += 1;
        let own = semantic["name"].as_str().map_or_else(|| format!("{name} {count}"), str::to_owned);
        let ring = |ring: &Value| -> Vec<Point3<f64>> {
            let numbers = ring.as_array().into_iter().flatten().filter_map(Value::as_u64);
            numbers.filter_map(|at| places.get(usize::try_from(at).ok()?).copied()).collect()
        };
        let rings: Vec<Vec<Point3<f64>>> = surface.as_array().into_iter().flatten().map(ring).collect();
        imported.add_face(&own, &rings);
    }
    if others > 0 {
        imported.left_out.push(left_out(Why::NotRoof(others)));
    }
}

/// Surfaces with their semantic values, from lists so deep.
fn gather<'a>(boundaries: &'a Value, values: &'a Value, depth: usize, found: &mut Vec<(&'a Value, &'a Value)>) {
    for (at, boundary) in boundaries.as_array().into_iter().flatten().enumerate() {
        let value = values.get(at).unwrap_or(&Value::Null);
        if depth == 0 {
            found.push((boundary, value));
        } else {
            gather(boundary, value, depth - 1, found);
        }
    }
}
