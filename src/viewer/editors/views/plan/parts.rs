//! Parts on the plan: wings and porches on their sides, dormers and openings in their faces. Each has a handle to drag it by;
//! of the one that is chosen the dimensions stand in fields, to be typed.

use super::frame::Frame;
use super::text::Taken;
use crate::viewer::app::state::AppState;
use crate::viewer::editors::forms::field;
use crate::viewer::editors::placing;
use crate::viewer::editors::placing::kept::{PartDrag, Typing};
use crate::viewer::editors::placing::placed::{self, Movable};
use crate::viewer::editors::placing::spot::{Dimension, Ground, Measure, Snap, Spot};
use crate::viewer::render::shown::Shown;
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::named;
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::{Id, Key, Rect, Sense, Shape, Stroke, Vec2, vec2};
use nalgebra::{Point2, Point3, Vector2};
use std::sync::Arc;

/// How near the middle or an end catches, points of the screen.
const CATCH: f64 = 8.0;

/// A field for a dimension, points.
const FIELD: Vec2 = vec2(62.0, 22.0);

/// Handles of all parts, and the dimensions of the one in hand.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, shown: &Arc<Shown>, rect: Rect, frame: &Frame) {
    let Some(file) = app.written.clone() else { return };
    let parts = placed::all(&file, shown);
    let mut lit = None;
    for part in &parts {
        if handle(ui, app, part, rect, frame) {
            lit = Some(part);
        }
    }
    let chosen = parts.iter().find(|part| Some(part.of) == app.views.placing.chosen);
    if let Some(part) = chosen.filter(|_| app.views.placing.dragged.is_none()) {
        fields(ui, app, part, rect, frame);
    } else if let Some(part) = lit {
        let palette = app.theme.palette();
        let painter = ui.painter_at(rect);
        let at = |place: &Point3<f64>| Some(frame.at(place.xy()));
        let format = Some(Format::of(app.units()));
        placing::dimensions(&painter, rect, &part.spot, (palette.ghost, format), palette, &at);
    }
}

fn middle(spot: &Spot) -> Point2<f64> {
    let corners = spot.corners();
    nalgebra::center(&corners[0], &corners[2]).xy()
}

/// One handle; whether it is pointed at, held or in focus.
fn handle(ui: &mut egui::Ui, app: &mut AppState, part: &Movable, rect: Rect, frame: &Frame) -> bool {
    let at = frame.at(middle(&part.spot));
    if !rect.contains(at) {
        return false;
    }
    let id = Id::unique(("part", part.of));
    let response = ui.interact(Rect::from_center_size(at, Vec2::splat(22.0)), id, Sense::click_and_drag());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Button, true, &part.name));
    let palette = app.theme.palette();
    let is_chosen = app.views.placing.chosen == Some(part.of);
    let is_lit = response.hovered() || response.dragged() || response.has_focus();
    let fill = colour(if is_lit || is_chosen { palette.ghost } else { palette.paper });
    let edge = Stroke::new(if response.has_focus() { 2.6 } else { 1.6 }, colour(palette.ghost));
    let corners = [vec2(0.0, -7.0), vec2(7.0, 0.0), vec2(0.0, 7.0), vec2(-7.0, 0.0)].map(|by| at + by);
    ui.painter_at(rect).add(Shape::convex_polygon(corners.to_vec(), fill, edge));
    if is_lit {
        ui.ctx().set_cursor_icon(egui::CursorIcon::Move);
    }
    if response.clicked() {
        response.request_focus();
        app.views.placing.chosen = Some(part.of);
        app.views.placing.typing = None;
    }
    if response.drag_started()
        && !app.is_called_off()
        && let Some(from) = ui.input(|input| input.pointer.press_origin())
    {
        let drag = PartDrag { part: part.clone(), text: app.text.clone(), from: frame.place(from) };
        app.views.placing.dragged = Some(drag);
        app.views.placing.chosen = Some(part.of);
        // The plan stands still meanwhile.
        app.views.plan.frame = Some(*frame);
        app.hold();
    }
    if response.dragged()
        && let (Some(drag), Some(to)) = (app.views.placing.dragged.clone(), response.interact_pointer_pos())
        && drag.part.of == part.of
    {
        let to = dragged(app, &drag.part.spot, frame.place(to) - drag.from, frame);
        write(app, &drag.part, &to, Some(&drag.text));
    }
    if response.drag_stopped() && app.views.placing.dragged.take().is_some() {
        app.let_go();
    }
    if response.has_focus() {
        keys(ui, app, part, id);
    }
    is_lit
}

/// Where a part stands after the hand has moved it by so much.
fn dragged(app: &AppState, from: &Spot, by: Vector2<f64>, frame: &Frame) -> Spot {
    let snap = Snap { step: placing::step(app), reach: CATCH / frame.scale };
    let mut to = from.clone();
    match &from.ground {
        Ground::Side(host) => {
            to.at[0] = snap.along(from.at[0] + host.along().dot(&by), from.size[0], host.length());
        }
        Ground::Face(surface) => {
            let along = surface.frame.along.xy().dot(&by) / surface.frame.along.xy().norm_squared();
            let up = surface.frame.up.xy().dot(&by) / surface.frame.up.xy().norm_squared();
            to.at[0] = snap.along(from.at[0] + along, from.size[0], surface.extent()[0]);
            to.at[1] = snap.stepped(from.at[1] + up).max(0.0);
        }
    }
    to
}

