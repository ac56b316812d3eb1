//! Which faces one drawing stands for: those of one shape, or of one shape and laid alike.

use crate::base::ids::FaceId;
use crate::base::polygon;
use crate::base::tolerance::ONE_PLACE;
use crate::roof::analysis::opening::CutOpening;
use crate::roof::model::frame::FaceFrame;
use crate::roof::{EdgeKind, Roof};
use crate::takeoff::layout::FaceLayout;
use nalgebra::Point2;

/// A shape already met: its corners in its own frame (none when it stands alone) and the names of those alike.
struct Shape {
    id: FaceId,
    ring: Vec<Point2<f64>>,
    kinds: Vec<EdgeKind>,
    alike: Vec<String>,
}

/// Roof faces grouped by shape: the first of each with the names of those congruent to it in its frame (same corners
/// within a millionth of the face's size, same kinds of edges). O(faces² × corners).
#[must_use]
pub fn groups(roof: &Roof, openings: &[CutOpening]) -> Vec<(FaceId, Vec<String>)> {
    alike(roof, openings, |_, _| true)
}

/// As [`groups`], those apart that are not laid the same: a drawing of one shows no joint where the other has none.
/// O(faces² × (corners + pieces)).
#[must_use]
pub fn groups_as_laid(roof: &Roof, openings: &[CutOpening], layouts: &[FaceLayout]) -> Vec<(FaceId, Vec<String>)> {
    let of = |id: FaceId| layouts.iter().find(|layout| layout.face == id);
    alike(roof, openings, |one, other| match (of(one), of(other)) {
        (Some(one), Some(other)) => one.is_laid_like(other),
        (one, other) => one.is_none() && other.is_none(),
    })
}

/// As [`groups`], those apart that have other courses; and whether all of a group are laid the same, joint for joint too.
/// O(faces² × (corners + pieces)).
#[must_use]
pub fn groups_as_coursed(
    roof: &Roof,
    openings: &[CutOpening],
    layouts: &[FaceLayout],
) -> Vec<(FaceId, Vec<String>, bool)> {
    let of = |id: FaceId| layouts.iter().find(|layout| layout.face == id);
    let coursed = alike(roof, openings, |one, other| match (of(one), of(other)) {
        (Some(one), Some(other)) => one.has_courses_of(other),
        (one, other) => one.is_none() && other.is_none(),
    });
    let laid = groups_as_laid(roof, openings, layouts);
    let whole =
        |first: FaceId, names: &[String]| laid.iter().any(|(id, same)| *id == first && same.len() == names.len());
    coursed
        .into_iter()
        .map(|(id, names)| {
            let whole = whole(id, &names);
            (id, names, whole)
        })
        .collect()
}

fn alike(roof: &Roof, openings: &[CutOpening], as_well: impl Fn(FaceId, FaceId) -> bool) -> Vec<(FaceId, Vec<String>)> {
    let mut groups: Vec<Shape> = Vec::new();
    for (id, face) in roof.roof_faces() {
        let Some(frame) = FaceFrame::of(roof, face) else { continue };
        let ring: Vec<Point2<f64>> = roof.ring(face).iter().map(|place| frame.to_face(place)).collect();
        let kinds: Vec<EdgeKind> = face.edges.iter().map(|edge| roof.edges[edge.index()].kind).collect();
        let plain = face.holes.is_empty() && !openings.iter().any(|opening| opening.face == id);
        let size = polygon::extent(&ring);
        let same = |other: &Shape| {
            let turned = |shift: usize| {
                (0..ring.len()).all(|i| {
                    let j = (i + shift) % ring.len();
                    (ring[i] - other.ring[j]).norm() < size * ONE_PLACE && kinds[i] == other.kinds[j]
                })
            };
            other.ring.len() == ring.len() && (0..ring.len()).any(turned)
        };
        match groups.iter_mut().find(|other| plain && same(other) && as_well(other.id, id)) {
            Some(group) => group.alike.push(face.name()),
            None => {
                groups.push(Shape { id, ring: if plain { ring } else { Vec::new() }, kinds, alike: Vec::new() });
            }
        }
    }
    groups.into_iter().map(|shape| (shape.id, shape.alike)).collect()
}
