//! The solid of a roof as 3MF (core specification 1.3 of its consortium, ISO/IEC 25422:2025): one object, its triangles
//! coloured by what they are, and one for each thing that stands out of it, in a package of three parts.

use super::facts::{Model, Paint};
use crate::base::ids::FaceId;
use crate::roof::model::solid::Solid;
use crate::write::package::Package;
use crate::write::svg::escape;
use nalgebra::Vector3;
use std::fmt::Write;
use std::io;

const TYPES: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\">\
<Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/>\
<Default Extension=\"model\" ContentType=\"application/vnd.ms-package.3dmanufacturing-3dmodel+xml\"/>\
</Types>";

const RELATIONS: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">\
<Relationship Target=\"/3D/3dmodel.model\" Id=\"rel0\" \
Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\"/></Relationships>";

/// What a number of the file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// The building in its own size.
    Metre,
    /// A scaled print.
    Millimetre,
}

/// The solid as 3MF, its places as they are, in the unit said. Places are written to their last digit, relative to the
/// lowest corner of the solid's box, as the format asks for places above zero. Precondition: the solid is closed. The same
/// roof gives the same bytes. O(triangles).
///
/// # Errors
/// What the compressor says.
pub fn threemf(model: &Model, unit: Unit) -> io::Result<Vec<u8>> {
    let mut package = Package::default();
    package.add("[Content_Types].xml", TYPES.as_bytes(), true)?;
    package.add("_rels/.rels", RELATIONS.as_bytes(), true)?;
    package.add("3D/3dmodel.model", content(model, unit).as_bytes(), true)?;
    Ok(package.finish())
}

fn content(model: &Model, unit: Unit) -> String {
    let (roof, solid) = (model.roof(), model.solid);
    let unit = match unit {
        Unit::Metre => "meter",
        Unit::Millimetre => "millimeter",
    };
    let title = escape(model.title);
    let mut text = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model unit=\"{unit}\" xml:lang=\"en-US\" \
         xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\
         <metadata name=\"Title\">{title}</metadata><metadata name=\"Application\">eavewright</metadata>\
         <resources><basematerials id=\"1\">"
    );
    let paints = [Paint::Roof, Paint::Wall, Paint::Body, Paint::Raised];
    for paint in paints {
        let [red, green, blue] = paint.colour();
        // Writing to a string can't fail.
        let _ = write!(text, "<base name=\"{}\" displaycolor=\"#{red:02X}{green:02X}{blue:02X}\"/>", paint.name());
    }
    text.push_str("</basematerials>");
    let low = solid.positions.iter().map(|place| place.coords).reduce(|a, b| a.inf(&b)).unwrap_or_default();
    let own = |face| {
        let paint = Paint::of(roof, face);
        paints.iter().position(|known| *known == paint).unwrap_or(2)
    };
    object(&mut text, (2, &title), (solid, &low), own);
    for (id, (name, part)) in (3..).zip(model.raised) {
        object(&mut text, (id, &escape(name)), (part, &low), |_| paints.len() - 1);
    }
    text.push_str("</resources><build>");
    for id in 2..3 + model.raised.len() {
        let _ = write!(text, "<item objectid=\"{id}\"/>");
    }
    text.push_str("</build></model>");
    text
}

/// Adds an object of a mesh, its places relative to `low`, each triangle of its material.
fn object(
    text: &mut String,
    (id, name): (usize, &str),
    (solid, low): (&Solid, &Vector3<f64>),
    material: impl Fn(Option<FaceId>) -> usize,
) {
    let _ = write!(text, "<object id=\"{id}\" type=\"model\" name=\"{name}\" pid=\"1\" pindex=\"2\"><mesh><vertices>");
    for place in &solid.positions {
        let at = place.coords - low;
        let _ = write!(text, "<vertex x=\"{}\" y=\"{}\" z=\"{}\"/>", at.x + 0.0, at.y + 0.0, at.z + 0.0);
    }
    text.push_str("</vertices><triangles>");
    for ([a, b, c], face) in solid.triangles.iter().zip(&solid.face_of) {
        let material = material(*face);
        let _ = write!(text, "<triangle v1=\"{a}\" v2=\"{b}\" v3=\"{c}\" pid=\"1\" p1=\"{material}\"/>");
    }
    text.push_str("</triangles></mesh></object>");
}
