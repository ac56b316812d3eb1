//! The job: what it is called, what bare numbers mean, the site.

use super::columns;
use super::field::Of;
use super::{list, tell};
use crate::base::file_tree::{Entry, FileTable, Step};
use crate::base::schema::Key;
use crate::viewer::app::state::AppState;
use eframe::egui;

/// The whole page.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, file: &FileTable) {
    let root = app.schema;
    columns::lines(ui, app, Of { way: &[], table: file }, columns::values(root), "the job");
    for key in columns::values(root) {
        if let Some(Entry::Value(value)) = file.entry(key.key) {
            tell::about(app, key.key, value.span.as_ref());
        }
    }
    ui.small(root.about);
    let Some(shape) = root.key("site").and_then(Key::table) else { return };
    ui.add_space(8.0);
    ui.strong(shape.many);
    let site = list::table(file, "site");
    columns::lines(ui, app, Of { way: &[Step::from("site")], table: &site }, columns::values(shape), "the site");
    tell::about(app, "site", site.span.as_ref());
    ui.small(shape.about);
}
