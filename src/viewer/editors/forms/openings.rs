//! Openings and dormers.

use super::field::Of;
use super::list;
use crate::base::written::WrittenTable;
use crate::viewer::app::desk::Desk;
use eframe::egui;

/// The whole page.
pub fn show(ui: &mut egui::Ui, desk: &mut Desk, file: &WrittenTable) {
    for key in ["opening", "dormer"].iter().filter_map(|key| desk.schema.key(key)) {
        list::show(ui, desk, Of { way: &[], table: file }, key);
    }
}
