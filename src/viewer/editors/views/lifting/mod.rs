//! Handles of the chosen face in 3D: its eave, its pitch and its ridge are dragged up and down, or moved by key; the file says
//! the height and the pitch that follow.

pub mod handle;
pub mod kept;

use crate::viewer::app::state::AppState;
use crate::viewer::editors::placing;
use crate::viewer::render::camera::Camera;
use crate::viewer::render::canvas::Seen;
use crate::viewer::render::shown::Shown;
use crate::viewer::render::theme::{Palette, SMALL, colour};
use crate::wording::lifting as words;
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::{FontId, Id, Painter, Pos2, Rect, Sense, Shape, Stroke, Vec2, vec2};
use handle::{Handle, Lifts, Step};
use kept::Held;
use std::sync::Arc;

/// A hand moves pitches by this, degrees; with Shift by a tenth of a degree, and heights by a centimetre.
const DEGREES: f64 = 0.5;
const FINE: (f64, f64) = (0.01, 0.1);

/// The handles of the chosen face.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, shown: &Arc<Shown>, seen: &Seen) {
    let Some(face) = app.look.chosen else { return };
    let (rect, origin) = (seen.response.rect, shown.scene.origin);
    let at = placing::on_screen(seen.camera, rect, origin);
    for handle in handle::of(shown, face) {
        let Some(place) = at(&handle.at).filter(|place| rect.shrink(8.0).contains(*place)) else { continue };
        one(ui, app, shown, &handle, place, (rect, &seen.camera));
    }
}

fn step(ui: &egui::Ui, app: &AppState) -> Step {
    let bare = placing::bare(app);
    if ui.input(|input| input.modifiers.shift) {
        return Step { metres: FINE.0, degrees: FINE.1, bare };
    }
    Step { metres: placing::step(app), degrees: DEGREES, bare }
}

fn one(
    ui: &mut egui::Ui,
    app: &mut AppState,
    shown: &Shown,
    handle: &Handle,
    at: Pos2,
    (rect, camera): (Rect, &Camera),
) {
    let name = handle.name();
    let id = Id::unique(("lift", &name));
    let response = ui.interact(Rect::from_center_size(at, Vec2::splat(24.0)), id, Sense::click_and_drag());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Button, true, &name));
    let is_lit = response.hovered() || response.dragged() || response.has_focus();
    let painter = ui.painter_at(rect);
    let palette = app.theme.palette();
    draw(&painter, at, is_lit, response.has_focus(), palette);
    if is_lit {
        ui.ctx().set_cursor_icon(egui::CursorIcon::ResizeVertical);
        let told = app
            .views
            .lifting
            .held
            .as_ref()
            .filter(|held| held.handle.lifts == handle.lifts)
            .map(|held| held.told.clone());
        let words = told.filter(|told| !told.is_empty()).unwrap_or_else(|| word(handle.lifts).to_owned());
        plate(&painter, at, &words, palette);
    }
    if response.clicked() {
        response.request_focus();
    }
    let origin = shown.scene.origin;
    let height = |pointer: Pos2, handle: &Handle| {
        let share = (pointer - rect.min) / rect.size();
        let ray = camera.ray(f64::from(share.x), f64::from(share.y), f64::from(rect.aspect_ratio()));
        kept::above(&handle.at, &(ray.from + origin), &ray.along)
    };
    if response.drag_started()
        && !app.is_called_off()
        && let Some(from) = ui.input(|input| input.pointer.press_origin()).and_then(|from| height(from, handle))
    {
        app.views.lifting.held =
            Some(Held { handle: handle.clone(), text: app.text.clone(), from, told: String::new() });
        app.hold();
    }
    if response.dragged()
        && let (Some(held), Some(pointer)) = (app.views.lifting.held.clone(), response.interact_pointer_pos())
        && held.handle.lifts == handle.lifts
        && let Some(up) = height(pointer, &held.handle)
    {
        let step = step(ui, app);
        let file = app.backend.written(&held.text).unwrap_or_default();
        if let Some((edits, number)) = held.handle.lifted(&file, up - held.from, step) {
            app.edit_from(&held.text, &edits, &name);
            if let Some(held) = &mut app.views.lifting.held {
                held.told = told(handle.lifts, number, Format::of(shown.answered.job.units));
            }
        }
    }
    if response.drag_stopped() && app.views.lifting.held.take().is_some() {
        app.let_go();
    }
    if response.has_focus() {
        keys(ui, app, handle, id, &name);
    }
}

/// Up and down by a step.
fn keys(ui: &egui::Ui, app: &mut AppState, handle: &Handle, id: Id, name: &str) {
    let arrows = egui::EventFilter { vertical_arrows: true, ..egui::EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, arrows));
    let steps = placing::arrows(ui.ctx()).y;
    let Some(file) = app.written.clone().filter(|_| steps != 0.0) else { return };
    let step = Step { metres: placing::step(app), degrees: DEGREES, bare: placing::bare(app) };
    if let Some((edits, _)) = handle.stepped(&file, steps, step) {
        app.edit(&edits, name);
    }
}

fn word(lifts: Lifts) -> &'static str {
    match lifts {
        Lifts::Eave => words::EAVE,
        Lifts::Pitch => words::PITCH,
        Lifts::Ridge => words::RIDGE,
    }
}

fn told(lifts: Lifts, number: f64, format: Format) -> String {
    match lifts {
        Lifts::Eave => words::eave(number, format),
        Lifts::Pitch => words::pitch(number, format),
        Lifts::Ridge => words::ridge(number, format),
    }
}

/// Two arrow heads, up and down, on a disc.
fn draw(painter: &Painter, at: Pos2, is_lit: bool, has_focus: bool, palette: &Palette) {
    let (ground, ink) = if is_lit { (palette.accent, palette.paper) } else { (palette.paper, palette.accent) };
    let edge = Stroke::new(if has_focus { 2.6 } else { 1.6 }, colour(palette.accent));
    painter.circle(at, 9.5, colour(ground), edge);
    for way in [-1.0, 1.0] {
        let head = [vec2(-3.5, 2.0), vec2(0.0, 5.5), vec2(3.5, 2.0)].map(|by| at + vec2(by.x, by.y * way));
        painter.add(Shape::line(head.to_vec(), Stroke::new(1.6, colour(ink))));
    }
}

fn plate(painter: &Painter, at: Pos2, words: &str, palette: &Palette) {
    let galley = painter.layout_no_wrap(words.to_owned(), FontId::proportional(SMALL), colour(palette.ink));
    let frame = Rect::from_min_size(at + vec2(14.0, -galley.size().y / 2.0 - 2.0), galley.size() + vec2(10.0, 4.0));
    painter.rect_filled(frame, 5.0, colour(palette.paper).gamma_multiply(0.92));
    painter.galley(frame.min + vec2(5.0, 2.0), galley, colour(palette.ink));
}
