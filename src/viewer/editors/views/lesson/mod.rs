//! The lesson: how a roof comes about from its eaves, why lengths and areas differ from their plan, and how the solid
//! opens into its net.

mod heading;
pub mod kept;
mod lengths;
mod rising;
pub mod unfolding;

pub use kept::{Chapter, Lesson};

use crate::viewer::app::state::AppState;
use crate::viewer::render::canvas::Asked;
use crate::viewer::render::labels::Labels;
use crate::viewer::render::shown::Shown;
use crate::viewer::render::stage::{Extra, Look};
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::{Tool, named};
use eframe::egui;
use eframe::egui::{RichText, ScrollArea};
use heading::heading;
use std::sync::Arc;

/// From nothing to the ridge, or from the solid to the net, in this time, seconds.
const RUN: f64 = 8.0;

/// The whole view.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, shown: &Arc<Shown>) {
    let palette = app.theme.palette();
    let bar = egui::Frame::NONE.fill(colour(palette.paper)).inner_margin(egui::Margin::symmetric(12, 4));
    egui::Panel::top("lesson tools").frame(bar).show_separator_line(false).show(ui, |ui| tools(ui, app));
    run(ui, &mut app.views.lesson);
    let units = shown.answered.job.units;
    let shelf = app.canvas.shelf.clone();
    let AppState { views, look, .. } = app;
    let lesson = &mut views.lesson;
    lesson.canvas.shelf = shelf;
    let mut own = Look { section: None, ..look.clone() };
    let mut scene = Arc::clone(&shown.scene);
    let extra: Extra = match lesson.chapter {
        Chapter::Rising => {
            let made = lesson.rising.at(shown, lesson.rise, palette, units);
            own.section = Some(made.plane);
            made.extra.clone()
        }
        Chapter::Lengths => lesson.lengths.of(shown, look.chosen, look.edge, palette, units).extra.clone(),
        Chapter::Unfolding => match lesson.paper.at(ui.ctx(), shown, lesson.opened) {
            Some((posed, extra)) => {
                // The sheet grows as it opens: what is seen of it keeps its size.
                lesson.fits |= lesson.paper.is_new();
                scene = posed;
                extra
            }
            None => {
                ui.centered_and_justified(|ui| ui.label("laying the net flat…"));
                return;
            }
        },
    };
    if std::mem::take(&mut lesson.fits) {
        let aspect = lesson.canvas.aspect.max(0.1);
        lesson.canvas.camera = lesson.canvas.camera.map(|camera| camera.fitted(&scene.places, aspect, 0.86));
    }
    let mut asked = Asked {
        shown,
        scene: &scene,
        extra: &extra,
        look: &mut own,
        labels: Labels { edges: false, faces: lesson.chapter == Chapter::Lengths && own_is_bare(&extra) },
        palette,
        units,
    };
    if lesson.canvas.show(ui, &mut asked).chose {
        ui.ctx().request_repaint();
    }
    (look.chosen, look.edge, look.hovered) = (own.chosen, own.edge, own.hovered);
}

fn own_is_bare(extra: &Extra) -> bool {
    extra.tags.is_empty()
}

fn tools(ui: &mut egui::Ui, app: &mut AppState) {
    let lesson = &mut app.views.lesson;
    let row = ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for chapter in Chapter::ALL {
            if Tool::word(chapter.word(), "").on(lesson.chapter == chapter).tab(ui).clicked() {
                if lesson.chapter == Chapter::Unfolding || chapter == Chapter::Unfolding {
                    // Another scene: seen from the corner again.
                    lesson.canvas.camera = None;
                }
                lesson.chapter = chapter;
                lesson.playing = false;
            }
        }
        let playing = lesson.playing;
        let name = match lesson.chapter {
            Chapter::Rising => "height of the eaves",
            Chapter::Unfolding => "opening of the net",
            Chapter::Lengths => {
                ui.separator();
                ui.label("choose a face, or a hip or valley");
                return None;
            }
        };
        ui.separator();
        if ui.button(if playing { "Stop" } else { "Play" }).on_hover_text("key P").clicked() {
            lesson.play();
        }
        Some(name)
    });
    // On a row of its own, or it runs out of a narrow view.
    if let (Some(name), Some(share)) = (row.inner, lesson.share()) {
        ui.spacing_mut().slider_width = (ui.available_width() - 30.0).clamp(120.0, 420.0);
        let slider = ui.add(egui::Slider::new(share, 0.0..=1.0).show_value(false));
        let slider = slider.on_hover_text("keys Page up, Page down");
        named(ui, &slider, name);
        if slider.changed() {
            lesson.playing = false;
        }
    }
}

fn run(ui: &egui::Ui, lesson: &mut Lesson) {
    if !lesson.playing {
        return;
    }
    let passed = f64::from(ui.input(|input| input.stable_dt).min(0.1));
    let ended = match lesson.share() {
        Some(share) => {
            *share = (*share + passed / RUN).min(1.0);
            *share >= 1.0
        }
        None => true,
    };
    lesson.playing = !ended;
    ui.ctx().request_repaint();
}

/// The words of the open chapter, with the numbers of this roof.
pub fn meaning(ui: &mut egui::Ui, app: &mut AppState, shown: &Arc<Shown>) {
    let palette = app.theme.palette();
    let units = shown.answered.job.units;
    let AppState { views, look, .. } = app;
    let lesson = &mut views.lesson;
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| match lesson.chapter {
        Chapter::Rising => {
            if let Some(share) = lesson.rising.words(ui, shown, lesson.rise, palette, units) {
                lesson.rise = share;
                lesson.playing = false;
                ui.ctx().request_repaint();
            }
        }
        Chapter::Lengths => {
            let made = lesson.lengths.of(shown, look.chosen, look.edge, palette, units);
            for (head, lines) in &made.words {
                heading(ui, head);
                for line in lines {
                    ui.label(RichText::new(line));
                }
            }
        }
        Chapter::Unfolding => unfolding::words(ui, &lesson.paper, shown, palette, units),
    });
}
