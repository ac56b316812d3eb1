//! The roof in 3D, with its tools above.

use crate::viewer::app::state::AppState;
use crate::viewer::app::toolbar;
use crate::viewer::render::canvas::Asked;
use crate::viewer::render::scene::Shade;
use crate::viewer::render::shown::Shown;
use crate::viewer::render::theme::colour;
use eframe::egui;
use std::sync::Arc;

/// The whole view.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, shown: &Arc<Shown>) {
    let bar = egui::Frame::NONE.fill(colour(app.theme.palette().paper)).inner_margin(egui::Margin {
        left: 12,
        right: 12,
        top: 6,
        bottom: 6,
    });
    let (palette, units) = (app.theme.palette(), shown.answered.job.units);
    let made = app.section.made(shown, palette, units).cloned();
    egui::Panel::top("roof tools").frame(bar).show_separator_line(false).show(ui, |ui| {
        toolbar::view(ui, app, made.as_ref().map(|made| made.reading.as_str()));
    });
    let mut extra = made.as_ref().map(|made| made.extra.clone()).unwrap_or_default();
    if app.look.shade == Shade::Water && made.is_none() {
        extra = extra.with(app.water.extra(ui.ctx(), shown, palette, units));
    }
    app.look.section = made.map(|made| made.plane);
    let mut asked =
        Asked { shown, scene: &shown.scene, extra: &extra, look: &mut app.look, labels: app.labels, palette, units };
    if app.canvas.show(ui, &mut asked) {
        // What is beside the view hangs on the choice: one more pass.
        ui.ctx().request_repaint();
    }
}
