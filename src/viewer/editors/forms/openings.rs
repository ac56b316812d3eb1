//! Openings and dormers.

use super::field::Of;
use super::list;
use crate::base::file_tree::FileTable;
use crate::viewer::app::state::AppState;
use eframe::egui;

/// The whole page.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, file: &FileTable) {
    for key in ["opening", "dormer"].iter().filter_map(|key| app.schema.key(key)) {
        list::show(ui, app, Of { way: &[], table: file }, key);
    }
}
