//! Drawings and roofs as DXF in real size, in metres or another unit that the header names, a layer for each kind of edge.
//!
//! Release 12 of the published DXF reference, the dialect every reader knows: header, tables of line types, layers and
//! one text style, a block for the ink of each dimension, then LINE, POLYLINE, SOLID, TEXT and DIMENSION entities, and in paper
//! space the sheet (`dxf_paper`). Letters beyond ASCII are written `\U+XXXX`.

use super::dxf_out::{Out, polyline};
use super::{dxf_paper, palette};
use crate::base::units::LengthUnit;
use crate::drawing::typeset::model::{Dimension, Meaning};
use crate::drawing::{Anchor, Drawing, Item, Pen, Text, Tone, View};
use crate::roof::model::solid::Solid;
use crate::roof::{FaceKind, Roof};
use nalgebra::{Point2, Point3};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::ops::Range;

/// The layer of faces' outlines, closed.
pub const FACE_LAYER: &str = "face";
/// The layer of lettering.
pub(super) const TEXT_LAYER: &str = "text";
/// The layer of the key, whose lines are none of what is drawn.
pub const LEGEND_LAYER: &str = "legend";

/// A layer: its name, the name of its line type, its pattern in drawing units.
pub(super) struct Layer {
    pub(super) name: &'static str,
    pub(super) colour: u8,
    pub(super) pattern: Vec<f64>,
}

/// The unit of drawings for a job: metres, or inches where it is measured in feet and inches.
#[must_use]
pub(crate) fn unit_for(units: LengthUnit) -> LengthUnit {
    if units.is_imperial() { LengthUnit::Inch } else { LengthUnit::Metre }
}

/// Writes one drawing in the size of the model; a drawing without one scale is written in the size of its paper. O(ink).
#[must_use]
pub fn drawing(drawing: &Drawing, unit: LengthUnit) -> String {
    let paper = View { origin: Point2::origin(), factor: 1000.0 };
    let metres = drawing.view.unwrap_or(paper);
    // From here on a model's unit is the drawing's.
    let view = View { factor: metres.factor * unit.metres(), ..metres };
    let mut pens: BTreeMap<&'static str, Pen> = BTreeMap::new();
    for item in &drawing.items {
        if let Item::Line { pen, .. } = item {
            pens.entry(pen.layer()).or_insert(*pen);
        }
    }
    let mut layers: Vec<Layer> = pens
        .into_iter()
        .map(|(name, pen)| Layer {
            name,
            colour: palette::index(pen),
            pattern: pen.pattern().iter().map(|length| length / view.factor).collect(),
        })
        .collect();
    layers.push(Layer { name: FACE_LAYER, colour: 8, pattern: Vec::new() });
    layers.push(Layer { name: TEXT_LAYER, colour: 7, pattern: Vec::new() });
    layers.push(Layer { name: LEGEND_LAYER, colour: 8, pattern: Vec::new() });
    if drawing.view.is_some() {
        layers.push(Layer { name: dxf_paper::SHEET_LAYER, colour: 8, pattern: Vec::new() });
    }
    let mut out = Out::default();
    let corners =
        [Point2::origin(), Point2::new(drawing.size[0], drawing.size[1])].map(|corner| view.to_model(&corner));
    head(&mut out, unit, corners.map(|corner| [corner.x, corner.y, 0.0]), &layers);
    // Each dimension is a block of its ink, and an entity that tells what it measures.
    let dimensions: Vec<(&Range<usize>, &Dimension)> = drawing
        .wholes
        .iter()
        .filter_map(|(items, meaning)| match meaning {
            Meaning::Dimension(dimension) => Some((items, dimension)),
            Meaning::Legend => None,
        })
        .collect();
    out.section("BLOCKS");
    for (number, (items, _)) in dimensions.iter().enumerate() {
        block(&mut out, number, |out| entities(out, &drawing.items[(*items).clone()], &view, None));
    }
    out.end_section();
    out.section("ENTITIES");
    let mut at = 0;
    let mut number = 0;
    for (items, meaning) in &drawing.wholes {
        entities(&mut out, &drawing.items[at..items.start], &view, None);
        let of = &drawing.items[items.clone()];
        match meaning {
            Meaning::Legend => entities(&mut out, of, &view, Some(LEGEND_LAYER)),
            Meaning::Dimension(of_dimension) => {
                dimension(&mut out, number, of_dimension, of, &view);
                number += 1;
            }
        }
        at = items.end;
    }
    entities(&mut out, &drawing.items[at..], &view, None);
    // A drawing without one scale is its own sheet.
    if drawing.view.is_some() {
        dxf_paper::sheet(&mut out, drawing.size, &view);
    }
    out.end_section();
    out.put(0, "EOF");
    out.text
}

