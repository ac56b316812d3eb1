//! What was measured between points and on faces: tapes, readings, things checked on site, photos.

use super::Page;
use super::field::Of;
use super::list;
use crate::base::file_tree::FileTable;
use crate::base::schema::Kind;
use crate::viewer::app::state::AppState;
use eframe::egui;

/// The whole page.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, file: &FileTable) {
    let lists = app.schema.keys.iter().filter(|key| matches!(key.kind, Kind::Tables(_)));
    for key in lists.filter(|key| Page::of(key) == Page::Measures) {
        list::show(ui, app, Of { way: &[], table: file }, key);
    }
}
