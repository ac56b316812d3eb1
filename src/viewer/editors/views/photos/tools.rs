//! The tools above a photo: all photos as thumbnails, which point is marked next, faces.

use super::guided::Guided;
use super::thumbs;
use super::written::{self, PhotoInFile};
use crate::viewer::app::state::AppState;
use crate::viewer::icons::Icon;
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::{Tool, named};
use crate::wording::marking as words;
use eframe::egui;
use eframe::egui::{Key, RichText};
use std::path::{Path, PathBuf};

/// Which photo, another photo, which point to mark next.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, list: &[PhotoInFile], guided: &Guided) {
    ui.spacing_mut().item_spacing.y = 4.0;
    if !list.is_empty() {
        thumbs::show(ui, app, list);
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        another(ui, app);
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
        let chosen = guided.wanted().unwrap_or("choose a point").to_owned();
        let combo = egui::ComboBox::from_id_salt("point to mark").selected_text(chosen).width(96.0);
        let combo = combo.show_ui(ui, |ui| {
            for name in &free {
                let adding = &mut app.views.photos.adding;
                ui.selectable_value(adding, Some(name.clone()), name);
            }
        });
        named(ui, &combo.response, "point to mark");
        let field =
            egui::TextEdit::singleline(&mut app.views.photos.typed_point).hint_text("or R1").desired_width(52.0);
        let field = ui.add(field);
        named(ui, &field, "new point to mark");
        if field.changed() {
            let typed = app.views.photos.typed_point.trim().to_owned();
            app.views.photos.adding = (!typed.is_empty()).then_some(typed);
        }
        switches(ui, app);
    });
    // On a row of its own that is always there: the photo must not move away from under the hand that is to mark it.
    ui.horizontal(|ui| {
        ui.set_min_height(28.0);
        next(ui, app, guided);
    });
}

/// A field for the file of another photo.
fn another(ui: &mut egui::Ui, app: &mut AppState) {
    let hint = egui::TextEdit::singleline(&mut app.views.photos.typed_file).hint_text("front.jpg").desired_width(110.0);
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
}

/// Whether the next click makes a new point, builds a face, or is not guided.
fn switches(ui: &mut egui::Ui, app: &mut AppState) {
    let photos = &mut app.views.photos;
    let new = Tool::word("New point", "each click makes a point that the file does not know yet (Esc leaves off)");
    if new.on(photos.is_new).show(ui).clicked() {
        photos.is_new ^= true;
        (photos.adding, photos.building, photos.is_unguided) = (None, None, false);
    }
    let faces = Tool::word("Build faces", "click the corners of a face in order round it (Esc leaves off)");
    if faces.on(photos.building.is_some()).show(ui).clicked() {
        photos.building = if photos.building.is_some() { None } else { Some(Vec::new()) };
        (photos.adding, photos.is_new) = (None, false);
    }
    let mut is_guided = !photos.is_unguided;
    ui.checkbox(&mut is_guided, "next by itself").on_hover_text("the point that is marked next is chosen by itself");
    photos.is_unguided = !is_guided;
}

/// What the next click does.
fn next(ui: &mut egui::Ui, app: &mut AppState, guided: &Guided) {
    let faint = colour(app.theme.palette().faint);
    if let Some(points) = &app.views.photos.building {
        ui.label(RichText::new(words::face(points)).strong());
        return;
    }
    let Some(wanted) = guided.wanted().map(str::to_owned) else {
        let is_all = !app.views.photos.is_unguided;
        let other = "Choose a point or name a new one, then click where it appears.";
        ui.label(RichText::new(if is_all { words::ALL_MARKED } else { other }).color(faint));
        return;
    };
    let click = if matches!(guided, Guided::New(_)) { words::click_new(&wanted) } else { words::click(&wanted) };
    ui.label(RichText::new(click).strong());
    if let Guided::Next(name, place) = guided {
        if Tool::word("Not seen here", "leave it out in this photo (key N)").show(ui).clicked() {
            leave_out(app, name);
        }
        ui.label(RichText::new(*place).color(faint));
    }
    if Tool::word("Mark the middle", "then nudge it with the arrow keys").show(ui).clicked()
        && let Some(middle) = app.views.photos.middle
    {
        mark(app, &wanted, middle);
    }
}

/// Adds a photo to the file.
pub fn add(app: &mut AppState, file: &Path) {
    let count = app.written.as_deref().map(written::photos).unwrap_or_default().len();
    let edit = written::photo(app.path.as_deref(), file);
    app.edit(&[edit], "photos");
    app.views.photos.turn_to(count);
}

/// Begins a job of photos, beside the first of them, where its file is to lie; nothing is written before it is saved.
pub fn begin(app: &mut AppState, photo: &Path) {
    let folder = photo.parent().unwrap_or(Path::new(""));
    let names = std::iter::once("roof.toml".to_owned()).chain((2..).map(|number| format!("roof{number}.toml")));
    let mut free = names.map(|name| folder.join(name)).filter(|path| app.backend.read(path).is_err());
    app.path = free.next();
    app.change(words::NEW_JOB.to_owned(), "photos");
}

/// Marks a point; one that the file does not know becomes an unknown point of it.
pub fn mark(app: &mut AppState, name: &str, pixel: [f64; 2]) {
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

/// A point is not seen in the open photo: another comes next.
pub fn leave_out(app: &mut AppState, name: &str) {
    let photos = &mut app.views.photos;
    photos.left_out.entry(photos.open).or_default().insert(name.to_owned());
}
