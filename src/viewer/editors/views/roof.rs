//! The roof in 3D, with its tools above.

use crate::viewer::app::keys::Action;
use crate::viewer::app::state::AppState;
use crate::viewer::icons::Icon;
use crate::viewer::render::camera::View;
use crate::viewer::render::canvas::Asked;
use crate::viewer::render::scene::Shade;
use crate::viewer::render::section::{self, Cutting};
use crate::viewer::render::shown::Shown;
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::Tool;
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
        tools(ui, app, made.as_ref().map(|made| made.reading.as_str()));
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

/// A view's width from which on its tools have their words beside them, points.
const VIEW_WORDS: f32 = 500.0;

/// The tools of the 3D view in one row: where from, shades, labels, sections, fitting, measuring; a second row only while
/// there is a section to move.
fn tools(ui: &mut egui::Ui, app: &mut AppState, reading: Option<&str>) {
    let has_words = ui.available_width() >= VIEW_WORDS;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        Tool::new(Icon::View, "View", "where from (keys 1 to 8)").with_word(has_words).menu(ui, |ui| {
            for (number, view) in View::ALL.into_iter().enumerate() {
                let button = egui::Button::new(view.word()).shortcut_text(format!("{}", number + 1));
                if ui.add(button).clicked() {
                    app.act(Action::Look(view));
                }
            }
        });
        let tip = format!("shaded by {} (key C)", app.look.shade.word());
        Tool::new(Icon::Shade, "Shade", &tip).with_word(has_words).menu(ui, |ui| {
            for shade in Shade::ALL {
                ui.radio_value(&mut app.look.shade, shade, shade.word());
            }
        });
        Tool::new(Icon::Labels, "Labels", "names and sizes (keys L, N)").with_word(has_words).switches(ui, |ui| {
            ui.checkbox(&mut app.labels.edges, "edge labels");
            ui.checkbox(&mut app.labels.faces, "face labels");
        });
        let is_cut = app.section.cutting != Cutting::Off;
        let section =
            Tool::new(Icon::Section, "Section", "cut through the roof (key X)").with_word(has_words).on(is_cut);
        section.menu(ui, |ui| {
            for cutting in Cutting::ALL {
                ui.radio_value(&mut app.section.cutting, cutting, cutting.word());
            }
        });
        ui.separator();
        if Tool::new(Icon::Fit, "Fit", "fill the view (key F)").with_word(has_words).show(ui).clicked() {
            app.act(Action::Fit);
        }
        let measure = Tool::new(Icon::Measure, "Measure", "between two places (key M)");
        if measure.with_word(has_words).on(app.canvas.is_measuring).show(ui).clicked() {
            app.act(Action::Measure);
        }
    });
    section::bar(ui, &mut app.section, reading);
}
