//! What the patterns of lines and the colours of a shade mean, in words, along the foot of the 3D view.

use super::labels::Scenery;
use super::scene::{STEEPEST_SHADE, Shade, UNSUREST_SHADE};
use super::theme::{self, Pen, SMALL};
use crate::roof::EdgeKind;
use eframe::egui;
use eframe::egui::{Align2, FontId, Pos2, Rect, Stroke, pos2, vec2};

/// In the order they are read: from the top of a roof down.
const KINDS: [EdgeKind; 9] = [
    EdgeKind::Ridge,
    EdgeKind::Hip,
    EdgeKind::Valley,
    EdgeKind::PitchBreak,
    EdgeKind::Eave,
    EdgeKind::Verge,
    EdgeKind::Top,
    EdgeKind::Abutment,
    EdgeKind::Step,
];

const ROW: f32 = 20.0;
const MARGIN: f32 = 16.0;
const SAMPLE: f32 = 38.0;

/// Draws the legend of the kinds that occur and of the shade; gives back the part of `rect` that is left for labels.
#[must_use]
pub fn draw(painter: &egui::Painter, rect: Rect, scenery: &Scenery, shade: Shade) -> Rect {
    let palette = scenery.palette;
    let ink = theme::colour(palette.ink);
    let present = |kind: &EdgeKind| scenery.scene.lines.iter().any(|line| line.kind == *kind);
    let mut at = pos2(rect.left() + MARGIN, rect.bottom() - MARGIN - ROW / 2.0);
    for kind in KINDS.iter().filter(|kind| present(kind)) {
        let galley = painter.layout_no_wrap(kind.word().to_owned(), FontId::proportional(SMALL), ink);
        let width = SAMPLE + 8.0 + galley.size().x + 20.0;
        if at.x + width > rect.right() - MARGIN {
            at = pos2(rect.left() + MARGIN, at.y - ROW);
        }
        sample(painter, at, theme::pen(*kind), ink);
        let half = galley.size().y / 2.0;
        painter.galley(pos2(at.x + SAMPLE + 8.0, at.y - half), galley, ink);
        at.x += width;
    }
    let mut top = at.y - ROW / 2.0;
    if let Some((words, scale)) = explanation(shade) {
        let faint = theme::colour(palette.ink);
        let corner = pos2(rect.right() - MARGIN, rect.top() + MARGIN);
        let text = painter.text(corner, Align2::RIGHT_TOP, words, FontId::proportional(SMALL), faint);
        if let Some([first, last]) = scale {
            ramp(painter, pos2(corner.x, text.bottom() + 6.0), scenery, [&first, &last]);
        }
    }
    top = top.max(rect.top() + 1.0);
    Rect::from_min_max(rect.min, pos2(rect.right(), top))
}

/// A line in a pen, as an example.
fn sample(painter: &egui::Painter, at: Pos2, pen: Pen, ink: egui::Color32) {
    let stroke = Stroke::new(pen.width, ink);
    let piece = |from: f32, length: f32| {
        let to = (from + length).min(SAMPLE);
        if from < SAMPLE {
            painter.line_segment([pos2(at.x + from, at.y), pos2(at.x + to, at.y)], stroke);
        }
    };
    if pen.gap <= 0.0 {
        piece(0.0, SAMPLE);
        return;
    }
    let mut from = 0.0;
    while from < SAMPLE {
        piece(from, pen.dash);
        from += pen.dash + pen.gap;
        if pen.dot > 0.0 {
            piece(from, pen.dot);
            from += pen.dot + pen.gap;
        }
    }
}

fn explanation(shade: Shade) -> Option<(&'static str, Option<[String; 2]>)> {
    match shade {
        Shade::Plain => None,
        Shade::Covering => Some(("courses and joints as laid", None)),
        Shade::Pitch => Some(("pitch", Some(["0°".into(), format!("{STEEPEST_SHADE:.0}° and steeper")]))),
        Shade::Height => Some(("a line every 0.25 m of height, a heavy one every metre", None)),
        Shade::Water => {
            Some(("water runs down the fall line; tints and dashes part the catchments of the eaves", None))
        }
        Shade::Certainty => Some((
            "how far a face may lie off, square to itself: a line every 5 mm (paper: not known)\nheavy edges: unsure \
             lengths; crosses: surveyed points, 50 times (each one standard deviation)",
            Some(["0 mm".into(), format!("{:.0} mm and more", UNSUREST_SHADE * 1e3)]),
        )),
    }
}

/// The colours of a scale in five steps with what its ends mean.
fn ramp(painter: &egui::Painter, corner: Pos2, scenery: &Scenery, ends: [&str; 2]) {
    let ink = theme::colour(scenery.palette.ink);
    let step = 26.0;
    let left = corner.x - 5.0 * step;
    for (index, rgb) in scenery.palette.scale.iter().enumerate() {
        #[allow(clippy::cast_precision_loss)]
        let x = left + index as f32 * step;
        let frame = Rect::from_min_size(pos2(x, corner.y), vec2(step, 11.0));
        painter.rect_filled(frame, 0.0, theme::colour(*rgb));
    }
    let whole = Rect::from_min_size(pos2(left, corner.y), vec2(5.0 * step, 11.0));
    painter.rect_stroke(whole, 0.0, Stroke::new(0.8, ink), egui::StrokeKind::Outside);
    let font = FontId::proportional(SMALL);
    painter.text(pos2(left, corner.y + 14.0), Align2::LEFT_TOP, ends[0], font.clone(), ink);
    painter.text(pos2(corner.x, corner.y + 14.0), Align2::RIGHT_TOP, ends[1], font, ink);
}
