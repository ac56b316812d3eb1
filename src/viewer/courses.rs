//! Which pattern of courses the shader draws on a face: the layout's where the face was laid out, else the card's own.

use super::backend::Answered;
use super::scene::Courses;
use crate::base::ids::FaceId;
use crate::roof::FaceKind;
use crate::takeoff::card::CoveringKind;

/// The pattern of a face; `None` for walls and for coverings without courses.
#[must_use]
pub fn of(answered: &Answered, face: FaceId) -> Option<Courses> {
    if answered.roof.faces.get(face.index())?.kind == FaceKind::Wall {
        return None;
    }
    let card = match &answered.job.covering.card.covering {
        CoveringKind::Strip(strip) => {
            Courses { gauge: strip.gauge, tab: strip.tab_width(), projection: strip.eave_projection, phase: 0 }
        }
        CoveringKind::Unit(unit) => {
            Courses { gauge: unit.gauge, tab: unit.width + unit.joint, projection: unit.eave_projection, phase: 0 }
        }
        CoveringKind::Sheet(sheet) => {
            // Sheets run up the slope: no butts but where one sheet's length ends.
            let courses = Courses {
                gauge: sheet.max_length,
                tab: sheet.cover_width,
                projection: sheet.eave_projection,
                phase: 0,
            };
            return Some(courses);
        }
    };
    let laid = answered.layout.iter().find(|layout| layout.face == face);
    Some(laid.map_or(card, |layout| Courses { gauge: layout.gauge, phase: layout.phase, ..card }))
}
