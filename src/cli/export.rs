//! `export`: the roof as a model, the kind by the file's ending.

use super::load::Stop;
use crate::roof::Roof;
use crate::roof::kernel::shell::{self, SolidFault, manifold};
use crate::roof::model::solid::Solid;
use crate::write::{cityjson, gltf, obj, stl};
use std::path::Path;

/// Endings and what they are, for messages.
pub const KINDS: &str = ".glb, .gltf, .obj, .stl or .city.json";

/// The datum models stand on, metres.
pub const DATUM: f64 = 0.0;

/// The bytes of a model of a roof, of the kind its path's ending asks for. What it holds is checked as a reader of the file
/// will have it: within walls closed, every edge between two triangles, of the roof's volume.
///
/// # Errors
/// [`Stop::System`] for an ending that is no model, [`Stop::NoAnswer`] for what is no solid: nothing of it is written.
pub fn model(roof: &Roof, title: &str, path: &Path) -> Result<Vec<u8>, Stop> {
    type Write = fn(&Roof, &Solid, &str) -> Vec<u8>;
    type Check = fn(&Solid) -> Result<(), SolidFault>;
    let kinds: [(&str, Write, Check); 5] = [
        (
            ".glb",
            |roof, solid, title| gltf::glb(roof, solid, title),
            |solid| manifold::check(solid, gltf::written(solid)),
        ),
        (
            ".gltf",
            |roof, solid, title| gltf::gltf(roof, solid, title).into_bytes(),
            |solid| manifold::check(solid, gltf::written(solid)),
        ),
        // Places stand in the file to their last digit.
        (".obj", |roof, solid, title| obj::obj(roof, solid, title).into_bytes(), |_| Ok(())),
        (".stl", |_, solid, _| stl::stl(solid), |solid| manifold::check(solid, stl::written(solid))),
        (
            ".city.json",
            |roof, solid, title| cityjson::cityjson(roof, solid, title).into_bytes(),
            |solid| manifold::check(solid, cityjson::written(solid)),
        ),
    ];
    let name = path.file_name().unwrap_or_default().to_string_lossy().to_lowercase();
    let Some((_, write, check)) = kinds.into_iter().find(|(ending, ..)| name.ends_with(ending)) else {
        let message = format!("{}: the ending says no kind of model; expected {KINDS}", path.display());
        return Err(Stop::System(message));
    };
    let solid = shell::solid(roof, DATUM).map_err(|fault| not_solid(&fault))?;
    if !roof.feet.is_empty() {
        check(&solid).map_err(|fault| not_solid(&fault))?;
    }
    Ok(write(roof, &solid, title))
}

/// Why no model is written, in words.
fn not_solid(fault: &SolidFault) -> Stop {
    let what = match fault {
        SolidFault::Edge { from, to, .. } => format!(
            "the edge from ({:.3}, {:.3}, {:.3}) to ({:.3}, {:.3}, {:.3}) m is not between two faces",
            from.x, from.y, from.z, to.x, to.y, to.z
        ),
        SolidFault::Volume { expected, found } => {
            format!("it would hold {found:.6} m³ where the roof and its overhangs have {expected:.6} m³")
        }
    };
    let message = format!(
        "the model of this roof is no solid, so none is written: {what}; the roof itself, its areas and its drawings are \
         checked and hold"
    );
    Stop::NoAnswer { code: "solid-open", message }
}
