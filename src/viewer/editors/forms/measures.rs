//! What was measured between points and on faces: tapes, readings, things checked on site, photos.

use super::Page;
use super::field::Of;
use super::list;
use crate::base::schema::Kind;
use crate::base::written::WrittenTable;
use crate::viewer::app::desk::Desk;
use eframe::egui;

/// The whole page.
pub fn show(ui: &mut egui::Ui, desk: &mut Desk, file: &WrittenTable) {
    let lists = desk.schema.keys.iter().filter(|key| matches!(key.kind, Kind::Tables(_)));
    for key in lists.filter(|key| Page::of(key) == Page::Measures) {
        list::show(ui, desk, Of { way: &[], table: file }, key);
    }
}
