//! The roof in 3D, with its tools above.

use crate::viewer::canvas::Asked;
use crate::viewer::desk::Desk;
use crate::viewer::shown::Shown;
use crate::viewer::theme::colour;
use crate::viewer::toolbar;
use eframe::egui;
use std::sync::Arc;

/// The whole view.
pub fn show(ui: &mut egui::Ui, desk: &mut Desk, shown: &Arc<Shown>) {
    let bar = egui::Frame::NONE.fill(colour(desk.theme.palette().paper)).inner_margin(egui::Margin {
        left: 12,
        right: 12,
        top: 0,
        bottom: 6,
    });
    egui::Panel::top("roof tools").frame(bar).show_separator_line(false).show(ui, |ui| toolbar::view(ui, desk));
    let mut asked = Asked {
        shown,
        look: &mut desk.look,
        labels: desk.labels,
        palette: desk.theme.palette(),
        units: shown.answered.job.units,
    };
    if desk.canvas.show(ui, &mut asked) {
        desk.look.edge = None;
        // What is beside the view hangs on the choice: one more pass.
        ui.ctx().request_repaint();
    }
}
