//! While the file has errors: the last roof that could be solved, dimmed, under a line that says so.

use crate::base::diagnostic::Severity;
use crate::viewer::app::state::AppState;
use crate::viewer::editors::forms::tell;
use crate::viewer::render::theme::{Rgb, colour};
use crate::viewer::signs::signed;
use crate::viewer::widgets::named;
use eframe::egui;
use eframe::egui::{Align2, Id, Order, Pos2, Rect, vec2};

/// Share of the paper's colour over the outdated view.
const DIMMED: f32 = 0.55;

/// Dims what is no answer to the text as it stands.
pub(crate) fn dim(ui: &egui::Ui, ground: Rgb, all: Rect) {
    ui.painter().rect_filled(all, 0.0, colour(ground).gamma_multiply(DIMMED));
}

/// Dims a view and says why, with the way to the first mistake.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, view: Rect) {
    let palette = app.theme.palette();
    dim(ui, palette.paper, view);
    let Some(first) = app.errors().next().cloned().map(tell::at_field) else { return };
    let at = Pos2::new(view.center().x, view.bottom() - 40.0);
    egui::Area::new(Id::unique("outdated")).order(Order::Middle).pivot(Align2::CENTER_BOTTOM).fixed_pos(at).show(
        ui.ctx(),
        |ui| {
            let frame = egui::Frame::popup(ui.style()).fill(colour(palette.panel)).inner_margin(12);
            frame.show(ui, |ui| {
                ui.set_max_width((view.width() - 80.0).clamp(220.0, 520.0));
                let words = "Not the roof as typed: the last that could be solved.";
                signed(ui, palette, Severity::Error, words);
                ui.add_space(4.0);
                ui.add(egui::Label::new(tell::words(&first)).wrap());
                ui.add_space(4.0);
                let button = ui.add_sized(vec2(130.0, 24.0), egui::Button::new("Go to its place"));
                named(ui, &button, "go to the first mistake");
                if button.clicked() {
                    app.forms.go_to(app.schema, app.written.as_deref(), &first);
                }
            });
        },
    );
}
