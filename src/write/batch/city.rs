//! Answers as a sequence of city model features (`CityJSONSeq` of `CityJSON` 2.0): a head, then one building a line.
//!
//! A city model has one transform for all its places, in metres. So places of a grid are written as they are, and those in
//! degrees about the middle of their own outline, which its attributes name.

use super::{Answered, SolvedOutline, id};
use crate::base::finding::Finding as _;
use crate::base::ids::FaceId;
use crate::roof::model::solid;
use crate::roof::{Face, FaceKind, Roof};
use crate::wording::batch::reason;
use crate::write::model::polygons::{Polygon, faces_down, polygons};
use serde_json::{Value, json};
use std::io;

/// Metres a step of a written place: a tenth of a millimetre.
const STEP: f64 = 1e-4;

/// The first line of a sequence.
#[must_use]
pub fn head() -> Vec<u8> {
    let head = json!({
        "type": "CityJSON",
        "version": "2.0",
        "transform": { "scale": [STEP, STEP, STEP], "translate": [0.0, 0.0, 0.0] },
        "CityObjects": {},
        "vertices": [],
    });
    format!("{head}\n").into_bytes()
}

/// Adds an answer as one line; one without a roof as a building without geometry, which says why. O(corners).
///
/// # Errors
/// What the writer says.
pub fn write(out: &mut Vec<u8>, answered: &Answered) -> io::Result<()> {
    let own: Value = serde_json::from_str(id(answered))?;
    // Names in a city model are texts and unique, as lines are.
    let name = format!("line-{}", answered.line);
    let mut vertices = Vec::new();
    let mut attributes = json!({ "id": own, "line": answered.line, "ok": answered.roof.is_ok() });
    let geometry = match &answered.roof {
        Ok(solved) => {
            let sums = &solved.sums;
            attributes["roof_area"] = sums.area.into();
            attributes["plan_area"] = sums.plan_area.into();
            attributes["roof_height"] = sums.ridge_height.into();
            if solved.is_degrees {
                attributes["origin"] = json!(solved.frame.origin);
            }
            vec![geometry(solved, &mut vertices)]
        }
        Err(fault) => {
            attributes["error"] = json!({ "code": fault.code(), "reason": reason(fault) });
            Vec::new()
        }
    };
    let mut object = json!({ "type": "Building", "attributes": attributes });
    if !geometry.is_empty() {
        object["geometry"] = geometry.into();
    }
    let feature = json!({
        "type": "CityJSONFeature",
        "id": name,
        "CityObjects": { name.as_str(): object },
        "vertices": vertices,
    });
    serde_json::to_writer(&mut *out, &feature)?;
    out.push(b'\n');
    Ok(())
}

/// The solid of the roof and its walls down to the datum, a surface a face.
fn geometry(solved: &SolvedOutline, vertices: &mut Vec<[i64; 3]>) -> Value {
    let roof: &Roof = &solved.roof;
    let solid = solid::build(roof, 0.0);
    let shift = if solved.is_degrees { [0.0; 2] } else { solved.frame.origin };
    vertices.extend(solid.positions.iter().map(|place| {
        #[allow(clippy::cast_possible_truncation)]
        [place.x + shift[0], place.y + shift[1], place.z].map(|part| (part / STEP).round() as i64)
    }));
    let surface = |face: &Face| {
        let kind = if face.kind == FaceKind::Roof { "RoofSurface" } else { "WallSurface" };
        let pitch = face.plane.pitch().to_degrees();
        json!({ "type": kind, "name": face.name(), "area": roof.area(face).0, "pitch": pitch })
    };
    let mut surfaces: Vec<Value> = roof.faces.iter().map(surface).collect();
    surfaces.extend([json!({ "type": "WallSurface" }), json!({ "type": "GroundSurface" })]);
    let polygons = polygons(&solid);
    let value = |polygon: &Polygon| {
        polygon.face.map_or_else(|| roof.faces.len() + usize::from(faces_down(polygon)), FaceId::index)
    };
    let values: Vec<usize> = polygons.iter().map(value).collect();
    let shell: Vec<Vec<Vec<u32>>> = polygons.into_iter().map(|polygon| polygon.rings).collect();
    json!({
        "type": "Solid",
        "lod": "2",
        "boundaries": [shell],
        "semantics": { "surfaces": surfaces, "values": [values] },
    })
}
