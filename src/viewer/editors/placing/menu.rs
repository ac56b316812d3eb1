//! The tool that offers what can be put on the roof.

use super::part::Part;
use crate::viewer::app::state::AppState;
use crate::viewer::icons::Icon;
use crate::viewer::widgets::Tool;
use eframe::egui;

/// The tool with its menu.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, has_word: bool) {
    let is_on = app.views.placing.is_on();
    let tool = Tool::new(Icon::Add, "Add", "put a part on the roof by hand").with_word(has_word).on(is_on);
    tool.menu(ui, |ui| {
        for part in Part::ALL {
            if ui.button(part.in_menu()).clicked() {
                super::begin(app, part);
                ui.close();
            }
        }
    });
}