/// Writes ink; all on one layer where that is given, and lines then by their own types.
fn entities(out: &mut Out, items: &[Item], view: &View, layer: Option<&'static str>) {
    let flat = |place: &Point2<f64>| {
        let place = view.to_model(place);
        [place.x, place.y, 0.0]
    };
    for item in items {
        match item {
            Item::Line { pen, points, closed } => {
                let on = layer.unwrap_or(pen.layer());
                match points.as_slice() {
                    [from, to] if !closed => {
                        out.entity("LINE", on);
                        if layer.is_some() && !pen.pattern().is_empty() {
                            out.put(6, pen.layer());
                        }
                        out.point(10, flat(from));
                        out.point(11, flat(to));
                    }
                    points => polyline(out, on, points.iter().map(flat), *closed, false),
                }
            }
            Item::Area { tone: Tone::Shape, rings } => {
                for ring in rings {
                    polyline(out, FACE_LAYER, ring.iter().map(flat), true, false);
                }
            }
            Item::Area { tone: Tone::Ink, rings } => {
                for ring in rings {
                    solid(out, &ring.iter().map(flat).collect::<Vec<_>>());
                }
            }
            Item::Area { .. } | Item::Photo(_) => {}
            Item::Text(text) => letter(out, text, view, layer.unwrap_or(TEXT_LAYER)),
        }
    }
}

/// The name of a dimension's block.
fn block_name(number: usize) -> String {
    format!("*D{number}")
}

/// Writes the block of a dimension's ink.
fn block(out: &mut Out, number: usize, ink: impl Fn(&mut Out)) {
    let name = block_name(number);
    out.entity("BLOCK", "0");
    out.put(2, &name);
    // 1: made by a program for one entity.
    out.put(70, 1);
    out.point(10, [0.0; 3]);
    out.put(3, &name);
    ink(out);
    out.entity("ENDBLK", "0");
}

/// Writes the entity of a dimension: a rotated one, that measures along its line.
fn dimension(out: &mut Out, number: usize, dimension: &Dimension, ink: &[Item], view: &View) {
    let flat = |place: &Point2<f64>| {
        let place = view.to_model(place);
        [place.x, place.y, 0.0]
    };
    let [from, to] = dimension.line;
    out.entity("DIMENSION", Pen::Dimension.layer());
    out.put(2, block_name(number));
    out.point(10, flat(&to));
    out.point(11, flat(&dimension.lettered));
    out.put(70, 0);
    let words = ink.iter().find_map(|item| if let Item::Text(text) = item { Some(&text.words) } else { None });
    out.put(1, ascii(words.map_or("", |words| words)));
    out.put(3, "STANDARD");
    out.point(13, flat(&dimension.measured[0]));
    out.point(14, flat(&dimension.measured[1]));
    out.real(50, (to - from).y.atan2((to - from).x).to_degrees());
}

/// Layers of surfaces: of roof faces, of walls above the outline, of the walls below it and the floor, of what stands out.
pub const SURFACE_LAYERS: [(&str, u8); 4] =
    [("roof-surface", 8), ("wall-surface", 9), ("body-surface", 9), ("raised-surface", 9)];

