//! The solid of a roof as OBJ text: one group a face, z up, metres, places to the last digit of `f64`.

use crate::base::ids::FaceId;
use crate::roof::Roof;
use crate::roof::model::solid::Solid;
use std::fmt::Write;

/// The solid as OBJ text. Groups carry the faces' names with blanks as underscores; the walls below the outline and the
/// floor are the group `walls_and_floor`. The same roof gives the same bytes. O(triangles).
#[must_use]
pub fn obj(roof: &Roof, solid: &Solid, title: &str) -> String {
    let mut text = String::new();
    let title: String = title.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    // Writing to a string can't fail.
    let _ = writeln!(text, "# {title}\n# metres, z up");
    for place in &solid.positions {
        let _ = writeln!(text, "v {} {} {}", place.x + 0.0, place.y + 0.0, place.z + 0.0);
    }
    let groups = (0..roof.faces.len()).map(|index| Some(FaceId::new(index))).chain([None]);
    for group in groups {
        let triangles = solid.triangles.iter().zip(&solid.face_of).filter(|(_, face)| **face == group);
        let mut triangles = triangles.map(|(triangle, _)| triangle).peekable();
        if triangles.peek().is_none() {
            continue;
        }
        let name = group.map_or_else(|| "walls and floor".to_owned(), |face| roof.faces[face.index()].name());
        let name: String = name.chars().map(|c| if c.is_whitespace() || c.is_control() { '_' } else { c }).collect();
        let _ = writeln!(text, "g {name}");
        for [a, b, c] in triangles {
            let _ = writeln!(text, "f {} {} {}", a + 1, b + 1, c + 1);
        }
    }
    text
}
