//! The way through a first roof, a step at a time, above the page that the step is about.

use super::page::{Guide, Page};
use crate::viewer::app::state::AppState;
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::{heading, named};
use crate::wording::guide;
use eframe::egui;
use eframe::egui::{RichText, Stroke};

/// The page that each step is about; `None`: whatever is open.
const PAGES: [Option<Page>; guide::STEPS.len()] =
    [Some(Page::Sides), Some(Page::Measures), Some(Page::Sides), Some(Page::Openings), Some(Page::Covering), None];

/// The step, where the guide is open.
pub(super) fn show(ui: &mut egui::Ui, app: &mut AppState) {
    let Some(at) = app.forms.guide.step() else { return };
    let palette = app.theme.palette();
    let frame = egui::Frame::NONE
        .fill(colour(palette.field))
        .stroke(Stroke::new(1.4, colour(palette.accent)))
        .inner_margin(10)
        .corner_radius(4);
    let mut to = None;
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        let (title, words) = guide::STEPS[at];
        heading(ui, &format!("Step {} of {}: {title}", at + 1, guide::STEPS.len()));
        ui.label(RichText::new(words).color(colour(palette.ink)));
        ui.horizontal(|ui| {
            let back = ui.add_enabled(at > 0, egui::Button::new("Back"));
            named(ui, &back, "one step back");
            if back.clicked() {
                to = Some(Some(at - 1));
            }
            let is_last = at + 1 == guide::STEPS.len();
            let next = ui.button(if is_last { "Done" } else { "Next" });
            named(ui, &next, if is_last { "end of the guide" } else { "next step" });
            if next.clicked() {
                to = Some((!is_last).then_some(at + 1));
            }
            if !is_last && ui.button("Without a guide").clicked() {
                to = Some(None);
            }
        });
    });
    ui.add_space(6.0);
    if let Some(to) = to {
        app.forms.guide = Guide::at(to);
        if let Some(page) = to.and_then(|at| PAGES[at]) {
            app.forms.page = page;
        }
    }
}
