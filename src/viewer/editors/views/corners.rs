//! Points of the file on plan and roof while a face is built of them: each can be clicked, in order round the face.

use super::photos::faces;
use crate::viewer::app::state::AppState;
use crate::viewer::editors::placing::OnScreen;
use crate::viewer::icons::Icon;
use crate::viewer::render::shown::Shown;
use crate::viewer::render::theme::{SMALL, colour};
use crate::viewer::widgets::Tool;
use crate::wording::marking as words;
use eframe::egui;
use eframe::egui::{FontId, Id, Key, Pos2, Rect, Sense, Shape, Stroke, Vec2, pos2, vec2};

/// The switch, where the file has points.
pub fn tool(ui: &mut egui::Ui, app: &mut AppState, has_word: bool) {
    if app.written.as_ref().is_none_or(|file| file.table("points").is_none()) {
        return;
    }
    let building = &mut app.views.photos.building;
    let tool = Tool::new(Icon::Plan, "Build faces", "click the corners of a face in order round it (Esc leaves off)");
    if tool.with_word(has_word).on(building.is_some()).show(ui).clicked() {
        *building = if building.is_some() { None } else { Some(Vec::new()) };
    }
}

/// The points that have places, and the face that is built.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, shown: &Shown, rect: Rect, at: &OnScreen) {
    let Some(points) = app.views.photos.building.clone() else { return };
    // Before a point in focus takes it for its own: that one is taken by Space.
    let is_closed = points.len() > 2
        && !ui.ctx().text_edit_focused()
        && ui.input_mut(|input| input.consume_key(egui::Modifiers::NONE, Key::Enter));
    let palette = app.theme.palette();
    let painter = ui.painter_at(rect);
    let found = shown.answered.answer.survey.points.iter().filter(|point| point.located);
    let places: Vec<(&str, Pos2)> = found.filter_map(|point| Some((point.name.as_str(), at(&point.at)?))).collect();
    let of = |name: &String| places.iter().find(|(of, _)| of == name).map(|(_, at)| *at);
    let ring: Vec<Pos2> = points.iter().filter_map(of).collect();
    if ring.len() > 2 {
        painter.add(Shape::convex_polygon(ring.clone(), colour(palette.ghost).gamma_multiply(0.25), Stroke::NONE));
    }
    painter.add(Shape::line(ring, Stroke::new(2.4, colour(palette.ghost))));
    let mut taken = None;
    for (name, place) in places.iter().filter(|(_, place)| rect.contains(*place)) {
        let id = Id::unique(("corner", *name));
        let response = ui.interact(Rect::from_center_size(*place, Vec2::splat(20.0)), id, Sense::click());
        let told = format!("corner of a face: {name}");
        response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Button, true, &told));
        let is_lit = response.hovered() || response.has_focus() || points.iter().any(|point| point == name);
        let fill = colour(if is_lit { palette.ghost } else { palette.paper });
        painter.circle(*place, 6.0, fill, Stroke::new(1.8, colour(palette.ghost)));
        let galley = painter.layout_no_wrap((*name).to_owned(), FontId::proportional(SMALL), colour(palette.ghost));
        let frame = Rect::from_min_size(*place + vec2(8.0, -16.0), galley.size() + vec2(6.0, 0.0));
        painter.rect_filled(frame, 4.0, colour(palette.paper).gamma_multiply(0.85));
        painter.galley(frame.min + vec2(3.0, 0.0), galley, colour(palette.ghost));
        if response.clicked() {
            response.request_focus();
            taken = Some((*name).to_owned());
        }
    }
    let told = words::face(&points);
    let galley = painter.layout_no_wrap(told, FontId::proportional(SMALL), colour(palette.ink));
    let size = galley.size() + vec2(16.0, 8.0);
    let frame = Rect::from_min_size(pos2(rect.center().x - size.x / 2.0, rect.bottom() - 34.0 - size.y), size);
    let edge = Stroke::new(1.0, colour(palette.ink));
    painter.rect(frame, 5.0, colour(palette.paper).gamma_multiply(0.95), edge, egui::StrokeKind::Inside);
    painter.galley(frame.min + vec2(8.0, 4.0), galley, colour(palette.ink));
    match taken {
        Some(name) => faces::take(app, &name),
        None if is_closed => faces::close(app),
        None => {}
    }
}
