//! Points, and faces by their points.

use super::field::{self, Field, Of};
use super::list;
use super::tell;
use crate::base::file_tree::{Edit, Entry, FileTable, Kind, Step};
use crate::base::schema::Key;
use crate::viewer::app::state::AppState;
use crate::viewer::editors::rename::What;
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::named;
use eframe::egui;
use eframe::egui::RichText;

/// The whole page.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, file: &FileTable) {
    let faint = colour(app.theme.palette().faint);
    if let Some(shape) = app.schema.key("points").and_then(Key::table) {
        ui.strong(shape.many);
        ui.add(egui::Label::new(RichText::new(shape.about).small().color(faint)).wrap());
    }
    let points = list::table(file, "points");
    for (index, (name, entry)) in points.entries.iter().enumerate() {
        point(ui, app, &points, index, name, entry);
    }
    ui.horizontal(|ui| {
        let mut name = std::mem::take(&mut app.forms.new_point);
        let field = ui.add(egui::TextEdit::singleline(&mut name).desired_width(70.0).hint_text("R1"));
        named(ui, &field, "name of a new point");
        let free = !name.trim().is_empty() && points.entry(name.trim()).is_none();
        if ui.add_enabled(free, egui::Button::new("Add a point")).clicked() {
            let at = vec!["points".into(), name.trim().into()];
            app.edit(&[Edit::Set { at, value: Some("{}".to_owned()), kind: Kind::Raw }], "add a point");
            name.clear();
        }
        app.forms.new_point = name;
    });
    if let Some(faces) = app.schema.key("face") {
        list::show(ui, app, Of { way: &[], table: file }, faces);
    }
}

fn point(ui: &mut egui::Ui, app: &mut AppState, points: &FileTable, index: usize, name: &str, entry: &Entry) {
    let way = vec![Step::from("points"), name.into()];
    let near = matches!(entry, Entry::Table(table) if table.value("near").is_some());
    ui.horizontal(|ui| {
        let label = format!("name of point {name}");
        let place = ("points", index);
        let bears =
            field::Name { what: What::Point, own: &way, old: name, place, label: &label, width: 64.0, hint: "" };
        field::name(ui, app, &bears);
        let label = format!("place of point {name}");
        let key = |key| Field { key, name: &label, width: 150.0, kind: Kind::Measures, hint: "x, y, height" };
        match entry {
            Entry::Table(table) if near => field::typed(ui, app, Of { way: &way, table }, &key("near")),
            _ => field::typed(ui, app, Of { way: &way[..1], table: points }, &key(name)),
        }
        let mut rough = near;
        let value = match entry {
            Entry::Table(table) => table.field("near"),
            _ => points.field(name),
        };
        let switch = ui.checkbox(&mut rough, "rough");
        named(ui, &switch, &format!("point {name} is a rough start only"));
        if switch.changed() && !value.text.is_empty() {
            let places = format!("[{}]", value.text);
            let places = if rough { format!("{{ near = {places} }}") } else { places };
            let edits = [
                Edit::Set { at: way.clone(), value: None, kind: Kind::Raw },
                Edit::Set { at: way.clone(), value: Some(places), kind: Kind::Raw },
            ];
            app.edit(&edits, "rough");
        }
        let menu = ui.menu_button("…", |ui| {
            if ui.button("Remove it").clicked() {
                app.edit(&[Edit::Set { at: way.clone(), value: None, kind: Kind::Raw }], "remove a point");
                ui.close();
            }
        });
        named(ui, &menu.response, &format!("more about point {name}"));
    });
    let span = match entry {
        Entry::Table(table) => table.span.clone(),
        _ => points.field(name).span,
    };
    tell::about(app, &format!("point {name}"), span.as_ref());
}
