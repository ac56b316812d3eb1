//! What the photos mean: how well each mark fits, which are doubtful, what to measure next.

use super::guided;
use super::known::Basis;
use super::marks;
use super::written;
use crate::base::place::Place;
use crate::survey::Finding;
use crate::survey::report::Undetermined;
use crate::viewer::app::state::AppState;
use crate::viewer::render::shown::Shown;
use crate::viewer::render::theme::colour;
use crate::wording;
use crate::wording::amount::sentence;
use crate::wording::marking;
use crate::wording::survey::Names;
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::{RichText, ScrollArea};
use std::sync::Arc;

/// The right side.
pub fn meaning(ui: &mut egui::Ui, app: &mut AppState, shown: Option<&Arc<Shown>>) {
    let marked = app.views.photos.markings.get(&app.backend, &app.wake, &app.text, app.path.as_ref());
    let basis = guided::basis(app, shown, marked.as_ref());
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        marks_of(ui, app, basis.as_ref());
        if let Some(basis) = &basis {
            doubts(ui, app, basis);
            next(ui, app, basis);
        }
    });
}

fn head(ui: &mut egui::Ui, words: &str) {
    ui.add_space(10.0);
    ui.strong(words);
    ui.separator();
}

fn marks_of(ui: &mut egui::Ui, app: &mut AppState, basis: Option<&Basis>) {
    let palette = app.theme.palette();
    let list = app.written.as_deref().map(written::photos).unwrap_or_default();
    let Some(photo) = list.get(app.views.photos.open) else { return };
    head(ui, "Marks");
    let over = basis.and_then(|basis| app.views.photos.overlay(basis));
    if over.is_none() {
        ui.label(RichText::new(marking::NOT_PLACED).color(colour(palette.caution)));
    }
    if let Some(over) = &over {
        let misses: Vec<f64> = over.marks.iter().filter_map(crate::drawing::views::overlay::SeenMark::miss).collect();
        if !misses.is_empty() {
            let mean = (misses.iter().map(|miss| miss * miss).sum::<f64>() / misses.len() as f64).sqrt();
            ui.label(format!("{} marks, {mean:.1} px off in the mean", misses.len()));
        }
    }
    let mut removed = None;
    for (index, (name, at)) in photo.marks.iter().enumerate() {
        let seen = over.as_ref().and_then(|over| over.marks.iter().find(|mark| mark.point == *name));
        let fits = seen.and_then(|seen| Some((seen.miss()?, seen)));
        let text = match fits {
            Some((miss, seen)) if seen.is_suspect => format!("{name}: {miss:.1} px off, doubtful"),
            Some((miss, _)) => format!("{name}: {miss:.1} px off"),
            None => format!("{name} at {:.0}, {:.0}", at[0], at[1]),
        };
        let ink = if seen.is_some_and(|seen| seen.is_suspect) { palette.fault } else { palette.ink };
        ui.push_id(index, |ui| {
            ui.horizontal(|ui| {
                let is_chosen = app.views.photos.chosen.as_ref() == Some(name);
                if ui.selectable_label(is_chosen, RichText::new(text).color(colour(ink))).clicked() {
                    app.views.photos.chosen = (!is_chosen).then(|| name.clone());
                }
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    let button = ui.small_button("Remove").on_hover_text("key Delete, while the mark is in focus");
                    crate::viewer::widgets::named(ui, &button, &format!("Remove mark {name}"));
                    if button.clicked() {
                        removed = Some(name.clone());
                    }
                });
            });
        });
    }
    if let Some(name) = removed {
        marks::remove(app, &name);
    }
    let help =
        "Drag a mark, with Shift more finely; Tab and the arrow keys move one by a pixel. The wheel comes nearer.";
    ui.label(RichText::new(help).small().color(colour(palette.faint)));
}

fn doubts(ui: &mut egui::Ui, app: &mut AppState, basis: &Basis) {
    let palette = app.theme.palette();
    let survey = basis.report();
    if survey.suspects.is_empty() {
        return;
    }
    head(ui, "Doubtful");
    let (names, format) = (Names::of(basis.job()), Format::of(basis.job().units));
    for finding in survey.findings() {
        let Finding::Doubtful { suspect, .. } = &finding else { continue };
        let text = sentence(&wording::survey::finding(&names, &finding, format));
        let ink = colour(palette.fault);
        match &suspect.place {
            // Pressed, it is shown where it stands.
            Place::Mark { photo, point } => {
                if ui.add(egui::Button::selectable(false, RichText::new(text).color(ink)).wrap()).clicked() {
                    let photos = &mut app.views.photos;
                    (photos.open, photos.frame, photos.chosen) = (*photo, None, Some(point.clone()));
                }
            }
            _ => {
                ui.label(RichText::new(text).color(ink));
            }
        }
    }
    if survey.suspects.len() > 1 {
        ui.label("One of these is wrong, and the measurements can't tell which: look at each again.");
    }
}

fn next(ui: &mut egui::Ui, app: &mut AppState, basis: &Basis) {
    let palette = app.theme.palette();
    let survey = basis.report();
    head(ui, "Measure next");
    let (names, format) = (Names::of(basis.job()), Format::of(basis.job().units));
    for best in &survey.best_next {
        ui.label(sentence(&wording::survey::best_next(&names, survey, best, format)));
        ui.add_space(3.0);
    }
    if survey.best_next.is_empty() && matches!(basis, Basis::Shown(_)) {
        let words = "Nothing that can be reached from a ladder would make the area much surer.";
        ui.label(RichText::new(words).color(colour(palette.faint)));
    }
    // Before anything is taped or plumbed no point has a place: that is said once, of the size.
    let is_told =
        |open: &&Undetermined| matches!(basis, Basis::Shown(_)) || !matches!(open, Undetermined::Point { .. });
    for open in survey.undetermined.iter().filter(is_told) {
        let reason = sentence(&wording::survey::undetermined(&names, open, format));
        ui.label(RichText::new(reason).color(colour(palette.caution)));
    }
}
