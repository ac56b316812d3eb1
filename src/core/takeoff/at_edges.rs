//! What is done at a face's edges, and where its nails go: told from what was counted, so that nobody works it out again.

use super::card::{Card, CoveringKind};
use super::details::Hand;
use super::details::{Cover, Nailing, OverTop, TopEdge, ValleySide, ValleyStretch};
use super::fixings::nail_rule;
use super::goods::Exposure;
use super::layout::FaceLayout;
use super::margins::Margins;
use super::outline::{CoveredFace, FaceEdge};
use super::valley::CLEAR_OF_JOINTS;
use super::valleys::ValleyConstruction;
use crate::base::tolerance;
use crate::roof::EdgeKind;
use nalgebra::Point2;

/// Top corners of strips are clipped by so much along verges (common practice, no source).
const CORNER_CLIP: f64 = 0.025;

/// The line of nails of a strip stands so far above its cutouts (common practice, no source).
const ABOVE_CUTOUTS: f64 = 0.015;

/// The line of nails of slates and tiles stands so far above the head of the course below (common practice, no source).
const ABOVE_HEAD: f64 = 0.010;

/// Outer nails stand so far from the ends of a piece, and those of single tabs so far above the gauge (common practice, no
/// source).
const FROM_ENDS: f64 = 0.025;

/// Fills in what is told of each face's edges and nails. O(edges × courses).
pub(super) fn tell(
    faces: &[CoveredFace],
    layouts: &mut [FaceLayout],
    card: &Card,
    exposure: Exposure,
    margins: &Margins,
) {
    for (face, layout) in faces.iter().zip(layouts) {
        let is_strip = matches!(card.covering, CoveringKind::Strip(_));
        let has_verge = face.edges.iter().any(|edge| edge.kind == EdgeKind::Verge);
        layout.details.nailing = nailing(card, face.pitch, layout.gauge, exposure);
        layout.details.corner_clip = (is_strip && has_verge).then_some(CORNER_CLIP);
        layout.details.valleys = valleys(face, margins);
        layout.details.tops = tops(face, layout);
        layout.details.covers = covers(face, card);
        layout.details.lapped = lapped(face, margins.runs_on);
    }
}

fn nailing(card: &Card, pitch: f64, gauge: f64, exposure: Exposure) -> Option<Nailing> {
    let nails = card.nails.as_ref()?;
    let from_butt = match &card.covering {
        CoveringKind::Strip(strip) => strip.cutout + ABOVE_CUTOUTS,
        // Single tabs of bitumen are nailed as caps are; slates just above the head of those they lie on.
        CoveringKind::Unit(_) if card.adhesive.is_some() => gauge + FROM_ENDS,
        CoveringKind::Unit(unit) if unit.layers > 1 => unit.height - gauge + ABOVE_HEAD,
        // Hung on battens by their heads.
        CoveringKind::Unit(unit) => unit.height - FROM_ENDS,
        CoveringKind::Sheet(_) | CoveringKind::Felt(_) => return None,
    };
    let rule = nail_rule(nails, pitch, exposure)?;
    Some(Nailing { per_piece: rule.per_piece, least: nails.least, from_butt, from_ends: FROM_ENDS })
}

fn valleys(face: &CoveredFace, margins: &Margins) -> Vec<ValleyStretch> {
    let stretch = |edge: &FaceEdge| {
        let upwards = edge.to.y >= edge.from.y;
        let order = |pair: [Point2<f64>; 2]| if upwards { pair } else { [pair[1], pair[0]] };
        let at = if upwards { edge.reach } else { [edge.reach[1], edge.reach[0]] };
        let through = ValleySide::Through { past: at[0], no_joint_within: CLEAR_OF_JOINTS };
        let side = match edge.made? {
            ValleyConstruction::Open => ValleySide::Open {
                clear: margins.valley_clear,
                widen: margins.valley_widen,
                at: at.map(|reach| -reach),
            },
            ValleyConstruction::Closed { first } if first == face.id => through,
            ValleyConstruction::Closed { .. } => ValleySide::Cut { short: -at[0] },
            ValleyConstruction::Woven => through,
        };
        // Going round anticlockwise, a line that goes up has the face on its left.
        let hand = if upwards { Hand::Right } else { Hand::Left };
        Some(ValleyStretch { edge: edge.id, ends: order([edge.from, edge.to]), hand, side })
    };
    let mut told: Vec<ValleyStretch> = face.edges.iter().filter_map(stretch).collect();
    told.sort_by(|a, b| a.edge.cmp(&b.edge).then(a.ends[0].y.total_cmp(&b.ends[0].y)));
    told
}

fn tops(face: &CoveredFace, layout: &FaceLayout) -> Vec<TopEdge> {
    let ends_courses = |edge: &&FaceEdge| edge.is_level && !edge.is_low && edge.kind != EdgeKind::Valley;
    let top = |edge: &FaceEdge| {
        let v = edge.covered[0].y.max(edge.covered[1].y);
        let u = [edge.covered[1].x, edge.covered[0].x];
        let at_ridge = edge.kind == EdgeKind::Ridge && face.top - edge.from.y < tolerance::SMALLEST;
        let stands_over = |(index, course): (usize, &super::layout::Course)| {
            let under = |piece: &super::layout::LaidPiece| {
                let [left, right] = piece.extent();
                left < u[1] - tolerance::SMALLEST && right > u[0] + tolerance::SMALLEST
            };
            let by = course.head_v - v;
            let folds = at_ridge && layout.folds_to.is_some_and(|to| course.head_v <= to + tolerance::SMALLEST);
            let over = by > tolerance::SMALLEST && course.butt_v < v && course.pieces.iter().any(under);
            over.then_some(OverTop { course: index + 1, by, folds })
        };
        let over = layout.courses.iter().enumerate().filter_map(stands_over).collect();
        TopEdge { edge: edge.id, kind: edge.kind, v, u, over }
    };
    face.edges.iter().filter(ends_courses).map(top).collect()
}

/// Lines along which caps cover the courses, or an apron does.
fn covers(face: &CoveredFace, card: &Card) -> Vec<Cover> {
    let caps = card.caps.as_ref().map(|caps| caps.half_cover);
    let apron = super::covering::apron_cover(card);
    let by = |edge: &FaceEdge| match edge.kind {
        EdgeKind::Ridge | EdgeKind::Hip => caps,
        EdgeKind::Abutment if edge.is_level && !edge.is_low => Some(apron),
        _ => None,
    };
    let cover = |edge: &FaceEdge| Some(Cover { kind: edge.kind, line: [edge.from, edge.to], by: by(edge)? });
    face.edges.iter().filter_map(cover).collect()
}

/// Breaks over which the courses of the slope below run on up.
fn lapped(face: &CoveredFace, by: f64) -> Vec<Cover> {
    let runs_on = |edge: &&FaceEdge| edge.kind == EdgeKind::PitchBreak && edge.is_low && !edge.begins_anew;
    let cover = |edge: &FaceEdge| Cover { kind: edge.kind, line: [edge.from, edge.to], by };
    face.edges.iter().filter(runs_on).map(cover).collect()
}
