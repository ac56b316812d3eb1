//! Faces in true shape with their courses, and figures side by side at one scale.

use super::SheetInput;
use super::alike::Noise;
use super::what::sentence;
use crate::base::ids::FaceId;
use crate::drawing::Drawing;
use crate::drawing::typeset::document::Document;
use crate::drawing::typeset::figure;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::frame;
use crate::drawing::views::face;
use crate::roof::EdgeKind;
use crate::roof::model::frame::FaceFrame;
use crate::takeoff::card::CoveringKind;
use nalgebra::Point2;

/// Room for two lines beneath a figure, millimetres.
const CAPTION: f64 = 12.0;

/// Figures in rows at one scale, with a bar for all of them, on about so many pages at most.
pub(super) fn side_by_side(
    input: &SheetInput<'_>,
    document: &mut Document,
    heading: &str,
    figures: &[&dyn Figure],
    captions: &[String],
    most: f64,
) {
    let Some(abreast) = figure::abreast(figures, input.context, input.room(1.0), CAPTION, most) else { return };
    if abreast.drawings.is_empty() {
        return;
    }
    document.heading(2, heading);
    document.figure(Some(frame::scale_strip(input.context, abreast.scale)), "");
    let caption = |(index, drawing): (usize, Drawing)| (drawing, captions[index].clone());
    document.figures(abreast.drawings.into_iter().map(caption).collect());
}

/// Faces that one drawing stands for.
#[derive(Clone, Debug)]
pub(super) struct Alike {
    /// The face that is drawn.
    pub(super) face: FaceId,
    /// Names of those of the same shape.
    pub(super) same: Vec<String>,
    /// Names of those that differ by no more than the measurements leave open.
    pub(super) near: Vec<String>,
    /// Whether all are laid the same, joint for joint.
    joint_for_joint: bool,
}

/// Roof faces by the drawings that stand for them. O(faces² × corners).
pub(super) fn groups(input: &SheetInput<'_>) -> Vec<Alike> {
    let (roof, openings) = (&input.answer.roof, &input.answer.openings);
    let noise = Noise::of(input.answer).length;
    let mut groups: Vec<Alike> = Vec::new();
    for (face, same, joint_for_joint) in face::groups_as_coursed(roof, openings, &input.take_off.layouts) {
        let is_near = |group: &&mut Alike| noise > 0.0 && differ_by_noise(input, group.face, face, noise);
        match groups.iter_mut().find(is_near) {
            Some(group) => {
                group.near.push(roof.faces[face.index()].name());
                group.near.extend(same);
                group.joint_for_joint = false;
            }
            None => groups.push(Alike { face, same, near: Vec::new(), joint_for_joint }),
        }
    }
    groups
}

/// Whether two faces without openings have the same corners and courses but for so much, metres.
fn differ_by_noise(input: &SheetInput<'_>, one: FaceId, other: FaceId, noise: f64) -> bool {
    let roof = &input.answer.roof;
    let is_plain = |face: FaceId| {
        roof.faces[face.index()].holes.is_empty() && !input.answer.openings.iter().any(|opening| opening.face == face)
    };
    let kinds = |face: FaceId| -> Vec<EdgeKind> {
        roof.faces[face.index()].edges.iter().map(|edge| roof.edges[edge.index()].kind).collect()
    };
    let ring = |face: FaceId| -> Vec<Point2<f64>> {
        let of = &roof.faces[face.index()];
        let frame = FaceFrame::of(roof, of);
        frame.map_or_else(Vec::new, |frame| roof.ring(of).iter().map(|place| frame.to_face(place)).collect())
    };
    let courses = |face: FaceId| {
        let layout = input.take_off.layouts.iter().find(|layout| layout.face == face);
        layout.map(|layout| (layout.courses.len(), input.context.words.finer(layout.gauge)))
    };
    let (a, b, of_a, of_b) = (ring(one), ring(other), kinds(one), kinds(other));
    let turned = |shift: usize| {
        (0..a.len()).all(|at| {
            let to = (at + shift) % b.len();
            (a[at] - b[to]).norm() <= noise && of_a[at] == of_b[to]
        })
    };
    let same_rings = !a.is_empty() && a.len() == b.len() && of_a.len() == of_b.len();
    is_plain(one) && is_plain(other) && same_rings && courses(one) == courses(other) && (0..a.len()).any(turned)
}

/// Faces in true shape, side by side at one scale.
pub(super) fn shapes(input: &SheetInput<'_>, document: &mut Document) {
    let roof = &input.answer.roof;
    let mut shapes = Vec::new();
    let mut captions = Vec::new();
    for Alike { face: id, same, near, joint_for_joint } in groups(input) {
        let layout = input.take_off.layouts.iter().find(|layout| layout.face == id);
        let covering = input.job.covering_of(&roof.faces[id.index()]);
        let laid = match (layout, &covering.card.covering) {
            (Some(layout), CoveringKind::Strip(_) | CoveringKind::Unit(_)) if !joint_for_joint => {
                face::Laid::CourseLines(layout)
            }
            (Some(layout), covering) => face::Laid::of(layout, covering),
            (None, _) => face::Laid::Bare,
        };
        let Some(shape) = face::FaceShape::new(input.answer, id, laid, &same, input.context.words) else { continue };
        let remarks = shape.furniture().remarks.join(" ");
        let mut caption = format!("{} {remarks}", sentence(&shape.title())).trim_end().to_owned();
        if !near.is_empty() {
            caption.push_str(&format!(" {} alike, as near as measured.", near.join(", ")));
        }
        captions.push(caption);
        shapes.push(shape);
    }
    let figures: Vec<&dyn Figure> = shapes.iter().map(|shape| shape as &dyn Figure).collect();
    // One or two beside what else is laid by; else four or five of them to a page, if need be at a smaller scale.
    let most = if figures.len() <= 2 { 0.35 } else { (figures.len() as f64 * 0.13).max(0.75) };
    side_by_side(input, document, "Faces in true shape", &figures, &captions, most);
}
