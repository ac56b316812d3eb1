//! The solid of a roof as `CityJSON` 2.0 (OGC 20-072r5): one building, its solid with a surface a face, in level of detail 2,
//! and as its parts, `BuildingInstallation`s, what stands out of it.

use super::facts::Model;
use super::polygons::{Polygon, faces_down, is_floor, polygons};
use crate::roof::FaceKind;
use crate::roof::model::solid::Solid;
use nalgebra::{Point3, Vector3};
use serde_json::{Map, Value, json};

/// Metres a step of a written coordinate: a micrometre, the smallest tolerance of any job.
const STEP: f64 = 1e-6;

/// A roof as one building of a city model.
#[derive(Clone, Debug, PartialEq)]
pub struct Building {
    /// The city object, its geometry's boundaries numbering `vertices`.
    pub object: Value,
    /// In steps from `origin`.
    pub vertices: Vec<[i64; 3]>,
    /// What vertices are counted from, metres.
    pub origin: [f64; 3],
    /// The lowest and the highest corner of its box, metres.
    pub extent: [f64; 6],
}

/// The solid as `CityJSON` text. Roof faces, walls, the floor and the undersides of overhangs are polygons that share
/// every corner, each with its semantic surface, which carries its name, areas and pitch. A roof without walls is
/// a `MultiSurface`. The same roof gives the same bytes. O(triangles).
#[must_use]
pub fn cityjson(model: &Model) -> String {
    let Building { mut object, mut vertices, origin, mut extent } = building(model);
    let mut objects = Map::new();
    let mut children = Vec::new();
    for (name, part) in model.raised {
        let first = vertices.len();
        vertices.extend(part.positions.iter().map(in_steps(Vector3::from(origin))));
        let high = part.positions.iter().map(|place| place.coords).reduce(|a, b| a.sup(&b)).unwrap_or_default();
        extent[5] = extent[5].max(high.z);
        // Under the roof's own name, so that no kind that a file gives is taken for the roof.
        let id = format!("{ROOF}/{name}");
        objects.insert(id.clone(), installation(name, part, first));
        children.push(id);
    }
    if !children.is_empty() {
        object["children"] = json!(children);
    }
    objects.insert(ROOF.to_owned(), object);
    let document = json!({
        "type": "CityJSON",
        "version": "2.0",
        "transform": { "scale": [STEP, STEP, STEP], "translate": origin },
        "metadata": { "title": model.title, "geographicalExtent": extent },
        "CityObjects": objects,
        "vertices": vertices,
    });
    let mut text = document.to_string();
    text.push('\n');
    text
}

/// The name of the roof's own city object.
const ROOF: &str = "roof";

/// What stands out of the roof, its corners numbered from `first`: standing against the building, so that the schema has it as
/// a part of it.
fn installation(name: &str, part: &Solid, first: usize) -> Value {
    let shifted = |ring: &Vec<u32>| ring.iter().map(|&at| at as usize + first).collect::<Vec<_>>();
    let shell: Vec<Vec<Vec<usize>>> =
        polygons(part).iter().map(|polygon| polygon.rings.iter().map(shifted).collect()).collect();
    json!({
        "type": "BuildingInstallation",
        "parents": [ROOF],
        "attributes": { "name": name },
        "geometry": [{ "type": "Solid", "lod": "2", "boundaries": [shell] }],
    })
}

/// The city object of a roof. O(triangles).
#[must_use]
pub fn building(model: &Model) -> Building {
    let solid = model.solid;
    let (low, high) = extent(solid);
    let polygons = polygons(solid);
    let (surfaces, values) = surfaces(model, &polygons, low.z);
    let shell: Vec<&Vec<Vec<u32>>> = polygons.iter().map(|polygon| &polygon.rings).collect();
    let (kind, boundaries, values) = if model.is_closed() {
        ("Solid", json!([shell]), json!([values]))
    } else {
        ("MultiSurface", json!(shell), json!(values))
    };
    let geometry = json!({
        "type": kind,
        "lod": "2",
        "boundaries": boundaries,
        "semantics": { "surfaces": surfaces, "values": values },
    });
    let mut attributes = model.of_whole();
    attributes.retain(|_, value| !value.is_null());
    Building {
        object: json!({ "type": "Building", "attributes": attributes, "geometry": [geometry] }),
        vertices: solid.positions.iter().map(written(solid)).collect(),
        origin: low.map(f64::floor).into(),
        extent: [low.x, low.y, low.z, high.x, high.y, high.z],
    }
}

fn extent(solid: &Solid) -> (Vector3<f64>, Vector3<f64>) {
    let places = || solid.positions.iter().map(|place| place.coords);
    let low = places().reduce(|a, b| a.inf(&b)).unwrap_or_default();
    (low, places().reduce(|a, b| a.sup(&b)).unwrap_or_default())
}

/// Places of a solid as the file has them, so that what it holds can be checked.
pub fn written(solid: &Solid) -> impl Fn(&Point3<f64>) -> [i64; 3] + use<> {
    in_steps(extent(solid).0.map(f64::floor))
}

/// Places counted in steps from an origin.
fn in_steps(origin: Vector3<f64>) -> impl Fn(&Point3<f64>) -> [i64; 3] {
    #[allow(clippy::cast_possible_truncation)]
    move |place| <[f64; 3]>::from(place.coords - origin).map(|value| (value / STEP).round() as i64)
}

/// The semantic surfaces, those of faces first, and which of them each polygon is.
fn surfaces(model: &Model, polygons: &[Polygon], lowest: f64) -> (Vec<Value>, Vec<usize>) {
    let faces = &model.roof().faces;
    let mut surfaces: Vec<Value> = (faces.iter().enumerate())
        .map(|(at, face)| {
            let kind = if face.kind == FaceKind::Roof { "RoofSurface" } else { "WallSurface" };
            let mut surface = Map::from_iter([("type".to_owned(), Value::from(kind))]);
            surface.extend(model.of_face(crate::base::ids::FaceId::new(at)));
            surface.remove("kind");
            surface.remove("sides");
            surface.retain(|_, value| !value.is_null());
            Value::Object(surface)
        })
        .collect();
    let mut places = [None; 3];
    let mut values = Vec::with_capacity(polygons.len());
    for polygon in polygons {
        let value = polygon.face.map_or_else(
            || {
                let (place, kind) = if is_floor(model.solid, polygon, lowest) {
                    (0, "GroundSurface")
                } else if faces_down(polygon) {
                    (1, "OuterCeilingSurface")
                } else {
                    (2, "WallSurface")
                };
                *places[place].get_or_insert_with(|| {
                    surfaces.push(json!({ "type": kind }));
                    surfaces.len() - 1
                })
            },
            crate::base::ids::FaceId::index,
        );
        values.push(value);
    }
    (surfaces, values)
}
