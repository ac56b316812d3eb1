//! The roof as the script draws it: places in metres to a millimetre, z upwards; triangles and lines as numbers of places.

use crate::base::ids::FaceId;
use crate::base::polygon_boolean::Region;
use crate::drawing::job_sheet::SheetInput;
use crate::drawing::typeset::pen::Pen;
use crate::drawing::views::body::Body;
use crate::drawing::views::building;
use crate::drawing::views::clip;
use crate::roof::Roof;
use crate::roof::model::frame::FaceFrame;
use crate::takeoff::layout::FaceLayout;
use nalgebra::{Point2, Point3};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// The model as JSON that can stand within a page. `<` is written so that no reader of the page takes it for a tag.
/// O(triangles + courses × corners²).
pub(super) fn model(input: &SheetInput<'_>) -> String {
    let roof = &input.answer.roof;
    let body = building::body(input.answer, 0.0);
    // Cards are the roof faces' in order.
    let card: BTreeMap<FaceId, usize> = roof.roof_faces().enumerate().map(|(number, (id, _))| (id, number)).collect();
    let mut triangles: BTreeMap<Option<usize>, Vec<usize>> = BTreeMap::new();
    for (corners, flat) in &body.triangles {
        let of = body.flats[*flat].face.and_then(|face| card.get(&face).copied());
        triangles.entry(of).or_default().extend(corners);
    }
    let walls = triangles.remove(&None).unwrap_or_default();
    let faces: Vec<Value> =
        triangles.into_iter().map(|(card, triangles)| json!({ "card": card, "triangles": triangles })).collect();
    let lines: Vec<Value> = lines(&body)
        .into_iter()
        .map(
            |(pen, ends)| json!({ "pen": pen.layer(), "weight": pen.weight(), "pattern": pen.pattern(), "ends": ends }),
        )
        .collect();
    let courses: Vec<Vec<f64>> = input.take_off.layouts.iter().map(|layout| courses(roof, layout)).collect();
    let value = json!({
        "north": input.context.north,
        "places": numbers(&body.places),
        "faces": faces,
        "walls": walls,
        "openings": openings(input, &card),
        "lines": lines,
        "courses": courses,
    });
    value.to_string().replace('<', "\\u003c")
}

fn numbers<'a>(places: impl IntoIterator<Item = &'a Point3<f64>>) -> Vec<f64> {
    let millimetre = |value: &f64| (value * 1000.0).round() / 1000.0 + 0.0;
    places.into_iter().flat_map(|place| place.iter().map(millimetre).collect::<Vec<_>>()).collect()
}

/// Every line that is drawn, pen by pen: both ends of each.
fn lines(body: &Body) -> BTreeMap<Pen, Vec<usize>> {
    let mut lines: BTreeMap<Pen, Vec<usize>> = BTreeMap::new();
    for fold in &body.folds {
        lines.entry(fold.pen).or_default().extend(fold.ends);
    }
    lines
}

/// The butt lines of a face's courses, both ends of each piece.
fn courses(roof: &Roof, layout: &FaceLayout) -> Vec<f64> {
    let face = &roof.faces[layout.face.index()];
    let flat = |ring: Vec<Point3<f64>>| ring.iter().map(|place| layout.frame.to_face(place)).collect::<Vec<_>>();
    let rings: Vec<Vec<Point2<f64>>> = std::iter::once(roof.ring(face)).chain(roof.holes(face)).map(flat).collect();
    let across = || rings.iter().flatten().map(|place| place.x);
    let (left, right) = (across().fold(f64::INFINITY, f64::min), across().fold(f64::NEG_INFINITY, f64::max));
    let line = |butt: f64| clip::inside(&rings, &Point2::new(left - 1.0, butt), &Point2::new(right + 1.0, butt));
    // The first lies along the eave itself.
    let pieces = layout.courses.iter().skip(1).flat_map(|course| line(course.butt_v));
    numbers(&pieces.flatten().map(|end| layout.frame.to_space(&end)).collect::<Vec<_>>())
}

/// Openings as patches on their faces.
fn openings(input: &SheetInput<'_>, card: &BTreeMap<FaceId, usize>) -> Vec<Value> {
    let roof = &input.answer.roof;
    let patch = |opening: &crate::roof::analysis::opening::CutOpening| {
        let frame = FaceFrame::of(roof, &roof.faces[opening.face.index()])?;
        let region = Region { rings: vec![opening.ring.clone()] };
        let corners: Vec<Point3<f64>> = region.triangles().iter().flatten().map(|at| frame.to_space(at)).collect();
        let triangles: Vec<usize> = (0..corners.len()).collect();
        let ring: Vec<Point3<f64>> = opening.ring.iter().map(|at| frame.to_space(at)).collect();
        Some(json!({
            "card": card.get(&opening.face),
            "places": numbers(&corners),
            "triangles": triangles,
            "ring": numbers(&ring),
        }))
    };
    input.answer.openings.iter().filter_map(patch).collect()
}
