//! Photos: marks are set, dragged and removed, the solved roof is drawn over the picture, and what does not fit is shown.

mod frame;
pub mod kept;
mod load;
mod marks;
mod plates;
mod words;
pub mod written;

use crate::drawing::views::overlay::Overlay;
use crate::viewer::app::state::AppState;
use crate::viewer::icons::Icon;
use crate::viewer::render::shown::Shown;
use crate::viewer::render::theme;
use crate::viewer::render::theme::{Palette, SMALL, colour};
use crate::viewer::widgets::{Tool, named};
use eframe::egui;
use eframe::egui::{Align2, FontId, Key, Pos2, Rect, RichText, Sense, Stroke, pos2};
use load::Load;
use std::path::PathBuf;
use std::sync::Arc;
use written::PhotoInFile;

/// A wheel or a pinch that zooms by less than this share moves nothing.
const UNMOVED: f32 = 1e-6;

pub use frame::Frame;
pub use kept::Photos;
pub use words::meaning;

/// The whole view.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, shown: &Arc<Shown>) {
    let palette = app.theme.palette();
    let list = app.written.as_deref().map(written::photos).unwrap_or_default();
    app.views.photos.open = app.views.photos.open.min(list.len().saturating_sub(1));
    let bar = egui::Frame::NONE.fill(colour(palette.paper)).inner_margin(egui::Margin::symmetric(12, 4));
    egui::Panel::top("photo tools").frame(bar).show_separator_line(false).show(ui, |ui| tools(ui, app, &list));
    let Some(photo) = list.get(app.views.photos.open) else {
        ui.centered_and_justified(|ui| {
            ui.label("No photo yet: name a file above, or drop a JPEG or PNG on the window.");
        });
        return;
    };
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
    let key = (app.path.clone(), photo.file.clone());
    let (backend, context) = (Arc::clone(&app.backend), ui.ctx().clone());
    let photos = &mut app.views.photos;
    if !photo.file.is_empty() {
        let load = photos
            .loads
            .entry(key.clone())
            .or_insert_with(|| Load::begin(&context, &backend, key.0.clone(), key.1.clone()));
        load.settle(&context, &photo.file);
    }
    let over = photos.overlay(shown);
    let decoded = match photos.loads.get(&key) {
        Some(Load::Here(here)) => Some(here.pixels.size.map(|side| side as f64)),
        _ => None,
    };
    let stated = shown.answered.job.survey.photos.get(photos.open).map(|photo| photo.size);
    let size = decoded.or(stated).unwrap_or([4000.0, 3000.0]);
    let frame = steer(ui, &response, rect, photos, size);
    photos.middle = Some(frame.pixel(rect.center()));
    let painter = ui.painter_at(rect);
    paint(&painter, rect, photos.loads.get(&key), &frame, size, palette);
    if let Some(over) = over.as_ref().filter(|_| !photos.hides_roof) {
        roof_over(&painter, over, &frame, palette);
    }
    let told = format!("photo {}, {} marks", photo.file, photo.marks.len());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Image, true, &told));
    if response.clicked() {
        response.request_focus();
        place(ui, app, &frame, size);
    }
    marks::show(ui, app, photo, over.as_deref(), rect, &frame, size);
}

/// Which photo, another photo, which point to mark next.
fn tools(ui: &mut egui::Ui, app: &mut AppState, list: &[PhotoInFile]) {
    ui.spacing_mut().item_spacing.y = 4.0;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        for (index, photo) in list.iter().enumerate() {
            let name = if photo.file.is_empty() { format!("photo {}", index + 1) } else { photo.file.clone() };
            if Tool::word(&name, "").on(app.views.photos.open == index).tab(ui).clicked() {
                let photos = &mut app.views.photos;
                (photos.open, photos.frame, photos.chosen, photos.adding) = (index, None, None, None);
            }
        }
        let hint =
            egui::TextEdit::singleline(&mut app.views.photos.typed_file).hint_text("front.jpg").desired_width(130.0);
        let field = ui.add(hint);
        named(ui, &field, "file of another photo");
        let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        if ui.button("Add photo").clicked() || entered {
            let file = app.views.photos.typed_file.trim().to_owned();
            if !file.is_empty() {
                add(app, &PathBuf::from(file));
                app.views.photos.typed_file.clear();
            }
        }
        ui.checkbox(&mut app.views.photos.hides_roof, "without the roof");
        if Tool::new(Icon::Fit, "Fit", "fill the view (key F)").show(ui).clicked() {
            app.views.photos.fit();
        }
    });
    let Some(photo) = list.get(app.views.photos.open) else { return };
    let free = app.written.as_deref().map(|written| written::free_names(written, photo)).unwrap_or_default();
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.label("mark");
        let chosen = app.views.photos.adding.clone().unwrap_or_else(|| "choose a point".to_owned());
        let combo = egui::ComboBox::from_id_salt("point to mark").selected_text(chosen).width(130.0);
        let combo = combo.show_ui(ui, |ui| {
            for name in &free {
                let adding = &mut app.views.photos.adding;
                ui.selectable_value(adding, Some(name.clone()), name);
            }
        });
        named(ui, &combo.response, "point to mark");
        ui.label("or a new one");
        let field = egui::TextEdit::singleline(&mut app.views.photos.typed_point).hint_text("R1").desired_width(60.0);
        let field = ui.add(field);
        named(ui, &field, "new point to mark");
        if field.changed() {
            let typed = app.views.photos.typed_point.trim().to_owned();
            app.views.photos.adding = (!typed.is_empty()).then_some(typed);
        }
    });
    // On a row of its own that is always there: the photo must not move away from under the hand that is to mark it.
    ui.horizontal(|ui| {
        ui.set_min_height(24.0);
        if let Some(adding) = app.views.photos.adding.clone() {
            ui.label(RichText::new(format!("click where {adding} appears")).strong());
            if ui.button("Mark the middle").on_hover_text("then nudge it with the arrow keys").clicked() {
                let middle = app.views.photos.middle;
                set_new(app, &adding, middle);
            }
        } else {
            let words = "Choose a point or name a new one, then click where it appears.";
            ui.label(RichText::new(words).color(colour(app.theme.palette().faint)));
        }
    });
}

