//! The file's text itself, for those who rather write.

use super::tell;
use crate::viewer::app::state::AppState;
use crate::viewer::widgets::named;
use eframe::egui;
use eframe::egui::ScrollArea;

/// The whole page.
pub fn show(ui: &mut egui::Ui, app: &mut AppState) {
    let errors_high = if app.diagnostics.is_empty() { 0.0 } else { 110.0 };
    let mut typed = app.text.clone();
    let high = (ui.available_height() - errors_high).max(80.0);
    ScrollArea::both().id_salt("text").max_height(high).auto_shrink(false).show(ui, |ui| {
        let edit = egui::TextEdit::multiline(&mut typed).code_editor().desired_width(f32::INFINITY).desired_rows(30);
        let response = ui.add(edit);
        named(ui, &response, "text of the roof file");
    });
    if typed != app.text {
        app.change(typed, "text");
    }
    ScrollArea::vertical().id_salt("errors").auto_shrink(false).show(ui, |ui| {
        for diagnostic in &app.diagnostics {
            tell::one(ui, app, diagnostic, true);
        }
    });
}
