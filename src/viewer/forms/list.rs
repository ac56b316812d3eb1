//! A list of tables of the file as rows: tapes, faces, openings. Rows are added, repeated and removed; keys that are
//! rarely written stand behind a switch.

use super::columns::{self, Column};
use super::field::Of;
use super::tell;
use crate::base::written::{Edit, Step, WrittenTable, under};
use crate::viewer::desk::Desk;
use crate::viewer::theme::colour;
use crate::viewer::toolbar::named;
use eframe::egui::{self, Align, Layout, RichText, vec2};

/// What a list of the file is and how it is shown.
#[derive(Clone, Copy, Debug)]
pub struct List {
    /// Its key.
    pub key: &'static str,
    /// One of it: "tape".
    pub one: &'static str,
    /// Its heading: "Tapes".
    pub many: &'static str,
    /// What it is for, in a line.
    pub about: &'static str,
    /// Always shown, side by side.
    pub columns: &'static [Column],
    /// Shown one under the other, where the row is opened or holds any of them.
    pub more: &'static [Column],
}

/// Room for a row's number.
const NUMBER: f32 = 18.0;

/// The list with its heading, in the table that `way` leads to.
pub fn show(ui: &mut egui::Ui, desk: &mut Desk, owner: Of, list: &List) {
    let rows = owner.table.list(list.key);
    let way = under(owner.way, [list.key.into()]);
    let faint = colour(desk.theme.palette().faint);
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        ui.strong(list.many);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if ui.button(format!("Add {}", article(list.one))).clicked() {
                desk.edit(&[Edit::Add { list: way.clone(), entry: String::new() }], &format!("add {way:?}"));
            }
        });
    });
    ui.add(egui::Label::new(RichText::new(list.about).small().color(faint)).wrap());
    if rows.is_empty() {
        return;
    }
    ui.horizontal(|ui| {
        ui.allocate_space(vec2(NUMBER, 1.0));
        for column in list.columns {
            let size = vec2(column.width, 16.0);
            ui.allocate_ui_with_layout(size, Layout::left_to_right(Align::Center), |ui| {
                ui.set_min_width(column.width);
                ui.label(RichText::new(column.head).small().color(faint));
            });
        }
    });
    for (index, row) in rows.iter().enumerate() {
        let way = under(&way, [index.into()]);
        one(ui, desk, list, Of { way: &way, table: row }, index);
    }
}

fn one(ui: &mut egui::Ui, desk: &mut Desk, list: &List, of: Of, index: usize) {
    let whose = format!("{} {}", list.one, index + 1);
    let has_more = list.more.iter().any(|column| of.table.entry(column.key).is_some());
    let is_open = has_more || desk.forms.opened.contains(of.way);
    ui.horizontal(|ui| {
        ui.add_sized(vec2(NUMBER, 24.0), egui::Label::new(format!("{}", index + 1)));
        for column in list.columns {
            columns::widget(ui, desk, of, column, &whose);
        }
        menu(ui, desk, list, of, index, is_open);
    });
    if is_open && !list.more.is_empty() {
        ui.indent((of.way, "more"), |ui| columns::lines(ui, desk, of, list.more, &whose));
    }
    tell::about(ui, desk, &whose, of.table.span.as_ref());
}

fn menu(ui: &mut egui::Ui, desk: &mut Desk, list: &List, of: Of, index: usize, is_open: bool) {
    let of_list: Vec<Step> = of.way[..of.way.len() - 1].to_vec();
    let menu = ui.menu_button("…", |ui| {
        if !list.more.is_empty() && !is_open && ui.button("More about it").clicked() {
            desk.forms.opened.insert(of.way.to_vec());
            ui.close();
        }
        if ui.button("Put another after it").clicked() {
            desk.edit(&[Edit::Repeat { list: of_list.clone(), index }], "repeat");
            ui.close();
        }
        if ui.button("Remove it").clicked() {
            desk.forms.opened.retain(|way| !way.starts_with(&of_list));
            desk.edit(&[Edit::Remove { list: of_list.clone(), index }], "remove");
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
pub fn table(file: &WrittenTable, key: &str) -> WrittenTable {
    file.table(key).cloned().unwrap_or_default()
}
