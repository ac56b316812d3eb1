//! What can be taken hold of on the plan: corners, sides, points of the file.

use super::frame::Frame;
use super::plot::{Drag, Handle, Plot};
use super::text::{self, Taken};
use crate::viewer::app::state::AppState;
use crate::viewer::render::shown::Shown;
use crate::viewer::render::theme::{BODY, Palette, SMALL, colour};
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::{FontId, Id, Key, Pos2, Rect, Sense, Stroke, Vec2, vec2};
use nalgebra::{Point2, Vector2};
use std::sync::Arc;

/// What handles are drawn on.
struct PlanPaper<'a> {
    plot: Plot,
    shown: &'a Shown,
    frame: &'a Frame,
    rect: Rect,
}

/// Draws the outline, its names and its lengths, to be looked at alone.
pub fn draw(ui: &egui::Ui, app: &AppState, shown: &Arc<Shown>, rect: Rect, frame: &Frame, taken: &mut Taken) {
    let Some(file) = app.written.clone() else { return };
    let sheet = PlanPaper { plot: Plot::new(&file, shown), shown, frame, rect };
    let painter = ui.painter_at(rect);
    for (block, rings) in sheet.plot.corners.iter().enumerate() {
        for (ring, corners) in rings.iter().enumerate() {
            take_up(taken, corners, frame);
            outline(&painter, app, &sheet, (block, ring), corners, taken);
        }
    }
}

/// Draws the outline and lets corners, sides and points be moved.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, shown: &Arc<Shown>, rect: Rect, frame: &Frame, taken: &mut Taken) {
    let Some(file) = app.written.clone() else { return };
    let sheet = PlanPaper { plot: Plot::new(&file, shown), shown, frame, rect };
    let plot = &sheet.plot;
    let painter = ui.painter_at(rect);
    // What is dragged is drawn where the hand has it, not where the last answer had it.
    let held = app.views.plan.drag.as_ref().and_then(|drag| {
        let at = ui.input(|input| input.pointer.latest_pos())?;
        let by = frame.place(at) - drag.from;
        let ring = drag.ground.moved(&drag.handle, by, ui.input(|input| input.modifiers.shift))?;
        Some((drag.handle.clone(), ring))
    });
    let now = |block: usize, ring: usize| match &held {
        Some((Handle::Corner(b, r, _) | Handle::Side(b, r, _), moved)) if (*b, *r) == (block, ring) => moved,
        _ => &plot.corners[block][ring],
    };
    let rings =
        || (0..plot.corners.len()).flat_map(|block| (0..plot.corners[block].len()).map(move |ring| (block, ring)));
    for (block, ring) in rings() {
        take_up(taken, now(block, ring), frame);
    }
    for (block, rings) in plot.corners.iter().enumerate() {
        for ring in 0..rings.len() {
            let corners = now(block, ring);
            outline(&painter, app, &sheet, (block, ring), corners, taken);
            for index in 0..corners.len() {
                let next = corners[(index + 1) % corners.len()];
                let side = Handle::Side(block, ring, index);
                hold(ui, app, &sheet, &side, frame.at(nalgebra::center(&corners[index], &next)));
            }
            for (index, corner) in corners.iter().enumerate() {
                hold(ui, app, &sheet, &Handle::Corner(block, ring, index), frame.at(*corner));
            }
        }
    }
    for (_, place, _) in &plot.points {
        taken.frame(Rect::from_center_size(frame.at(*place), Vec2::splat(14.0)));
    }
    for (name, place, _) in &plot.points {
        let at = frame.at(*place);
        let palette = app.theme.palette();
        let galley = painter.layout_no_wrap(name.clone(), FontId::proportional(SMALL), colour(palette.ink));
        word(&painter, taken, text::about(at, vec2(1.0, -1.0), text::padded(galley.size())), galley, rect, palette);
        hold(ui, app, &sheet, &Handle::Point(name.clone()), at);
    }
}

