//! Photos: marks are set, dragged and removed, the solved roof is drawn over the picture, and what does not fit is shown.

mod expected;
pub mod faces;
mod frame;
pub mod guided;
pub mod kept;
mod known;
mod load;
mod marks;
mod meaning;
mod next;
mod plates;
mod thumbs;
mod tools;
pub mod written;

use crate::drawing::views::overlay::Overlay;
use crate::survey::foreseen::Seen;
use crate::viewer::app::state::AppState;
use crate::viewer::render::shown::Shown;
use crate::viewer::render::theme;
use crate::viewer::render::theme::{Palette, SMALL, colour};
use crate::wording::marking as words;
use eframe::egui;
use eframe::egui::{Align2, FontId, Key, Pos2, Rect, Sense, Stroke, pos2};
use guided::Guided;
use load::Load;
use nalgebra::Point2;
use next::{Candidate, Meant};
use std::sync::Arc;
use written::PhotoInFile;

/// A wheel or a pinch that zooms by less than this share moves nothing.
const UNMOVED: f32 = 1e-6;

pub use frame::Frame;
pub use guided::wanted;
pub use kept::Photos;
pub use meaning::meaning;
pub use tools::{add, begin};

/// The whole view. Before there is a roof it is shown by what the marks tell.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, shown: Option<&Arc<Shown>>) {
    let palette = app.theme.palette();
    let list = app.written.as_deref().map(written::photos).unwrap_or_default();
    app.views.photos.open = app.views.photos.open.min(list.len().saturating_sub(1));
    let marked = app.views.photos.markings.get(&app.backend, &app.wake, &app.text, app.path.as_ref());
    let size = guided::size(app, &list, marked.as_deref());
    let guided = Guided::of(app, &list, marked.as_deref(), size);
    let bar = egui::Frame::NONE.fill(colour(palette.paper)).inner_margin(egui::Margin::symmetric(12, 4));
    egui::Panel::top("photo tools").frame(bar).show_separator_line(false).show(ui, |ui| {
        tools::show(ui, app, &list, &guided);
    });
    let Some(photo) = list.get(app.views.photos.open) else {
        ui.centered_and_justified(|ui| {
            ui.label("No photo yet: name a file above, or drop a JPEG or PNG on the window.");
        });
        return;
    };
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
    let key = (app.path.clone(), photo.file.clone());
    let (backend, context) = (Arc::clone(&app.backend), ui.ctx().clone());
    let basis = guided::basis(app, shown, marked.as_ref());
    let photos = &mut app.views.photos;
    if !photo.file.is_empty() {
        let load = photos
            .loads
            .entry(key.clone())
            .or_insert_with(|| Load::begin(&context, &backend, key.0.clone(), key.1.clone()));
        load.settle(&context, &photo.file);
    }
    let over = basis.as_ref().and_then(|basis| photos.overlay(basis));
    let frame = steer(ui, &response, rect, photos, size);
    photos.middle = Some(frame.pixel(rect.center()));
    let painter = ui.painter_at(rect);
    paint(&painter, rect, photos.loads.get(&key), &frame, size, palette);
    if let Some(over) = over.as_ref().filter(|_| !photos.hides_roof) {
        roof_over(&painter, over, &frame, palette);
    }
    let mut expected = marked.as_ref().map(|marked| marked.expected(photos.open)).unwrap_or_default();
    // What is not seen here is not looked for.
    if let Some(left_out) = photos.left_out.get(&photos.open) {
        expected.retain(|(name, _)| !left_out.contains(*name));
    }
    if !photos.is_unguided || photos.building.is_some() {
        expected::show(&painter, &frame, &expected, guided.wanted(), palette);
    }
    if let Some(points) = &photos.building {
        faces::show(&painter, &frame, points, (&photo.marks, &expected), palette);
    }
    let told = format!("photo {}, {} marks", photo.file, photo.marks.len());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::accesskit::Role::Image, true, &told));
    let pointer = ui.input(|input| input.pointer.hover_pos());
    let pointer = pointer.filter(|at| rect.contains(*at) && ui.rect_contains_pointer(rect) && !response.dragged());
    if response.clicked() {
        response.request_focus();
        click(ui, app, &frame, size, &guided, (photo, &expected));
    }
    let is_wanted = guided.wanted().is_some() || app.views.photos.building.is_some();
    let looked_at = pointer.map(|at| frame.pixel(at)).filter(|pixel| is_wanted && is_within(*pixel, size));
    marks::show(ui, app, photo, over.as_deref(), (rect, &frame, size), looked_at);
    keys(ui, app, &response, &guided);
}

