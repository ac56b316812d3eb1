//! `export`: the roof as a model, the kind by the file's ending.

use super::load::Stop;
use crate::job::Job;
use crate::job::answer::Answer;
use crate::job::building;
use crate::roof::Roof;
use crate::roof::kernel::shell::{self, SolidFault, manifold};
use crate::roof::model::solid::Solid;
use crate::wording::model as words;
use crate::write::dxf;
use crate::write::model::threemf::Unit;
use crate::write::model::{Model, cityjson, csv, geojson, gltf, ifc, obj, stl, threemf};
use std::path::{Path, PathBuf};

/// The datum models stand on, metres.
pub const DATUM: f64 = 0.0;

/// How thick an overhang is printed at least, millimetres of the print: common practice, no source.
const PRINTED_SHEET: f64 = 1.2;

/// A kind of model.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Glb,
    Gltf,
    Obj,
    Stl,
    ThreeMf,
    CityJson,
    Ifc,
    Dxf,
    Csv,
    GeoJson,
}

/// Kinds by the endings of their names, all of which are told of a name with none of them.
const KINDS: [(&str, Kind); 10] = [
    (".glb", Kind::Glb),
    (".gltf", Kind::Gltf),
    (".obj", Kind::Obj),
    (".stl", Kind::Stl),
    (".3mf", Kind::ThreeMf),
    (".city.json", Kind::CityJson),
    (".ifc", Kind::Ifc),
    (".dxf", Kind::Dxf),
    (".csv", Kind::Csv),
    (".geojson", Kind::GeoJson),
];

/// How a model is printed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Print {
    /// How many times smaller than the building, 50 for 1:50; `None`: in its own size.
    pub scale: Option<f64>,
    /// The roof alone, on a plate as thick as this beneath its lowest eave, metres of the print; `None`: the whole building
    /// down to the datum.
    pub base: Option<f64>,
}

/// A file by its path and its bytes.
pub type Written = (PathBuf, Vec<u8>);

/// The files of a model of a roof, of the kind its path's ending asks for: the model itself, and beside an OBJ its
/// materials. What it holds is checked as a reader of the file will have it: within walls closed, every edge between two
/// triangles, of the roof's volume.
///
/// # Errors
/// [`Stop::System`] for an ending that is no model or one that is not printed, [`Stop::NoAnswer`] for what is no solid:
/// nothing of it is written.
pub fn model(job: &Job, answer: &Answer, path: &Path, print: &Print) -> Result<Vec<Written>, Stop> {
    let name = path.file_name().unwrap_or_default().to_string_lossy().to_lowercase();
    let Some((_, kind)) = KINDS.into_iter().find(|(ending, _)| name.ends_with(ending)) else {
        return Err(Stop::System(words::no_kind(&path.display().to_string(), &KINDS.map(|(ending, _)| ending))));
    };
    let is_printed = *print != Print::default();
    if is_printed && !matches!(kind, Kind::Stl | Kind::ThreeMf) {
        return Err(Stop::System(words::not_printed(&path.display().to_string())));
    }
    let roof = &answer.roof;
    if roof.feet.is_empty() && (is_printed || kind == Kind::ThreeMf) {
        return Err(Stop::NoAnswer { code: "solid-open", message: words::no_walls().to_owned() });
    }
    let mut solid = solid(roof, print).map_err(|fault| not_solid(&fault))?;
    let mut raised = building::raised_solids(&answer.building);
    if let Some(scale) = print.scale {
        on_its_bed(&mut solid, &mut raised, scale);
    }
    let model = Model::of(job, answer, &solid, &raised);
    if model.is_closed() {
        for part in std::iter::once(&solid).chain(raised.iter().map(|(_, part)| part)) {
            check(kind, &solid, part).map_err(|fault| not_solid(&fault))?;
        }
    }
    let system = |error: &dyn std::error::Error| Stop::System(format!("{}: {error}", path.display()));
    let bytes = match kind {
        Kind::Glb => gltf::glb(&model),
        Kind::Gltf => gltf::gltf(&model).into_bytes(),
        Kind::Obj => {
            let beside = path.with_extension("mtl");
            let materials = beside.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let text = obj::obj(&model, Some(&materials));
            return Ok(vec![(path.to_path_buf(), text.into_bytes()), (beside, obj::materials().into_bytes())]);
        }
        Kind::Stl => stl::stl(&solid, &raised),
        Kind::ThreeMf => {
            let unit = if print.scale.is_some() { Unit::Millimetre } else { Unit::Metre };
            threemf::threemf(&model, unit).map_err(|error| system(&error))?
        }
        Kind::CityJson => cityjson::cityjson(&model).into_bytes(),
        Kind::Ifc => ifc::ifc(&model).into_bytes(),
        Kind::Dxf => dxf::roof(roof, &solid, &raised, dxf::unit_for(job.units)).into_bytes(),
        Kind::Csv => csv::csv(&model).map_err(|error| system(&error))?.into_bytes(),
        Kind::GeoJson => geojson::geojson(&model).into_bytes(),
    };
    Ok(vec![(path.to_path_buf(), bytes)])
}

/// The verified solid in the building's own size, as thick as what is printed of it must be.
fn solid(roof: &Roof, print: &Print) -> Result<Solid, SolidFault> {
    if *print == Print::default() {
        return shell::solid(roof, DATUM);
    }
    let scale = print.scale.unwrap_or(1.0);
    let lowest = roof.corners.iter().map(|corner| corner.z).fold(f64::INFINITY, f64::min);
    let datum = print.base.map_or(DATUM, |base| lowest - base * scale);
    let sheet = shell::thickness(roof).max(PRINTED_SHEET / 1000.0 * scale);
    shell::solid_with_sheets(roof, datum, if print.scale.is_some() { sheet } else { shell::thickness(roof) })
}

/// Puts a solid and what stands out of it on the bed of a printer, in millimetres.
fn on_its_bed(solid: &mut Solid, raised: &mut [(String, Solid)], scale: f64) {
    let corners = solid.positions.iter().map(|place| place.coords);
    let low = corners.reduce(|a, b| a.inf(&b)).unwrap_or_default();
    for part in std::iter::once(solid).chain(raised.iter_mut().map(|(_, part)| part)) {
        for place in &mut part.positions {
            *place = nalgebra::Point3::from((place.coords - low) * (1000.0 / scale));
        }
    }
}

/// Checks a part of a model as the reader of a file will have it, whose places are counted from where the whole lies. Kinds that hold places to their last digit hold the solid that was
/// checked when it was made.
fn check(kind: Kind, whole: &Solid, part: &Solid) -> Result<(), SolidFault> {
    match kind {
        Kind::Glb | Kind::Gltf => manifold::check(part, gltf::written(whole)),
        Kind::Stl => manifold::check(part, stl::written(whole)),
        Kind::CityJson => manifold::check(part, cityjson::written(whole)),
        Kind::Obj | Kind::ThreeMf | Kind::Ifc | Kind::Dxf | Kind::Csv | Kind::GeoJson => Ok(()),
    }
}

/// Why no model is written, in words.
fn not_solid(fault: &SolidFault) -> Stop {
    let message = match fault {
        SolidFault::Edge { from, to, .. } => words::open_edge([from.x, from.y, from.z], [to.x, to.y, to.z]),
        SolidFault::Volume { expected, found } => words::other_volume(*expected, *found),
    };
    Stop::NoAnswer { code: "solid-open", message }
}
