//! The courses the shader draws on a face: the layout's own where the face was laid out, else a plain bond of the card.

use super::scene::Courses;
use crate::base::ids::FaceId;
use crate::roof::FaceKind;
use crate::roof::model::frame::FaceFrame;
use crate::takeoff::card::{CoveringKind, Direction, Felt};
use crate::takeoff::layout::FaceLayout;
use crate::viewer::backend::Answered;

/// The courses of a face; `None` for walls and for level faces.
#[must_use]
pub fn of(answered: &Answered, face: FaceId) -> Option<Courses> {
    let of_face = answered.answer.roof.faces.get(face.index()).filter(|of| of.kind == FaceKind::Roof)?;
    let covering = &answered.job.covering_of(of_face).card.covering;
    let (gauge, tab, piece, projection) = match covering {
        CoveringKind::Strip(strip) => (strip.gauge, strip.tab_width(), strip.width, strip.eave_projection),
        CoveringKind::Unit(unit) => {
            (unit.gauge, unit.width + unit.joint, unit.width + unit.joint, unit.eave_projection)
        }
        // Sheets run up the slope: no butts but where one sheet's length ends.
        CoveringKind::Sheet(sheet) => (sheet.max_length, sheet.cover_width, sheet.cover_width, sheet.eave_projection),
        CoveringKind::Felt(felt) => return strips_of_felt(answered, face, felt),
    };
    let layout = answered.take_off.layouts.iter().find(|layout| layout.face == face);
    if let Some(laid) = layout.and_then(|layout| laid(layout, tab, piece)) {
        return Some(laid);
    }
    let frame = FaceFrame::of(&answered.answer.roof, of_face)?;
    let ring = answered.answer.roof.ring(of_face);
    let top = ring.iter().map(|place| frame.to_face(place).y).fold(0.0, f64::max);
    let staggers = !matches!(covering, CoveringKind::Sheet(_));
    let mut rows = Vec::new();
    while gauge > 0.0 && rows.len() as f64 * gauge < top + projection {
        let course = rows.len() as f64;
        rows.push([course * gauge - projection, if staggers { course * tab / 2.0 } else { 0.0 }]);
    }
    Some(Courses { gauge, tab, piece, rows })
}

/// Strips of felt across the slope, where they lie; those up the slope as columns side by side.
fn strips_of_felt(answered: &Answered, face: FaceId, felt: &Felt) -> Option<Courses> {
    let plan = answered.take_off.felt.cap.plans.iter().find(|plan| plan.face == face)?;
    let step = felt.width - felt.side_lap;
    Some(match felt.direction {
        Direction::Across => {
            let rows = plan.rows().iter().map(|v| [*v, 0.0]).collect();
            Courses { gauge: step, tab: felt.cap_length, piece: felt.cap_length, rows }
        }
        Direction::Up => {
            let low = plan.region.span_v().map_or(0.0, |[low, _]| low);
            let left = plan.region.span_u().map_or(0.0, |[left, _]| left);
            Courses { gauge: felt.cap_length, tab: step, piece: step, rows: vec![[low, left]] }
        }
    })
}

/// As laid out; `None` where no course was.
fn laid(layout: &FaceLayout, tab: f64, piece: f64) -> Option<Courses> {
    if layout.courses.is_empty() {
        return None;
    }
    let width = layout.courses.iter().flat_map(|course| &course.pieces).map(|piece| piece.to_u - piece.from_u).next();
    let rows = layout.courses.iter().map(|course| [course.butt_v, course.joint_u]).collect();
    Some(Courses { gauge: layout.gauge, tab, piece: width.unwrap_or(piece), rows })
}