/// Whether a file's name is that of a picture a job may hold.
#[must_use]
pub(crate) fn is_picture(path: &std::path::Path) -> bool {
    path.extension().is_some_and(|ending| ["jpg", "jpeg", "png"].iter().any(|known| ending.eq_ignore_ascii_case(known)))
}

/// Adds a photo to the file.
pub fn add(app: &mut AppState, file: &std::path::Path) {
    let count = app.written.as_deref().map(written::photos).unwrap_or_default().len();
    let edit = written::photo(app.path.as_deref(), file);
    app.edit(&[edit], "photos");
    (app.views.photos.open, app.views.photos.frame) = (count, None);
}

/// A click on the photo: the chosen point is marked there, else nothing is in hand.
fn place(ui: &egui::Ui, app: &mut AppState, frame: &Frame, size: [f64; 2]) {
    let Some(at) = ui.input(|input| input.pointer.interact_pos()) else { return };
    let pixel = frame.pixel(at);
    let inside = (0.0..=size[0]).contains(&pixel[0]) && (0.0..=size[1]).contains(&pixel[1]);
    match app.views.photos.adding.clone() {
        Some(name) if inside => set_new(app, &name, Some(pixel)),
        _ => app.views.photos.chosen = None,
    }
}

/// Marks a point for the first time; one that the file does not know becomes an unknown point of it.
fn set_new(app: &mut AppState, name: &str, pixel: Option<[f64; 2]>) {
    let Some(pixel) = pixel else { return };
    let open = app.views.photos.open;
    let written = app.written.clone().unwrap_or_default();
    let photo = written::photos(&written).into_iter().nth(open).unwrap_or_default();
    let is_known = written::free_names(&written, &photo).iter().any(|known| known == name);
    let mut edits = Vec::new();
    if !is_known && !photo.marks.iter().any(|(marked, _)| marked == name) {
        edits.push(written::point(name));
    }
    edits.push(written::mark(open, name, Some(pixel)));
    app.edit(&edits, &format!("mark {name} in photo {open}"));
    let photos = &mut app.views.photos;
    (photos.adding, photos.chosen) = (None, Some(name.to_owned()));
    photos.typed_point.clear();
}

fn steer(ui: &egui::Ui, response: &egui::Response, rect: Rect, photos: &mut Photos, size: [f64; 2]) -> Frame {
    let mut frame = photos.frame.unwrap_or_else(|| Frame::fitted(size, rect.shrink(8.0)));
    if response.dragged() {
        frame.corner += response.drag_delta();
        photos.frame = Some(frame);
    }
    if let Some(at) = response.hover_pos() {
        let (wheel, pinch) = ui.input(|input| (input.smooth_scroll_delta().y, input.zoom_delta()));
        let factor = (wheel * 0.003).exp() * pinch;
        if (factor - 1.0).abs() > UNMOVED {
            frame = frame.zoomed(at, factor);
            photos.frame = Some(frame);
        }
    }
    frame
}

fn paint(painter: &egui::Painter, rect: Rect, load: Option<&Load>, frame: &Frame, size: [f64; 2], palette: &Palette) {
    let whole = Rect::from_two_pos(frame.at([0.0, 0.0]), frame.at(size));
    let text = match load {
        Some(Load::Here(here)) => {
            let uv = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            painter.image(here.texture.id(), whole, uv, egui::Color32::WHITE);
            return;
        }
        Some(Load::Coming(_)) => "decoding the photo…".to_owned(),
        Some(Load::Failed(why)) => format!("the photo can't be shown: {why}"),
        None => "no file is named: marks and roof alone".to_owned(),
    };
    painter.rect_filled(whole, 0.0, colour(palette.panel));
    painter.rect_stroke(whole, 0.0, Stroke::new(1.0, colour(palette.rule)), egui::StrokeKind::Inside);
    let at = pos2(rect.center().x, rect.top() + 22.0);
    painter.text(at, Align2::CENTER_CENTER, text, FontId::proportional(SMALL), colour(palette.ink));
}

/// The solved roof's edges over the photo: in their pens, light on dark so that they show on any ground; hidden ones thin.
fn roof_over(painter: &egui::Painter, over: &Overlay, frame: &Frame, palette: &Palette) {
    for line in &over.lines {
        let points: Vec<Pos2> = line.points.iter().map(|at| frame.at([at.x, at.y])).collect();
        let pen = match line.pen {
            crate::drawing::Pen::Edge(kind) => theme::pen(kind),
            _ => theme::pen(crate::roof::EdgeKind::Corner),
        };
        if line.hidden {
            let thin = Stroke::new(1.0, colour(palette.accent).gamma_multiply(0.55));
            painter.extend(egui::Shape::dashed_line(&points, thin, 3.0, 4.0));
            continue;
        }
        let under = Stroke::new(pen.width + 2.0, colour(palette.paper).gamma_multiply(0.75));
        painter.add(egui::Shape::line(points.clone(), under));
        let stroke = Stroke::new(pen.width.max(1.4), colour(palette.accent));
        if pen.gap > 0.0 {
            painter.extend(egui::Shape::dashed_line(&points, stroke, pen.dash, pen.gap));
        } else {
            painter.add(egui::Shape::line(points, stroke));
        }
    }
}
