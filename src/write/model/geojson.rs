//! The roof's faces in plan as `GeoJSON`: a polygon a face, in the metres of the site plan.
//!
//! RFC 7946 knows degrees alone; a site plan has an origin of its own, which the member `crs` says by `null`, as the
//! format's earlier edition (2008) lays down for places that belong to no known system. Heights stand as third numbers.

use super::facts::Model;
use crate::base::ids::FaceId;
use nalgebra::Point3;
use serde_json::{Value, json};

/// The faces as `GeoJSON` text: outer rings anticlockwise seen from above, holes clockwise. Walls, which have no plan, are
/// left out. The same roof gives the same bytes. O(corners).
#[must_use]
pub fn geojson(model: &Model) -> String {
    let roof = model.roof();
    let feature = |(id, face): (FaceId, &crate::roof::Face)| {
        let rings = std::iter::once(roof.ring(face)).chain(roof.holes(face));
        let rings: Vec<Vec<[f64; 3]>> = rings.map(|ring| closed(&ring)).collect();
        json!({
            "type": "Feature",
            "id": face.name(),
            "properties": model.of_face(id),
            "geometry": { "type": "Polygon", "coordinates": rings },
        })
    };
    let features: Vec<Value> = roof.roof_faces().map(feature).collect();
    let document = json!({
        "type": "FeatureCollection",
        "name": model.title,
        "crs": null,
        "units": "m",
        "properties": model.of_whole(),
        "features": features,
    });
    let mut text = document.to_string();
    text.push('\n');
    text
}

fn closed(ring: &[Point3<f64>]) -> Vec<[f64; 3]> {
    ring.iter().chain(ring.first()).map(|place| [place.x + 0.0, place.y + 0.0, place.z + 0.0]).collect()
}