/// Writes a roof in space: every edge a LINE on the layer of its kind, every roof face a closed 3D POLYLINE on
/// [`FACE_LAYER`], every triangle of its solid, and of what stands out of it, a 3DFACE on the layer of its surface.
/// O(edges + triangles).
#[must_use]
pub fn roof(roof: &Roof, solid: &Solid, raised: &[(String, Solid)], unit: LengthUnit) -> String {
    let mut pens: Vec<Pen> = roof.edges.iter().map(|edge| Pen::Edge(edge.kind)).collect();
    pens.sort_unstable();
    pens.dedup();
    let mut layers: Vec<Layer> =
        pens.iter().map(|pen| Layer { name: pen.layer(), colour: palette::index(*pen), pattern: Vec::new() }).collect();
    layers.push(Layer { name: FACE_LAYER, colour: 8, pattern: Vec::new() });
    layers.push(Layer { name: TEXT_LAYER, colour: 7, pattern: Vec::new() });
    layers.extend(SURFACE_LAYERS.map(|(name, colour)| Layer { name, colour, pattern: Vec::new() }));
    let low = roof.corners.iter().copied().reduce(|a, b| a.inf(&b)).unwrap_or_else(Point3::origin);
    let high = roof.corners.iter().copied().reduce(|a, b| a.sup(&b)).unwrap_or_else(Point3::origin);
    let place = |point: Point3<f64>| [point.x, point.y, point.z].map(|metres| metres / unit.metres());
    let mut out = Out::default();
    head(&mut out, unit, [place(low), place(high)], &layers);
    out.section("ENTITIES");
    for edge in &roof.edges {
        line(&mut out, edge.kind.word(), place(roof.at(edge.from)), place(roof.at(edge.to)));
    }
    for (_, face) in roof.roof_faces() {
        for ring in std::iter::once(roof.ring(face)).chain(roof.holes(face)) {
            polyline(&mut out, FACE_LAYER, ring.into_iter().map(place), true, true);
        }
    }
    let own = solid.triangles.iter().zip(&solid.face_of).map(|(triangle, face)| {
        let surface = match face.map(|face| roof.faces[face.index()].kind) {
            Some(FaceKind::Roof) => 0,
            Some(FaceKind::Wall) => 1,
            None => 2,
        };
        (surface, triangle.map(|at| solid.positions[at as usize]))
    });
    let out_of_it = raised.iter().flat_map(|(_, part)| {
        part.triangles.iter().map(|triangle| (3, triangle.map(|at| part.positions[at as usize])))
    });
    for (surface, corners) in own.chain(out_of_it) {
        out.entity("3DFACE", SURFACE_LAYERS[surface].0);
        let [a, b, c] = corners.map(place);
        // The third corner stands twice for a triangle.
        for (step, corner) in (10_u16..).zip([a, b, c, c]) {
            out.point(step, corner);
        }
    }
    out.end_section();
    out.put(0, "EOF");
    out.text
}

/// The unit's number in the header, after the published reference: inches 1, feet 2, millimetres 4, centimetres 5, metres 6.
fn unit_number(unit: LengthUnit) -> u8 {
    match unit {
        LengthUnit::Inch => 1,
        LengthUnit::Foot => 2,
        LengthUnit::Millimetre => 4,
        LengthUnit::Centimetre => 5,
        LengthUnit::Metre => 6,
    }
}

