//! What the window works out at a height, a plane or between two places that somebody chooses: the same from the answers'
//! JSON and the solid's triangles, apart from the program's own way.

use super::printed::Class;
use eavewright::roof::model::solid::Solid;
use eavewright::viewer::render::section::Cutting;
use nalgebra::{Point3, Vector3};
use serde_json::Value;
use std::collections::BTreeMap;

/// Numbers with what they measure.
pub type Numbers = Vec<(Class, f64)>;

/// Shares of the way at which a cut is taken keep this far off both ends, as the window's do.
const END: f64 = 1e-6;

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn place(value: &Value) -> Point3<f64> {
    let at = |axis: usize| value[axis].as_f64().unwrap();
    Point3::new(at(0), at(1), at(2))
}

fn edges<'a>(json: &'a Value, kind: &str) -> Vec<&'a Value> {
    list(&json["edges"]).iter().filter(|edge| edge["kind"] == kind).collect()
}

/// Where a plane cuts the triangles of a solid: stretches of line with the face that each lies in.
fn cut(solid: &Solid, normal: &Vector3<f64>, offset: f64) -> Vec<([Point3<f64>; 2], Option<usize>)> {
    let over = |place: &Point3<f64>| normal.dot(&place.coords) - offset;
    let mut found = Vec::new();
    for (index, triangle) in solid.triangles.iter().enumerate() {
        let corners = triangle.map(|at| solid.positions[at as usize]);
        let mut ends = [None, None];
        for side in 0..3 {
            let (a, b) = (corners[side], corners[(side + 1) % 3]);
            let (from, to) = (over(&a), over(&b));
            if (from > 0.0) != (to > 0.0) {
                let at = a + (b - a) * (from / (from - to));
                // With the solid to its left: it goes in where the triangle leaves the upper side.
                ends[usize::from(from > 0.0)] = Some(at);
            }
        }
        if let [Some(one), Some(other)] = ends {
            found.push(([one, other], solid.face_of[index].map(eavewright::base::ids::FaceId::index)));
        }
    }
    found
}

/// Area within stretches that close, by the shoelace formula about their first end.
fn area(stretches: &[([Point3<f64>; 2], Option<usize>)], normal: &Vector3<f64>) -> f64 {
    let Some(([about, _], _)) = stretches.first() else { return 0.0 };
    let twice: f64 = stretches.iter().map(|([a, b], _)| (a - about).cross(&(b - about)).dot(normal)).sum();
    (twice / 2.0).abs()
}

/// Lengths of line in each face, stretches that touch joined.
fn lengths(stretches: &[([Point3<f64>; 2], Option<usize>)]) -> Vec<f64> {
    let mut by_face: BTreeMap<usize, Vec<[Point3<f64>; 2]>> = BTreeMap::new();
    for (ends, face) in stretches {
        if let Some(face) = face {
            by_face.entry(*face).or_default().push(*ends);
        }
    }
    let mut found = Vec::new();
    for ends in by_face.values() {
        let longest = ends.iter().map(|[a, b]| b - a).max_by(|a, b| a.norm().total_cmp(&b.norm())).unwrap();
        let Some(along) = longest.try_normalize(1e-12) else { continue };
        let reach = |place: &Point3<f64>| along.dot(&place.coords);
        let mut spans: Vec<[f64; 2]> =
            ends.iter().map(|[a, b]| [reach(a).min(reach(b)), reach(a).max(reach(b))]).collect();
        spans.sort_by(|a, b| a[0].total_cmp(&b[0]));
        let mut joined: Vec<[f64; 2]> = Vec::new();
        for span in spans {
            match joined.last_mut() {
                Some(last) if span[0] <= last[1] + 1e-7 => last[1] = last[1].max(span[1]),
                _ => joined.push(span),
            }
        }
        found.extend(joined.iter().map(|[from, to]| to - from));
    }
    found
}

/// From the lowest eave to the highest place.
fn rise_of(json: &Value) -> [f64; 2] {
    let ends = |edges: Vec<&Value>| -> Vec<f64> {
        edges.into_iter().flat_map(|edge| [place(&edge["from"]).z, place(&edge["to"]).z]).collect()
    };
    let all = ends(list(&json["edges"]).iter().collect());
    let eaves = ends(edges(json, "eave"));
    let low = eaves.into_iter().reduce(f64::min).or_else(|| all.iter().copied().reduce(f64::min)).unwrap();
    [low, all.into_iter().reduce(f64::max).unwrap()]
}

