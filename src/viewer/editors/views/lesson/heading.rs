//! Headings of the lesson's words.

use eframe::egui;

/// A heading of the words.
pub fn heading(ui: &mut egui::Ui, words: &str) {
    ui.add_space(8.0);
    ui.strong(words);
    ui.separator();
}
