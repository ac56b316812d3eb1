//! Small pictures of all photos: which is open, and how many marks each has.

use super::kept::Photos;
use super::load::Small;
use super::written::PhotoInFile;
use crate::viewer::app::state::AppState;
use crate::viewer::render::theme::{SMALL, colour};
use crate::wording::marking;
use eframe::egui;
use eframe::egui::{FontId, Rect, ScrollArea, Sense, Stroke, pos2, vec2};
use std::sync::Arc;

/// Size of a picture, and of what stands beside it, points.
const PICTURE: egui::Vec2 = vec2(56.0, 42.0);
const WORDS: f32 = 84.0;

/// The row of thumbnails.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, list: &[PhotoInFile]) {
    load(ui.ctx(), app, list);
    ScrollArea::horizontal().id_salt("photos").auto_shrink([false, true]).show(ui, |ui| {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            for (index, photo) in list.iter().enumerate() {
                if one(ui, app, photo, index) {
                    app.views.photos.turn_to(index);
                }
            }
        });
    });
}

/// One small picture after the other is made: none waits long, and few pixels are held at once.
fn load(context: &egui::Context, app: &mut AppState, list: &[PhotoInFile]) {
    let (path, backend) = (app.path.clone(), Arc::clone(&app.backend));
    let small = &mut app.views.photos.small;
    for (name, of) in small.iter_mut() {
        of.settle(context, &name.1);
    }
    if small.values().any(Small::is_coming) {
        return;
    }
    let missing =
        list.iter().find(|photo| !photo.file.is_empty() && !small.contains_key(&(path.clone(), photo.file.clone())));
    if let Some(photo) = missing {
        let begun = Small::begin(context, &backend, path.clone(), photo.file.clone());
        small.insert((path, photo.file.clone()), begun);
    }
}

/// One thumbnail; whether it was pressed.
fn one(ui: &mut egui::Ui, app: &AppState, photo: &PhotoInFile, index: usize) -> bool {
    let palette = app.theme.palette();
    let photos: &Photos = &app.views.photos;
    let name = if photo.file.is_empty() { format!("photo {}", index + 1) } else { photo.file.clone() };
    let (rect, response) = ui.allocate_exact_size(vec2(PICTURE.x + WORDS, PICTURE.y + 6.0), Sense::click());
    let is_open = photos.open == index;
    response.widget_info(|| egui::WidgetInfo::selected(egui::accesskit::Role::Tab, true, is_open, &name));
    let painter = ui.painter_at(rect);
    let is_met = response.hovered() || response.has_focus();
    let edge = if response.has_focus() || is_open { Stroke::new(1.6, colour(palette.accent)) } else { Stroke::NONE };
    let fill = if is_met || is_open { colour(palette.panel) } else { colour(palette.paper) };
    painter.rect(rect, 4.0, fill, edge, egui::StrokeKind::Inside);
    let place = Rect::from_min_size(rect.min + vec2(4.0, 3.0), PICTURE);
    match photos.small.get(&(app.path.clone(), photo.file.clone())) {
        Some(Small::Here(texture)) => {
            let size = texture.size_vec2();
            let scale = (PICTURE.x / size.x).min(PICTURE.y / size.y);
            let fitted = Rect::from_center_size(place.center(), size * scale);
            let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            painter.image(texture.id(), fitted, whole, egui::Color32::WHITE);
        }
        _ => {
            painter.rect_stroke(place, 2.0, Stroke::new(1.0, colour(palette.rule)), egui::StrokeKind::Inside);
        }
    }
    let words = Rect::from_min_max(pos2(place.right() + 6.0, rect.top()), rect.max);
    let inside = painter.with_clip_rect(words);
    let count = marking::marks(photo.marks.len());
    for (text, ink, y) in [(name.as_str(), palette.ink, 9.0), (count.as_str(), palette.faint, 26.0)] {
        let galley = inside.layout_no_wrap(text.to_owned(), FontId::proportional(SMALL), colour(ink));
        inside.galley(pos2(words.left(), rect.top() + y), galley, colour(ink));
    }
    response.on_hover_text(name).clicked()
}