fn is_within(pixel: [f64; 2], size: [f64; 2]) -> bool {
    (0.0..=size[0]).contains(&pixel[0]) && (0.0..=size[1]).contains(&pixel[1])
}

/// A hand shakes by so much, points of the screen.
const SHAKE: f64 = 5.0;

/// A click on the photo beside its marks: a corner of the face that is built, the point that is wanted, or nothing is in hand
/// any longer.
fn click(
    ui: &egui::Ui,
    app: &mut AppState,
    frame: &Frame,
    size: [f64; 2],
    guided: &Guided,
    (photo, expected): (&PhotoInFile, &[(&str, &Seen)]),
) {
    let (at, shift) = ui.input(|input| (input.pointer.interact_pos(), input.modifiers.shift));
    let Some(at) = at else { return };
    let pixel = frame.pixel(at);
    let place = Point2::from(pixel);
    let near = SHAKE / f64::from(frame.scale);
    if app.views.photos.building.is_some() {
        let places = expected.iter().filter(|(_, seen)| matches!(seen, Seen::Place { .. }));
        let nearest =
            places.map(|(name, seen)| (next::away(seen, &place, near), *name)).min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, name)) = nearest.filter(|(away, _)| *away < 3.0) {
            faces::take(app, name);
        }
        return;
    }
    if !is_within(pixel, size) {
        app.views.photos.chosen = None;
        return;
    }
    match guided {
        Guided::Nothing => app.views.photos.chosen = None,
        Guided::Chosen(name) => tools::mark(app, name, pixel),
        Guided::New(name) => {
            app.views.photos.is_new = true;
            tools::mark(app, name, pixel);
        }
        Guided::Next(name, _) => {
            let all: Vec<Candidate> = expected
                .iter()
                .filter(|(of, _)| !photo.marks.iter().any(|(marked, _)| marked == of))
                .map(|&(name, seen)| Candidate { name, seen: Some(seen), is_marked_elsewhere: true })
                .collect();
            let meant = if shift { Meant::Point(name.clone()) } else { next::meant(&all, name, &place, near) };
            match meant {
                Meant::Point(name) => tools::mark(app, &name, pixel),
                Meant::Elsewhere => app.said = (words::elsewhere(name), true),
            }
        }
    }
}

/// Keys of the view: N leaves the wanted point out in this photo, Enter closes the face that is built, Backspace takes its last
/// point back, Esc leaves off.
fn keys(ui: &egui::Ui, app: &mut AppState, response: &egui::Response, guided: &Guided) {
    let held = ui.memory(egui::Memory::focused);
    if ui.ctx().text_edit_focused()
        || held.is_some_and(|held| held != response.id) && app.views.photos.building.is_none()
    {
        return;
    }
    let pressed = |key: Key| ui.input_mut(|input| input.consume_key(egui::Modifiers::NONE, key));
    if let Guided::Next(name, _) = guided
        && held == Some(response.id)
        && pressed(Key::N)
    {
        tools::leave_out(app, name);
    }
    if app.views.photos.building.is_some() {
        if pressed(Key::Enter) {
            faces::close(app);
        }
        if pressed(Key::Backspace) {
            faces::back(&mut app.views.photos);
        }
    }
}

/// Whether a file's name is that of a picture a job may hold.
#[must_use]
pub(crate) fn is_picture(path: &std::path::Path) -> bool {
    path.extension().is_some_and(|ending| ["jpg", "jpeg", "png"].iter().any(|known| ending.eq_ignore_ascii_case(known)))
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
