//! Closed polylines of a drawing in DXF (text form of the published reference, any release): level ones are outlines, those in
//! space roof faces.

use super::Refusal;
use crate::base::plane::Plane;
use crate::base::polygon::{contains, vector_area};
use crate::job::imported::{Imported, LeftOut, Why, area, is_place};
use crate::job::outlines::{PlainOutline, Slopes};
use crate::wording::import as words;
use nalgebra::Point3;

/// Metres of a unit by its number in the header, after the published reference; 0 is not said.
fn metres(unit: &str) -> Option<f64> {
    match unit {
        "1" => Some(0.0254),
        "2" => Some(0.3048),
        "4" => Some(0.001),
        "5" => Some(0.01),
        "6" => Some(1.0),
        "10" => Some(0.9144),
        "14" => Some(0.1),
        _ => None,
    }
}

#[derive(Default)]
struct Polyline {
    layer: String,
    closed: bool,
    in_space: bool,
    elevation: f64,
    places: Vec<Point3<f64>>,
}

/// Reads it. `pitch` and `height` hold for outlines; `unit`, metres, where the header says none. O(its bytes).
///
/// # Errors
/// A file in another form, or without a unit.
pub fn read(text: &str, (pitch, height): (Option<f64>, f64), unit: Option<f64>) -> Result<Imported, Refusal> {
    let mut lines = text.lines();
    let mut groups: Vec<(i32, &str)> = Vec::new();
    while let (Some(code), Some(value)) = (lines.next(), lines.next()) {
        let code = code.trim().parse().map_err(|_| words::not_dxf())?;
        groups.push((code, value.trim()));
    }
    if !groups.contains(&(2, "ENTITIES")) {
        return Err(words::not_dxf());
    }
    let said = groups.windows(2).find(|pair| pair[0] == (9, "$INSUNITS")).and_then(|pair| metres(pair[1].1));
    let scale = said.or(unit).ok_or_else(words::no_unit)?;
    let mut imported = Imported::default();
    let mut lines = 0;
    let mut in_space: Vec<(String, Vec<Point3<f64>>)> = Vec::new();
    for polyline in polylines(&groups, &mut lines) {
        let name = format!("{} {}", polyline.layer, imported.outlines.len() + in_space.len() + 1);
        if !polyline.closed || polyline.places.len() < 3 {
            imported.left_out.push(LeftOut { name, why: Why::Open });
            continue;
        }
        let places: Vec<Point3<f64>> = polyline.places.iter().map(|place| place * scale).collect();
        let elevation = polyline.elevation * scale;
        if !places.iter().chain([&Point3::new(0.0, 0.0, elevation)]).all(is_place) {
            imported.left_out.push(LeftOut { name, why: Why::Place });
            continue;
        }
        if polyline.in_space {
            in_space.push((name, places));
            continue;
        }
        let Some(pitch) = pitch else { return Err(words::no_pitch()) };
        let ring = places.iter().map(Point3::xy).collect();
        let outline =
            PlainOutline { polygons: vec![vec![ring]], slopes: Slopes::One(pitch), height: height + elevation };
        imported.outlines.push((name, outline));
    }
    for (name, rings) in with_holes(in_space) {
        imported.add_face(&name, &rings);
    }
    if lines > 0 {
        imported.left_out.push(LeftOut { name: "the drawing".to_owned(), why: Why::NotRoof(lines) });
    }
    Ok(imported)
}

/// How far a corner may lie off a plane and be in it, metres.
const FLAT: f64 = 0.001;

/// Rings in space with those that lie in their planes within them: a drawing has no other way to say a hole. O(rings²).
fn with_holes(rings: Vec<(String, Vec<Point3<f64>>)>) -> Vec<(String, Vec<Vec<Point3<f64>>>)> {
    let plan = |ring: &[Point3<f64>]| ring.iter().map(Point3::xy).collect::<Vec<_>>();
    let is_in = |hole: &[Point3<f64>], outer: &[Point3<f64>]| {
        let plane = Plane::through(&outer[0], &vector_area(outer));
        let round = plan(outer);
        area(hole) < area(outer)
            && plane.is_some_and(|plane| hole.iter().all(|corner| plane.distance(corner).abs() < FLAT))
            && hole.iter().all(|corner| contains(&round, &corner.xy()))
    };
    let outer_of: Vec<Option<usize>> = (0..rings.len())
        .map(|at| (0..rings.len()).find(|&other| other != at && is_in(&rings[at].1, &rings[other].1)))
        .collect();
    let mut faces: Vec<(usize, String, Vec<Vec<Point3<f64>>>)> = Vec::new();
    let (outers, holes): (Vec<_>, Vec<_>) = rings.into_iter().enumerate().partition(|(at, _)| outer_of[*at].is_none());
    faces.extend(outers.into_iter().map(|(at, (name, ring))| (at, name, vec![ring])));
    for (at, (_, ring)) in holes {
        if let Some((.., rings)) = faces.iter_mut().find(|(own, ..)| Some(*own) == outer_of[at]) {
            rings.push(ring);
        }
    }
    faces.into_iter().map(|(_, name, rings)| (name, rings)).collect()
}

/// The polylines among the entities, and how many others there are.
fn polylines(groups: &[(i32, &str)], others: &mut usize) -> Vec<Polyline> {
    let mut found: Vec<Polyline> = Vec::new();
    let mut in_entities = false;
    let mut kind = "";
    for &(code, value) in groups {
        if (code, value) == (2, "ENTITIES") {
            in_entities = true;
        }
        if !in_entities {
            continue;
        }
        let number = || value.parse::<f64>().unwrap_or(f64::NAN);
        if code == 0 {
            kind = value;
            match kind {
                "LWPOLYLINE" | "POLYLINE" => found.push(Polyline::default()),
                "VERTEX" => {
                    if let Some(last) = found.last_mut() {
                        last.places.push(Point3::origin());
                    }
                }
                "ENDSEC" => in_entities = false,
                "SEQEND" => {}
                _ => *others += 1,
            }
            continue;
        }
        let Some(last) = found.last_mut() else { continue };
        match (kind, code) {
            ("LWPOLYLINE" | "POLYLINE", 8) => value.clone_into(&mut last.layer),
            ("LWPOLYLINE" | "POLYLINE", 70) => {
                let flags: u32 = value.parse().unwrap_or(0);
                (last.closed, last.in_space) = (flags & 1 != 0, flags & 8 != 0);
            }
            ("LWPOLYLINE", 38) | ("POLYLINE", 30) => last.elevation = number(),
            ("LWPOLYLINE", 10) => last.places.push(Point3::new(number(), 0.0, 0.0)),
            ("LWPOLYLINE", 20) => {
                if let Some(place) = last.places.last_mut() {
                    place.y = number();
                }
            }
            ("VERTEX", 10 | 20 | 30) => {
                if let Some(place) = last.places.last_mut() {
                    place[usize::try_from(code / 10 - 1).unwrap_or(0)] = number();
                }
            }
            _ => {}
        }
    }
    found
}
