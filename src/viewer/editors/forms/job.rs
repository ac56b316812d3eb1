//! The job: what it is called, what bare numbers mean, the site.

use super::columns;
use super::field::Of;
use super::{list, tell};
use crate::base::schema::Key;
use crate::base::written::{Entry, Step, WrittenTable};
use crate::viewer::app::desk::Desk;
use eframe::egui;

/// The whole page.
pub fn show(ui: &mut egui::Ui, desk: &mut Desk, file: &WrittenTable) {
    let root = desk.schema;
    columns::lines(ui, desk, Of { way: &[], table: file }, columns::values(root), "the job");
    for key in columns::values(root) {
        if let Some(Entry::Value(value)) = file.entry(key.key) {
            tell::about(ui, desk, key.key, value.span.as_ref());
        }
    }
    ui.small(root.about);
    let Some(shape) = root.key("site").and_then(Key::table) else { return };
    ui.add_space(8.0);
    ui.strong(shape.many);
    let site = list::table(file, "site");
    columns::lines(ui, desk, Of { way: &[Step::from("site")], table: &site }, columns::values(shape), "the site");
    tell::about(ui, desk, "site", site.span.as_ref());
    ui.small(shape.about);
}