/// The eaves raised by a share of the way: how high, how far each side has moved in, what the outline still holds, how long
/// its sides are; and the height of every corner above the lowest eave.
pub fn raised(json: &Value, solid: &Solid, share: f64) -> Numbers {
    let [low, high] = rise_of(json);
    let rise = (high - low) * share;
    let mut found = vec![(Class::Length, rise)];
    for face in list(&json["faces"]).iter().filter(|face| face["kind"] == "roof") {
        if let Some(pitch) = face["pitch"].as_f64().filter(|pitch| *pitch > 0.0) {
            found.push((Class::Length, rise / pitch.to_radians().tan()));
        }
    }
    for edge in list(&json["edges"]) {
        found.extend(["from", "to"].map(|end| (Class::Length, place(&edge[end]).z - low)));
    }
    let stretches = cut(solid, &Vector3::z(), low + rise);
    found.push((Class::Area, area(&stretches, &Vector3::z())));
    found.extend(lengths(&stretches).into_iter().map(|length| (Class::Length, length)));
    found
}

/// What the lesson on lengths works out before the class: tangent and cosine of each pitch, and by how much a fold is longer
/// than its plan.
pub fn lesson(json: &Value) -> Numbers {
    let mut found = Vec::new();
    for face in list(&json["faces"]) {
        if let Some(pitch) = face["pitch"].as_f64() {
            let pitch = pitch.to_radians();
            found.extend([(Class::Bare, pitch.tan()), (Class::Bare, pitch.cos())]);
        }
    }
    for edge in list(&json["edges"]) {
        if let (Some(length), Some(plan)) = (edge["length"].as_f64(), edge["plan_length"].as_f64()) {
            found.push((Class::Percent, (length / plan - 1.0) * 100.0));
        }
    }
    found
}

/// A section: where it stands, how wide and high it is, its area, the lengths it runs through faces.
pub fn section(json: &Value, solid: &Solid, cutting: Cutting, share: f64) -> Numbers {
    let longest = |kind: &str| {
        let plan = |edge: &&Value| (place(&edge["to"]) - place(&edge["from"])).xy().norm();
        edges(json, kind).into_iter().max_by(|a, b| plan(a).total_cmp(&plan(b)))
    };
    let ridge = longest("ridge").or_else(|| longest("eave")).map_or_else(Vector3::x, |edge| {
        let way = place(&edge["to"]) - place(&edge["from"]);
        Vector3::new(way.x, way.y, 0.0).normalize()
    });
    // Counted from left to right, or from front to back.
    let ridge = if ridge.x + 1e-3 * ridge.y < 0.0 { -ridge } else { ridge };
    let across = Vector3::z().cross(&ridge);
    let (axis, spans) = match cutting {
        Cutting::Across => (ridge, [across, Vector3::z()]),
        Cutting::Along => (across, [ridge, Vector3::z()]),
        Cutting::Off | Cutting::Level => (Vector3::z(), [ridge, across]),
    };
    let reach = |axis: &Vector3<f64>, places: &[Point3<f64>]| {
        let all = || places.iter().map(|place| axis.dot(&place.coords));
        [all().reduce(f64::min).unwrap_or_default(), all().reduce(f64::max).unwrap_or_default()]
    };
    let [low, high] = reach(&axis, &solid.positions);
    let at = low + (high - low) * share.clamp(END, 1.0 - END);
    let stretches = cut(solid, &axis, at);
    let ends: Vec<Point3<f64>> = stretches.iter().flat_map(|(ends, _)| *ends).collect();
    let mut found = vec![(Class::Length, at), (Class::Length, at - low), (Class::Area, area(&stretches, &axis))];
    found.extend(spans.map(|span| {
        let [from, to] = reach(&span, &ends);
        (Class::Length, to - from)
    }));
    found.extend(lengths(&stretches).into_iter().map(|length| (Class::Length, length)));
    found
}

/// What lies between two places.
pub fn between(from: &Point3<f64>, to: &Point3<f64>) -> Numbers {
    let [x, y, z] = [to.x - from.x, to.y - from.y, to.z - from.z];
    let level = x.hypot(y);
    let lengths = [level.hypot(z), level, z].map(|length| (Class::Length, length));
    lengths.into_iter().chain([(Class::Angle, z.abs().atan2(level).to_degrees())]).collect()
}