/// What an outline and its handles take up.
fn take_up(taken: &mut Taken, corners: &[Point2<f64>], frame: &Frame) {
    for (index, corner) in corners.iter().enumerate() {
        let ends = [frame.at(*corner), frame.at(corners[(index + 1) % corners.len()])];
        taken.line(ends);
        taken.frame(Rect::from_center_size(ends[0], Vec2::splat(15.0)));
        taken.frame(Rect::from_center_size(ends[0] + (ends[1] - ends[0]) / 2.0, Vec2::splat(13.0)));
    }
}

/// Words at the best of some places, on paper.
fn word(
    painter: &egui::Painter,
    taken: &mut Taken,
    places: Vec<Pos2>,
    galley: Arc<egui::Galley>,
    rect: Rect,
    palette: &Palette,
) {
    let Some(place) = taken.place(places, text::padded(galley.size()), rect) else { return };
    painter.rect_filled(place, 3.0, colour(palette.paper).gamma_multiply(0.8));
    let ink = galley.job.sections.first().map_or(colour(palette.ink), |section| section.format.color);
    painter.galley(place.min + (place.size() - galley.size()) / 2.0, galley, ink);
}

/// The outline, its corners' names and its sides' lengths outside it.
fn outline(
    painter: &egui::Painter,
    app: &AppState,
    sheet: &PlanPaper,
    (block, ring): (usize, usize),
    corners: &[Point2<f64>],
    taken: &mut Taken,
) {
    let PlanPaper { plot, frame, rect, .. } = sheet;
    let palette = app.theme.palette();
    let row = &plot.blocks[block].rings[ring];
    let middle = middle(corners);
    let twice: f64 = (0..corners.len()).map(|i| corners[i].coords.perp(&corners[(i + 1) % corners.len()].coords)).sum();
    let outwards = if (twice > 0.0) == (ring == 0) { 1.0 } else { -1.0 };
    for (index, corner) in corners.iter().enumerate() {
        let next = corners[(index + 1) % corners.len()];
        let ends = [frame.at(*corner), frame.at(next)];
        painter.line_segment(ends, Stroke::new(1.6, colour(palette.accent)));
        let along = ends[1] - ends[0];
        if along.length() > 44.0 {
            let across = Vec2::new(-along.y, along.x).normalized() * outwards;
            let length = Format::of(app.units()).length((next - corner).norm());
            let galley = painter.layout_no_wrap(length, FontId::proportional(SMALL), colour(palette.ink));
            let places = text::beside(ends, across, text::padded(galley.size()));
            word(painter, taken, places, galley, *rect, palette);
        }
        let at = frame.at(*corner);
        let name = row.sides.get(index).map_or("", |side| side.name.as_str());
        let galley = painter.layout_no_wrap(name.to_owned(), FontId::proportional(BODY), colour(palette.accent));
        let places = text::about(at, at - frame.at(middle), text::padded(galley.size()));
        word(painter, taken, places, galley, *rect, palette);
    }
}

