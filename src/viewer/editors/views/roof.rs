//! The roof in 3D, with its tools above.

use super::{corners, lifting};
use crate::base::tolerance::FLAT;
use crate::viewer::app::keys::Action;
use crate::viewer::app::state::AppState;
use crate::viewer::editors::placing::{self, Pointed, menu};
use crate::viewer::icons::Icon;
use crate::viewer::render::camera::View;
use crate::viewer::render::canvas::{Asked, Seen};
use crate::viewer::render::labels::Labels;
use crate::viewer::render::scene::Shade;
use crate::viewer::render::section::{self, Cutting};
use crate::viewer::render::shown::Shown;
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::{Tool, named};
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
    // A ghost is not drawn over names.
    let labels = Labels { faces: app.labels.faces && !app.views.placing.is_on(), ..app.labels };
    let mut asked = Asked { shown, scene: &shown.scene, extra: &extra, look: &mut app.look, labels, palette, units };
    let seen = app.canvas.show(ui, &mut asked);
    if seen.chose {
        // What is beside the view hangs on the choice: one more pass.
        ui.ctx().request_repaint();
    }
    let is_building = app.views.photos.building.is_some();
    app.canvas.is_placing = app.views.placing.is_on() || is_building;
    if is_building {
        let at = placing::on_screen(seen.camera, seen.response.rect, shown.scene.origin);
        corners::show(ui, app, shown, seen.response.rect, &at);
    } else if app.canvas.is_placing {
        place(ui, app, shown, &seen);
    } else if !app.canvas.is_measuring {
        lifting::show(ui, app, shown, &seen);
    }
}

/// The ghost of a part follows the pointer over the roof.
fn place(ui: &egui::Ui, app: &mut AppState, shown: &Arc<Shown>, seen: &Seen) {
    let Seen { response, camera, pointed, .. } = seen;
    placing::shown_in(ui, app, response);
    let origin = shown.scene.origin;
    let is_moved = ui.input(|input| input.pointer.delta() != egui::Vec2::ZERO);
    if let Some((ray, hit)) = pointed.as_ref().filter(|_| is_moved || response.clicked()) {
        let met = hit.map(|hit| (hit.face, hit.at + origin));
        // Beside the roof: where the pointer meets the ground.
        let ground = || {
            let (from, down) = (ray.from + origin, ray.along.z);
            (down < -FLAT).then(|| (from - ray.along * (from.z / down)).xy())
        };
        let plan = met.map(|(_, at)| at.xy()).or_else(ground);
        let face = met.and_then(|(face, at)| Some((face?, at)));
        let away = met.map_or_else(|| (camera.eye() - ray.from).norm(), |(_, at)| (camera.eye() + origin - at).norm());
        let reach = CATCH * away * camera.lens / f64::from(response.rect.height().max(1.0));
        placing::follow(app, &Pointed { plan, face, reach });
    }
    if response.clicked() {
        placing::put(app);
    }
    let at = placing::on_screen(*camera, response.rect, origin);
    placing::show(&ui.painter_at(response.rect), response.rect, app, &at);
    if let Some(told) = placing::told(app) {
        named(ui, response, &format!("roof in 3D; {told}"));
    }
}

/// How near the middle or an end of a side catches a ghost, points of the screen.
const CATCH: f64 = 8.0;

/// A view's width from which on its tools have their words beside them, points; and what the tool that builds faces takes.
const VIEW_WORDS: f32 = 580.0;
const FACES_TOOL: f32 = 40.0;

/// The tools of the 3D view in one row: where from, shades, labels, sections, fitting, measuring; a second row only while
/// there is a section to move.
fn tools(ui: &mut egui::Ui, app: &mut AppState, reading: Option<&str>) {
    let has_points = app.written.as_ref().is_some_and(|file| file.table("points").is_some());
    let has_words = ui.available_width() >= VIEW_WORDS + if has_points { FACES_TOOL } else { 0.0 };
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        menu::show(ui, app, has_words);
        corners::tool(ui, app, false);
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
