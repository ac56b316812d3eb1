//! `export`: the roof as a model, the kind by the file's ending.

use super::load::Stop;
use crate::roof::Roof;
use crate::roof::model::solid::Solid;
use crate::write::{cityjson, gltf, obj, stl};
use std::path::Path;

/// Endings and what they are, for messages.
pub const KINDS: &str = ".glb, .gltf, .obj, .stl or .city.json";

/// The datum models stand on, metres.
pub const DATUM: f64 = 0.0;

/// Checks a solid as it leaves: that of a roof with walls is closed, every edge run as often one way as the other.
///
/// # Errors
/// [`Stop::NoAnswer`] for one that is open: nothing of it is written.
pub fn check(roof: &Roof, solid: &Solid) -> Result<(), Stop> {
    if roof.feet.is_empty() || solid.is_closed() {
        return Ok(());
    }
    let message =
        "the solid of this roof does not close, so no model of it is written: blocks with overhangs are joined in \
                   a way that leaves a gap; the roof itself, its areas and its drawings are checked and hold"
            .to_owned();
    Err(Stop::NoAnswer { code: "solid-open", message })
}

/// The bytes of a model of a roof, of the kind its path's ending asks for.
///
/// # Errors
/// [`Stop::System`] for an ending that is no model.
pub fn model(roof: &Roof, solid: &Solid, title: &str, path: &Path) -> Result<Vec<u8>, Stop> {
    let name = path.file_name().unwrap_or_default().to_string_lossy().to_lowercase();
    let ends = |ending: &str| name.ends_with(ending);
    if ends(".glb") {
        Ok(gltf::glb(roof, solid, title))
    } else if ends(".gltf") {
        Ok(gltf::gltf(roof, solid, title).into_bytes())
    } else if ends(".obj") {
        Ok(obj::obj(roof, solid, title).into_bytes())
    } else if ends(".stl") {
        Ok(stl::stl(solid))
    } else if ends(".city.json") {
        Ok(cityjson::cityjson(roof, solid, title).into_bytes())
    } else {
        let message = format!("{}: the ending says no kind of model; expected {KINDS}", path.display());
        Err(Stop::System(message))
    }
}
