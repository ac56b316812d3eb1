//! The solid of a roof as OBJ text: one group a face and one for each thing that stands out of it, a material a kind, z up,
//! metres, places to the last digit of `f64`.

use super::facts::{BODY, Model, Paint};
use crate::base::ids::FaceId;
use std::fmt::Write;

/// The solid as OBJ text. Groups carry the faces' names with blanks as underscores; the walls below the outline and the
/// floor are the group `walls_and_floor`. `materials` is the name of the file that [`materials`] goes into, which
/// stands beside it. The same roof gives the same bytes. O(triangles).
#[must_use]
pub fn obj(model: &Model, materials: Option<&str>) -> String {
    let (roof, solid) = (model.roof(), model.solid);
    let mut text = String::new();
    let title: String = model.title.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    // Writing to a string can't fail.
    let _ = writeln!(text, "# {title}\n# metres, z up");
    if let Some(file) = materials {
        let _ = writeln!(text, "mtllib {}", word(file));
    }
    for place in &solid.positions {
        let _ = writeln!(text, "v {} {} {}", place.x + 0.0, place.y + 0.0, place.z + 0.0);
    }
    let mut groups: Vec<Vec<[u32; 3]>> = vec![Vec::new(); roof.faces.len() + 1];
    for (triangle, face) in solid.triangles.iter().zip(&solid.face_of) {
        groups[face.map_or(roof.faces.len(), FaceId::index)].push(*triangle);
    }
    for (group, triangles) in groups.iter().enumerate().filter(|(_, triangles)| !triangles.is_empty()) {
        let face = roof.faces.get(group);
        let _ = writeln!(text, "g {}", word(&face.map_or_else(|| BODY.to_owned(), crate::roof::Face::name)));
        if materials.is_some() {
            let paint = Paint::of(roof, face.map(|_| FaceId::new(group)));
            let _ = writeln!(text, "usemtl {}", word(paint.name()));
        }
        for [a, b, c] in triangles {
            let _ = writeln!(text, "f {} {} {}", a + 1, b + 1, c + 1);
        }
    }
    let mut first = solid.positions.len() + 1;
    for (name, part) in model.raised {
        let _ = writeln!(text, "g {}", word(name));
        if materials.is_some() {
            let _ = writeln!(text, "usemtl {}", word(Paint::Raised.name()));
        }
        for place in &part.positions {
            let _ = writeln!(text, "v {} {} {}", place.x + 0.0, place.y + 0.0, place.z + 0.0);
        }
        for [a, b, c] in part.triangles.iter().map(|triangle| triangle.map(|corner| corner as usize + first)) {
            let _ = writeln!(text, "f {a} {b} {c}");
        }
        first += part.positions.len();
    }
    text
}

/// The materials that [`obj`] names: a diffuse colour each.
#[must_use]
pub fn materials() -> String {
    let mut text = String::from("# colours of roof faces, walls above them, walls and floor, what stands out\n");
    for paint in [Paint::Roof, Paint::Wall, Paint::Body, Paint::Raised] {
        let [red, green, blue] = paint.colour().map(|part| f64::from(part) / 255.0);
        let _ = writeln!(text, "newmtl {}\nKd {red:.4} {green:.4} {blue:.4}\nillum 1", word(paint.name()));
    }
    text
}

/// A name as one word.
fn word(name: &str) -> String {
    name.chars().map(|c| if c.is_whitespace() || c.is_control() { '_' } else { c }).collect()
}
