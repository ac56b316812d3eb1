//! The solid of a roof as binary STL: z up, metres. The format has no names and no units, and holds `f32` only, so
//! places are written relative to the solid's lowest corner of its box when the site lies far from its origin. A solid to
//! be printed is scaled before it comes here; its numbers are then millimetres.

use crate::roof::model::solid::Solid;
use nalgebra::{Point3, Vector3};

/// Beyond this distance from the origin, metres, an `f32` no longer keeps a hundredth of a millimetre.
const NEAR: f64 = 128.0;

/// The solid as binary STL, and after it what stands out of it, each a closed solid of its own that stands within the first:
/// what prints them takes them together. The same solids give the same bytes. O(triangles).
#[must_use]
pub fn stl(solid: &Solid, raised: &[(String, Solid)]) -> Vec<u8> {
    let origin = origin_of(&solid.positions);
    let mut bytes = vec![0_u8; 80];
    // The header must not start with "solid", which is how text STL is told.
    let header = b"roof and walls, metres, z up";
    bytes[..header.len()].copy_from_slice(header);
    let written = written(solid);
    // What comes to a line in the file's digits is no triangle.
    let has_extent = |triangle: &[Point3<f64>; 3]| {
        let [a, b, c] = triangle.each_ref().map(&written);
        a != b && b != c && c != a
    };
    let parts = std::iter::once(solid).chain(raised.iter().map(|(_, part)| part));
    let all = parts.flat_map(|part| part.triangles.iter().map(|t| t.map(|corner| part.positions[corner as usize])));
    let triangles: Vec<[Point3<f64>; 3]> = all.filter(has_extent).collect();
    bytes.extend_from_slice(&u32::try_from(triangles.len()).unwrap_or(u32::MAX).to_le_bytes());
    for corners in triangles {
        let normal = (corners[1] - corners[0]).cross(&(corners[2] - corners[0]));
        push(&mut bytes, &normal.try_normalize(0.0).unwrap_or_default());
        for corner in corners {
            push(&mut bytes, &(corner.coords - origin));
        }
        bytes.extend_from_slice(&[0, 0]);
    }
    bytes
}

/// Places of a solid as the file has them, so that what it holds can be checked.
pub fn written(solid: &Solid) -> impl Fn(&Point3<f64>) -> [u32; 3] + use<> {
    let origin = origin_of(&solid.positions);
    #[allow(clippy::cast_possible_truncation)]
    move |place| <[f64; 3]>::from(place.coords - origin).map(|value| (value as f32 + 0.0).to_bits())
}

fn origin_of(places: &[Point3<f64>]) -> Vector3<f64> {
    if places.iter().all(|place| place.coords.amax() <= NEAR) {
        return Vector3::zeros();
    }
    places.iter().map(|place| place.coords).reduce(|low, place| low.inf(&place)).unwrap_or_default()
}

#[allow(clippy::cast_possible_truncation)]
fn push(bytes: &mut Vec<u8>, v: &Vector3<f64>) {
    for c in [v.x, v.y, v.z] {
        bytes.extend_from_slice(&(c as f32 + 0.0).to_le_bytes());
    }
}