/// Header and tables.
pub(super) fn head(out: &mut Out, unit: LengthUnit, extent: [[f64; 3]; 2], layers: &[Layer]) {
    out.section("HEADER");
    out.put(9, "$ACADVER");
    out.put(1, "AC1009");
    out.put(9, "$DWGCODEPAGE");
    out.put(3, "ANSI_1252");
    out.put(9, "$INSUNITS");
    out.put(70, unit_number(unit));
    // 1 is metric, 0 is English.
    out.put(9, "$MEASUREMENT");
    out.put(70, u8::from(!unit.is_imperial()));
    // How a reader shows lengths: 4 is feet and inches, for drawings in inches; 2 is decimal.
    out.put(9, "$LUNITS");
    out.put(70, if unit == LengthUnit::Inch { 4 } else { 2 });
    // A reader opens the model; the sheet, where there is one, lies beside it.
    out.put(9, "$TILEMODE");
    out.put(70, 1);
    out.put(9, "$EXTMIN");
    out.point(10, extent[0]);
    out.put(9, "$EXTMAX");
    out.point(10, extent[1]);
    out.put(9, "$LTSCALE");
    out.real(40, 1.0);
    out.end_section();

    out.section("TABLES");
    let patterned: Vec<&Layer> = layers.iter().filter(|layer| !layer.pattern.is_empty()).collect();
    out.put(0, "TABLE");
    out.put(2, "LTYPE");
    out.put(70, patterned.len() + 1);
    line_type(out, "CONTINUOUS", "solid line", &[]);
    for layer in &patterned {
        line_type(out, layer.name, "dashes as on paper", &layer.pattern);
    }
    out.put(0, "ENDTAB");
    out.put(0, "TABLE");
    out.put(2, "LAYER");
    out.put(70, layers.len() + 1);
    for (name, colour, line_type) in std::iter::once(("0", 7, "CONTINUOUS")).chain(
        layers
            .iter()
            .map(|layer| (layer.name, layer.colour, if layer.pattern.is_empty() { "CONTINUOUS" } else { layer.name })),
    ) {
        out.put(0, "LAYER");
        out.put(2, name);
        out.put(70, 0);
        out.put(62, colour);
        out.put(6, line_type);
    }
    out.put(0, "ENDTAB");
    // Whose extended data may stand in the file.
    out.put(0, "TABLE");
    out.put(2, "APPID");
    out.put(70, 1);
    out.put(0, "APPID");
    out.put(2, "ACAD");
    out.put(70, 0);
    out.put(0, "ENDTAB");
    out.put(0, "TABLE");
    out.put(2, "STYLE");
    out.put(70, 1);
    out.put(0, "STYLE");
    out.put(2, "STANDARD");
    out.put(70, 0);
    for (code, value) in [(40, 0.0), (41, 1.0), (50, 0.0)] {
        out.real(code, value);
    }
    out.put(71, 0);
    out.real(42, 0.2);
    out.put(3, "txt");
    out.put(4, "");
    out.put(0, "ENDTAB");
    out.put(0, "TABLE");
    out.put(2, "DIMSTYLE");
    out.put(70, 1);
    out.put(0, "DIMSTYLE");
    out.put(2, "STANDARD");
    out.put(70, 0);
    // Sizes as the dimensions' blocks have them are what is shown; these hold for those a reader adds.
    for (code, value) in [(40, 1.0), (41, 0.18), (42, 0.06), (44, 0.18), (140, 0.18)] {
        out.real(code, value);
    }
    out.put(0, "ENDTAB");
    out.end_section();
}

fn line_type(out: &mut Out, name: &str, words: &str, pattern: &[f64]) {
    out.put(0, "LTYPE");
    out.put(2, name);
    out.put(70, 0);
    out.put(3, words);
    out.put(72, 65);
    out.put(73, pattern.len());
    out.real(40, pattern.iter().sum());
    for (index, length) in pattern.iter().enumerate() {
        out.real(49, if index % 2 == 0 { *length } else { -length });
    }
}

fn line(out: &mut Out, layer: &str, from: [f64; 3], to: [f64; 3]) {
    out.entity("LINE", layer);
    out.point(10, from);
    out.point(11, to);
}

/// Triangles and quadrilaterals; larger rings as a fan about their first corner (they are convex: dots).
fn solid(out: &mut Out, ring: &[[f64; 3]]) {
    let Some((first, rest)) = ring.split_first() else { return };
    for pair in rest.windows(2) {
        out.entity("SOLID", Pen::Arrow.layer());
        // The third corner stands twice for a triangle.
        for (step, corner) in (10_u16..).zip([first, &pair[0], &pair[1], &pair[1]]) {
            out.point(step, *corner);
        }
    }
}

fn letter(out: &mut Out, text: &Text, view: &View, layer: &str) {
    if text.words.is_empty() {
        return;
    }
    let at = view.to_model(&text.at);
    let at = [at.x, at.y, 0.0];
    out.entity("TEXT", layer);
    out.point(10, at);
    out.real(40, text.height / view.factor);
    out.put(1, ascii(&text.words));
    out.real(50, text.angle.to_degrees());
    let justified = match text.anchor {
        Anchor::Start => 0,
        Anchor::Middle => 1,
        Anchor::End => 2,
    };
    if justified > 0 {
        out.put(72, justified);
        out.point(11, at);
    }
}

/// Letters beyond ASCII as `\U+XXXX`; control characters become blanks, a percent pair is parted lest it be a code.
pub(super) fn ascii(words: &str) -> String {
    let mut out = String::new();
    for letter in words.chars() {
        match letter {
            '%' if out.ends_with('%') => out.push_str(" %"),
            ' '..='~' => out.push(letter),
            letter if letter.is_control() => out.push(' '),
            letter => {
                let mut units = [0_u16; 2];
                for unit in letter.encode_utf16(&mut units) {
                    let _ = write!(out, "\\U+{unit:04X}");
                }
            }
        }
    }
    out
}