/// One handle: drawn, focused, dragged, nudged.
fn hold(ui: &mut egui::Ui, app: &mut AppState, sheet: &PlanPaper, handle: &Handle, at: Pos2) {
    let PlanPaper { plot, shown, frame, rect: within } = sheet;
    if !within.contains(at) {
        return;
    }
    let is_side = matches!(handle, Handle::Side(..));
    let size = if is_side { 9.0 } else { 11.0 };
    let name = plot.name(handle);
    let id = Id::unique(("plan", handle));
    let response = ui.interact(Rect::from_center_size(at, Vec2::splat(size + 9.0)), id, Sense::click_and_drag());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Button, true, &name));
    let palette = app.theme.palette();
    let is_lit = response.hovered() || response.dragged() || response.has_focus();
    let fill = colour(if is_lit { palette.accent } else { palette.paper });
    let edge = Stroke::new(if response.has_focus() { 2.6 } else { 1.6 }, colour(palette.accent));
    let painter = ui.painter_at(*within);
    if is_side {
        painter.rect(Rect::from_center_size(at, Vec2::splat(size)), 1.0, fill, edge, egui::StrokeKind::Middle);
    } else {
        painter.circle(at, size / 2.0, fill, edge);
    }
    if is_lit {
        ui.ctx().set_cursor_icon(egui::CursorIcon::Move);
    }
    if response.clicked() {
        response.request_focus();
    }
    if response.drag_started()
        && !app.is_called_off()
        && let Some(from) = ui.input(|input| input.pointer.press_origin())
    {
        let from = frame.place(from);
        let drag = Drag { handle: handle.clone(), text: app.text.clone(), ground: plot.clone(), from, frame: **frame };
        app.views.plan.drag = Some(drag);
        app.hold();
    }
    if response.dragged()
        && let (Some(drag), Some(to)) = (app.views.plan.drag.clone(), response.interact_pointer_pos())
    {
        let tidy = ui.input(|input| input.modifiers.shift);
        match drag.ground.edits(&drag.handle, drag.frame.place(to) - drag.from, tidy) {
            Ok(edits) => app.edit_from(&drag.text, &edits, &name),
            Err(why) => app.said = (why, true),
        }
    }
    if response.drag_stopped() && app.views.plan.drag.take().is_some() {
        app.let_go();
        say_tapes(app, shown, &name);
    }
    if response.has_focus() {
        nudge(ui, app, plot, handle, id, &name);
    }
}

/// Arrow keys move what is in focus by a step, with Shift by ten.
fn nudge(ui: &egui::Ui, app: &mut AppState, plot: &Plot, handle: &Handle, id: Id, name: &str) {
    let arrows = egui::EventFilter { horizontal_arrows: true, vertical_arrows: true, ..egui::EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, arrows));
    let by = ui.input(|input| {
        let step = |event: &egui::Event| match event {
            egui::Event::Key { key, pressed: true, modifiers, .. } => {
                let way = match key {
                    Key::ArrowLeft => -Vector2::x(),
                    Key::ArrowRight => Vector2::x(),
                    Key::ArrowUp => Vector2::y(),
                    Key::ArrowDown => -Vector2::y(),
                    _ => return None,
                };
                Some(if modifiers.shift { way * 10.0 } else { way })
            }
            _ => None,
        };
        input.events.iter().filter_map(step).fold(Vector2::zeros(), |sum, step| sum + step)
    });
    if by == Vector2::zeros() {
        return;
    }
    let by = by * plot.bare.nudge();
    // A side moves across itself only: by the whole step, if the key points that way at all.
    let by = match handle {
        Handle::Side(block, ring, index) => {
            let corners = &plot.corners[*block][*ring];
            let along = (corners[(index + 1) % corners.len()] - corners[*index]).normalize();
            let across = Vector2::new(-along.y, along.x);
            let share = across.dot(&by) / by.norm();
            if share.abs() < 0.3 {
                return;
            }
            across * (share.signum() * by.norm())
        }
        _ => by,
    };
    match plot.edits(handle, by, false) {
        Ok(edits) => app.edit(&edits, name),
        Err(why) => app.said = (why, true),
    }
}

/// A tape says what it said before: the hand that moved a corner should know.
fn say_tapes(app: &mut AppState, shown: &Shown, name: &str) {
    let tapes = app.written.as_ref().map_or(0, |file| file.list("tape").len());
    if tapes > 0 && !shown.answered.answer.corners.is_empty() {
        let words =
            format!("moved {name}; tapes still say what they said: see the page Measures if one no longer fits");
        app.said = (words, false);
    }
}

/// The middle of a ring's corners.
fn middle(ring: &[Point2<f64>]) -> Point2<f64> {
    let sum = ring.iter().fold(nalgebra::Vector2::zeros(), |sum, corner| sum + corner.coords);
    Point2::from(sum / ring.len().max(1) as f64)
}
