//! The solid of a roof as `CityJSON` 2.0 (OGC 20-072r5): one building, its solid with a surface a face.

use crate::base::ids::FaceId;
use crate::roof::model::solid::Solid;
use crate::roof::{FaceKind, Roof};
use nalgebra::{Point3, Vector3};
use serde_json::{Map, Value, json};

/// Metres a step of a written coordinate: a micrometre, the smallest tolerance of any job.
const STEP: f64 = 1e-6;

/// The solid as `CityJSON` text. Faces are written as the triangles of the solid, so that walls and faces share every
/// corner; the semantic surface of a face is one, with its name, area and pitch, for all its triangles. A roof without
/// walls is a `MultiSurface`. The same roof gives the same bytes. O(triangles).
#[must_use]
pub fn cityjson(roof: &Roof, solid: &Solid, title: &str) -> String {
    let low = lowest(solid);
    let high = solid.positions.iter().map(|place| place.coords).reduce(|a, b| a.sup(&b)).unwrap_or_default();
    let origin = low.map(f64::floor);
    let vertices: Vec<[i64; 3]> = solid.positions.iter().map(written(solid)).collect();
    let shell: Vec<[[u32; 3]; 1]> = solid.triangles.iter().map(|triangle| [*triangle]).collect();
    let values: Vec<usize> = (solid.triangles.iter().zip(&solid.face_of))
        .map(|(triangle, face)| {
            face.map_or_else(|| roof.faces.len() + usize::from(is_floor(solid, triangle)), FaceId::index)
        })
        .collect();
    let is_closed = !roof.feet.is_empty();
    let (kind, boundaries, values) = if is_closed {
        ("Solid", json!([shell]), json!([values]))
    } else {
        ("MultiSurface", json!(shell), json!(values))
    };
    let mut surfaces = surfaces(roof);
    if is_closed {
        surfaces.extend([json!({ "type": "WallSurface" }), json!({ "type": "GroundSurface" })]);
    }
    let area = f64::from(roof.total_area());
    let geometry = json!({
        "type": kind,
        "lod": "2",
        "boundaries": boundaries,
        "semantics": { "surfaces": surfaces, "values": values },
    });
    let document = json!({
        "type": "CityJSON",
        "version": "2.0",
        "transform": { "scale": [STEP, STEP, STEP], "translate": three(&origin) },
        "metadata": { "title": title, "geographicalExtent": [low.x, low.y, low.z, high.x, high.y, high.z] },
        "CityObjects": {
            "roof": {
                "type": "Building",
                "attributes": { "roof_area": area, "roof_height": roof.ridge_height() },
                "geometry": [geometry],
            },
        },
        "vertices": vertices,
    });
    let mut text = document.to_string();
    text.push('\n');
    text
}

fn lowest(solid: &Solid) -> Vector3<f64> {
    solid.positions.iter().map(|place| place.coords).reduce(|a, b| a.inf(&b)).unwrap_or_default()
}

/// Places of a solid as the file has them, so that what it holds can be checked.
pub fn written(solid: &Solid) -> impl Fn(&Point3<f64>) -> [i64; 3] + use<> {
    let origin = lowest(solid).map(f64::floor);
    #[allow(clippy::cast_possible_truncation)]
    move |place| <[f64; 3]>::from(place.coords - origin).map(|value| (value / STEP).round() as i64)
}

fn surfaces(roof: &Roof) -> Vec<Value> {
    let surface = |face: &crate::roof::Face| {
        let mut surface = Map::new();
        let kind = if face.kind == FaceKind::Roof { "RoofSurface" } else { "WallSurface" };
        surface.insert("type".into(), kind.into());
        surface.insert("name".into(), face.name().as_str().into());
        surface.insert("area".into(), f64::from(roof.area(face)).into());
        surface.insert("pitch".into(), face.plane.pitch().to_degrees().into());
        Value::Object(surface)
    };
    roof.faces.iter().map(surface).collect()
}

/// Whether a triangle of the body faces down.
fn is_floor(solid: &Solid, triangle: &[u32; 3]) -> bool {
    let [a, b, c] = triangle.map(|corner| solid.positions[corner as usize]);
    let normal = (b - a).cross(&(c - a));
    normal.z < -0.5 * normal.norm()
}

fn three(v: &Vector3<f64>) -> [f64; 3] {
    [v.x, v.y, v.z]
}