fn write(app: &mut AppState, part: &Movable, to: &Spot, from: Option<&str>) {
    let Some(file) = app.written.clone() else { return };
    let edits = placed::edits(&file, part, to, placing::bare(app));
    let place = format!("move {}", part.name);
    match from {
        Some(text) => app.edit_from(text, &edits, &place),
        None => app.edit(&edits, &place),
    }
}

/// Arrow keys move the part in focus by a step, with Shift by ten.
fn keys(ui: &egui::Ui, app: &mut AppState, part: &Movable, id: Id) {
    let arrows = egui::EventFilter { horizontal_arrows: true, vertical_arrows: true, ..egui::EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, arrows));
    let by = placing::arrows(ui.ctx());
    if by == Vector2::zeros() {
        return;
    }
    if let Some(to) = placing::nudged(&part.spot, by * placing::step(app)) {
        write(app, part, &to, None);
    }
}

/// The dimensions of the chosen part as fields on their lines.
fn fields(ui: &mut egui::Ui, app: &mut AppState, part: &Movable, rect: Rect, frame: &Frame) {
    let palette = app.theme.palette();
    let at = |place: &Point3<f64>| Some(frame.at(place.xy()));
    // The lines without words: the fields have them.
    placing::dimensions(&ui.painter_at(rect), rect, &part.spot, (palette.ghost, None), palette, &at);
    for (of, place) in places(part, rect, frame) {
        dimension(ui, app, part, &of, place);
    }
}

/// Where the fields of a part stand, off its handle and off each other.
fn places(part: &Movable, rect: Rect, frame: &Frame) -> Vec<(Dimension, Rect)> {
    let mut taken = vec![Rect::from_center_size(frame.at(middle(&part.spot)), Vec2::splat(20.0))];
    let mut found = Vec::new();
    for of in part.spot.dimensions().into_iter().filter(|of| placed::is_typed(part.of, of.of)) {
        let ends = [frame.at(of.from.xy()), frame.at(of.to.xy())];
        let place = Rect::from_center_size(placing::label_at(ends, FIELD, &taken, rect), FIELD);
        taken.push(place);
        if rect.contains_rect(place) {
            found.push((of, place));
        }
    }
    found
}

/// What the fields of the chosen part take up: the plan's words keep off them.
pub fn take_up(app: &AppState, shown: &Shown, rect: Rect, frame: &Frame, taken: &mut Taken) {
    let (Some(chosen), Some(file)) = (app.views.placing.chosen, app.written.as_deref()) else { return };
    let parts = placed::all(file, shown);
    for part in parts.iter().filter(|part| part.of == chosen) {
        for (_, place) in places(part, rect, frame) {
            taken.frame(place);
        }
    }
}

fn word(part: &Movable, measure: Measure) -> String {
    let word = match (measure, &part.spot.ground) {
        (Measure::Before, Ground::Side(host)) => format!("from {} to", host.corners[0]),
        (Measure::After, Ground::Side(host)) => format!("to {} from", host.corners[1]),
        (Measure::Before, Ground::Face(_)) => "from the left end to".to_owned(),
        (Measure::After, Ground::Face(_)) => "to the right end from".to_owned(),
        (Measure::Width, _) => "width of".to_owned(),
        (Measure::Reach, Ground::Side(_)) => "depth of".to_owned(),
        (Measure::Reach, Ground::Face(_)) => "up the slope to".to_owned(),
    };
    format!("{word} {}", part.name)
}

/// One field: what is typed counts once it is left by Enter or Tab; Esc leaves all as it was.
fn dimension(ui: &mut egui::Ui, app: &mut AppState, part: &Movable, of: &Dimension, place: Rect) {
    let bare = placing::bare(app);
    let usual = bare.typed(of.metres);
    let is_own = |typing: &&Typing| typing.of == part.of && typing.measure == of.of;
    let mut text =
        app.views.placing.typing.as_ref().filter(is_own).map_or_else(|| usual.clone(), |typing| typing.text.clone());
    let is_bad = placed::read(&text, bare).is_none();
    let palette = app.theme.palette();
    let id = Id::unique(("dimension", part.of, of.of));
    let edit = egui::TextEdit::singleline(&mut text)
        .id(id)
        .align(egui::Align2::CENTER_CENTER)
        .text_color(colour(if is_bad { palette.fault } else { palette.ink }));
    let response = ui.put(place, edit);
    named(ui, &response, &word(part, of.of));
    if response.gained_focus() {
        app.views.placing.typing = None;
        if !ui.input(|input| input.pointer.any_down() || input.pointer.any_released()) {
            field::select_all(ui, id, &text);
        }
    }
    if response.changed() {
        app.views.placing.typing = Some(Typing { of: part.of, measure: of.of, text: text.clone() });
    }
    if response.lost_focus()
        && let Some(typing) = app.views.placing.typing.take_if(|typing| typing.of == part.of && typing.measure == of.of)
        && !ui.input(|input| input.key_pressed(Key::Escape))
    {
        match placed::read(&typing.text, bare) {
            Some(metres) => write(app, part, &placed::with(part, of.of, metres), None),
            None => app.said = (crate::wording::placing::no_length(&typing.text), true),
        }
    }
}
