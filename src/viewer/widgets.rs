//! Names of controls, as tools that read the window aloud tell them.

use eframe::egui;

/// Gives a widget its name for those who don't see it.
pub fn named(ui: &egui::Ui, response: &egui::Response, name: &str) {
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(name.to_owned()));
}
