//! The building as it stands, as a body: walls where they are, edges of the roof as deep as they are, openings on its faces,
//! chimneys over them.

use super::body::{Body, Flat, Fold};
use crate::base::polygon_boolean::Region;
use crate::drawing::typeset::pen::Pen;
use crate::job::Answer;
use crate::job::building::{self, Raised};
use crate::roof::model::frame::FaceFrame;
use nalgebra::{Point2, Point3, Vector3};

/// The building of an answer. Where it is not known where its walls stand they stand under the roof's edges.
/// O(triangles log triangles + edges²).
#[must_use]
pub fn body(answer: &Answer, datum: f64) -> Body {
    let (roof, building) = (&answer.roof, &answer.building);
    let mut body = Body::of_solid(roof, building::solid(roof, building, datum));
    openings(&mut body, answer);
    for prism in &building.raised {
        raise(&mut body, prism);
    }
    body
}

/// Outlines of openings on the faces they are cut from.
fn openings(body: &mut Body, answer: &Answer) {
    let roof = &answer.roof;
    for opening in &answer.openings {
        let Some(frame) = FaceFrame::of(roof, &roof.faces[opening.face.index()]) else { continue };
        let flat = body.flats.iter().position(|flat| flat.face == Some(opening.face));
        let first = body.places.len();
        body.places.extend(opening.ring.iter().map(|place| frame.to_space(place)));
        let count = opening.ring.len();
        let fold =
            |at: usize| Fold { ends: [first + at, first + (at + 1) % count], flats: [flat, flat], pen: Pen::Opening };
        body.folds.extend((0..count).map(fold));
    }
}

/// Sets a prism on the roof: its sides from their feet up, and its top.
fn raise(body: &mut Body, prism: &Raised) {
    let first = body.flats.len();
    let sides = prism.feet.len();
    let over = |place: &Point3<f64>| Point3::new(place.x, place.y, prism.top);
    let mut corners: Vec<usize> = Vec::with_capacity(sides);
    for (index, feet) in prism.feet.iter().enumerate() {
        let (Some(from), Some(to)) = (feet.first(), feet.last()) else { return };
        let along = to - from;
        let normal = Vector3::new(along.y, -along.x, 0.0).try_normalize(f64::MIN_POSITIVE).unwrap_or_else(Vector3::x);
        let low = body.places.len();
        body.places.extend_from_slice(feet);
        let high = body.places.len();
        body.places.extend(feet.iter().map(over));
        let count = feet.len();
        let flat = first + index;
        let ring = (low..high).chain((high..high + count).rev()).collect();
        body.flats.push(Flat { face: None, normal, rings: vec![ring] });
        let before = first + (index + sides - 1) % sides;
        for at in 0..count - 1 {
            let [a, b, c, d] = [low + at, low + at + 1, high + at + 1, high + at];
            body.triangles.extend([([a, b, c], flat), ([a, c, d], flat)]);
            body.folds.push(Fold { ends: [a, b], flats: [Some(flat), None], pen: Pen::Opening });
        }
        body.folds.push(Fold { ends: [low, high], flats: [Some(flat), Some(before)], pen: Pen::Opening });
        let top = Some(first + sides);
        body.folds.push(Fold { ends: [high, high + count - 1], flats: [Some(flat), top], pen: Pen::Opening });
        corners.push(high);
    }
    let plan: Vec<Point2<f64>> = corners.iter().map(|&at| body.places[at].xy()).collect();
    let at = |place: &Point2<f64>| {
        let nearest = plan.iter().enumerate().min_by(|a, b| (a.1 - place).norm().total_cmp(&(b.1 - place).norm()));
        corners[nearest.map_or(0, |(index, _)| index)]
    };
    let triangles = Region { rings: vec![plan.clone()] }.triangles();
    let top = first + sides;
    body.triangles.extend(triangles.iter().map(|triangle| (triangle.each_ref().map(at), top)));
    body.flats.push(Flat { face: None, normal: Vector3::z(), rings: vec![corners] });
}
