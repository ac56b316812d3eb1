//! A list of tables of the file as rows: tapes, faces, openings. Rows are added, repeated and removed; keys that are
//! rarely written stand behind a switch.

use super::columns;
use super::field::Of;
use super::tell;
use crate::base::file_tree::{Edit, FileTable, Step, under};
use crate::base::schema::{Key, Table};
use crate::viewer::app::state::AppState;
use crate::viewer::editors::begin;
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::named;
use eframe::egui;
use eframe::egui::{Align, Layout, RichText, vec2};

/// Room for a row's number.
const NUMBER: f32 = 18.0;

/// The list under a key with its heading, in the table that `way` leads to.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, owner: Of, key: &'static Key) {
    let Some(list) = key.table() else { return };
    let rows = owner.table.list(key.key);
    let way = under(owner.way, [key.key.into()]);
    let faint = colour(app.theme.palette().faint);
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        ui.strong(list.many);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if ui.button(format!("Add {}", article(list.one))).clicked() {
                begin::add(app, &way);
            }
        });
    });
    ui.add(egui::Label::new(RichText::new(list.about).small().color(faint)).wrap());
    if rows.is_empty() {
        return;
    }
    ui.horizontal(|ui| {
        ui.allocate_space(vec2(NUMBER, 1.0));
        for (key, width) in columns::columns(list) {
            ui.allocate_ui_with_layout(vec2(width, 16.0), Layout::left_to_right(Align::Center), |ui| {
                ui.set_min_width(width);
                ui.label(RichText::new(key.label).small().color(faint)).on_hover_text(key.about);
            });
        }
    });
    for (index, row) in rows.iter().enumerate() {
        let way = under(&way, [index.into()]);
        one(ui, app, list, Of { way: &way, table: row }, index);
    }
}

fn one(ui: &mut egui::Ui, app: &mut AppState, list: &'static Table, of: Of, index: usize) {
    let whose = format!("{} {}", list.one, index + 1);
    let more: Vec<&Key> = columns::values(list).filter(|key| !key.is_first).collect();
    let has_more = more.iter().any(|key| of.table.entry(key.key).is_some());
    let is_open = has_more || app.forms.opened.contains(of.way);
    ui.horizontal(|ui| {
        ui.add_sized(vec2(NUMBER, 24.0), egui::Label::new(format!("{}", index + 1)));
        for (key, width) in columns::columns(list) {
            columns::widget(ui, app, of, key, width, &whose);
        }
        menu(ui, app, list, of, index, !more.is_empty() && !is_open);
    });
    if is_open && !more.is_empty() {
        ui.indent((of.way, "more"), |ui| columns::lines(ui, app, of, more.into_iter(), &whose));
    }
    tell::about(app, &whose, of.table.span.as_ref());
}

fn menu(ui: &mut egui::Ui, app: &mut AppState, list: &Table, of: Of, index: usize, offers_more: bool) {
    let of_list: Vec<Step> = of.way[..of.way.len() - 1].to_vec();
    let menu = ui.menu_button("…", |ui| {
        if offers_more && ui.button("More about it").clicked() {
            app.forms.opened.insert(of.way.to_vec());
            ui.close();
        }
        if ui.button("Put another after it").clicked() {
            app.edit(&[Edit::Repeat { list: of_list.clone(), index }], "repeat");
            ui.close();
        }
        if ui.button("Remove it").clicked() {
            app.forms.opened.retain(|way| !way.starts_with(&of_list));
            app.edit(&[Edit::Remove { list: of_list.clone(), index }], "remove");
            ui.close();
        }
    });
    named(ui, &menu.response, &format!("more about {} {}", list.one, index + 1));
}

fn article(one: &str) -> String {
    let an = one.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {one}", if an { "an" } else { "a" })
}

/// A table of the file that may not be there yet: what its fields show then is empty, and typing makes it.
pub fn table(file: &FileTable, key: &str) -> FileTable {
    file.table(key).cloned().unwrap_or_default()
}
