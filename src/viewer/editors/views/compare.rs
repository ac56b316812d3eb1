//! The same roof at other pitches: curves and a table, and one pitch taken for good.

mod curves;
pub mod kept;

use crate::base::file_tree::Edit;
use crate::job::order::Row;
use crate::viewer::app::state::AppState;
use crate::viewer::backend::Source;
use crate::viewer::background_task::BackgroundTask;
use crate::viewer::editors::forms;
use crate::viewer::editors::rows;
use crate::viewer::editors::rows::RoleWord;
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::named;
use crate::wording::compare::{self as words, Column};
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::{RichText, ScrollArea, vec2};
use std::sync::Arc;

/// The whole view.
pub fn show(ui: &mut egui::Ui, app: &mut AppState) {
    refresh(app);
    egui::Frame::NONE.inner_margin(egui::Margin::symmetric(12, 6)).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 6.0;
        range(ui, app);
        let rows = match &app.views.compare.rows {
            Ok(rows) => rows.clone(),
            Err(why) => {
                ui.label(RichText::new(why).color(colour(app.theme.palette().fault)));
                return;
            }
        };
        if rows.is_empty() {
            ui.label("comparing…");
            return;
        }
        let lit = app.views.compare.lit;
        let palette = app.theme.palette();
        if ui.available_width() > 1000.0 {
            let width = ui.available_width();
            ui.horizontal_top(|ui| {
                let size = vec2(width * 0.48, ui.available_height());
                ui.allocate_ui_with_layout(size, egui::Layout::top_down(egui::Align::Min), |ui| {
                    table(ui, app, &rows);
                });
                let size = vec2(ui.available_width(), ui.available_height().min(560.0));
                ui.allocate_ui(size, |ui| curves::show(ui, &rows, lit, palette, app.units()));
            });
        } else {
            let high = (ui.available_height() * 0.5).max(200.0);
            ui.allocate_ui(vec2(ui.available_width(), high), |ui| curves::show(ui, &rows, lit, palette, app.units()));
            table(ui, app, &rows);
        }
    });
}

/// Takes up an answer, and asks again where the roof or the range is another. Not while something is being dragged or
/// solved: the newest is waited for.
fn refresh(app: &mut AppState) {
    let compare = &mut app.views.compare;
    if let Some(result) = compare.task.as_ref().and_then(BackgroundTask::poll) {
        compare.task = None;
        compare.rows = result.unwrap_or_else(|| Err("the comparison ended without an answer".to_owned()));
    }
    let wanted = (app.text.clone(), app.views.compare.range);
    let is_asked = app.views.compare.asked.as_ref() == Some(&wanted);
    if is_asked || !app.is_solved() || app.errors().next().is_some() {
        return;
    }
    if let Some(task) = app.views.compare.task.take() {
        task.call_off();
    }
    let (backend, path, pitches) = (Arc::clone(&app.backend), app.path.clone(), app.views.compare.pitches());
    let text = app.text.clone();
    let work = move |progress: &crate::viewer::background_task::Progress| {
        if progress.is_called_off() {
            return Ok(Vec::new());
        }
        backend.compare(Source { text: &text, path: path.as_deref() }, &pitches)
    };
    app.views.compare.task = Some(BackgroundTask::start("compare", &app.wake, work));
    app.views.compare.asked = Some(wanted);
}

fn range(ui: &mut egui::Ui, app: &mut AppState) {
    ui.horizontal(|ui| {
        let [from, to, step] = &mut app.views.compare.range;
        let limits = [("from", from, 1.0..=75.0), ("to", to, 2.0..=80.0), ("by", step, 0.5..=20.0)];
        for (word, value, limits) in limits {
            ui.label(word);
            let field = egui::DragValue::new(value).range(limits).speed(0.1).max_decimals(1).suffix("°");
            let field = ui.add(field);
            named(ui, &field, &format!("compare pitches {word}"));
        }
        if app.views.compare.is_busy() {
            ui.label(RichText::new("comparing…").color(colour(app.theme.palette().faint)));
        }
    });
}

fn table(ui: &mut egui::Ui, app: &mut AppState, rows: &[Row]) {
    let shown = app.shown.clone();
    let job = shown.as_ref().map(|shown| &shown.answered.job);
    let units = app.units();
    let faint = colour(app.theme.palette().faint);
    let format = Format::of(units);
    let columns = words::columns(rows);
    let mut lit = None;
    let mut taken = None;
    ScrollArea::both().id_salt("comparison").auto_shrink(false).show(ui, |ui| {
        egui::Grid::new("comparison").num_columns(columns.len()).spacing([14.0, 4.0]).striped(true).show(ui, |ui| {
            for column in &columns {
                let head = if *column == Column::Pitch { "" } else { column.name() };
                ui.label(RichText::new(head).small().color(faint));
            }
            ui.end_row();
            for (index, row) in rows.iter().enumerate() {
                for column in &columns {
                    let told = column.with_unit(row, format);
                    match column {
                        Column::Pitch => {
                            let take = ui.button(format!("Take {told}"));
                            if take.hovered() || take.has_focus() {
                                lit = Some(index);
                            }
                            if take.clicked() {
                                taken = Some(row.pitch.degrees());
                            }
                        }
                        Column::Suits => {
                            let notes = job.map(|job| words::why_not(row, job, format)).unwrap_or_default();
                            let suits = ui.label(told);
                            if !notes.is_empty() {
                                suits.on_hover_text(notes.join("\n"));
                            }
                        }
                        _ => {
                            ui.label(told);
                        }
                    }
                }
                ui.end_row();
            }
        });
        ui.add_space(6.0);
        let about = format!("{} {}", words::WHAT_CHANGES, words::EXPLAINED);
        ui.add(egui::Label::new(RichText::new(about).small().color(faint)).wrap());
    });
    app.views.compare.lit = lit;
    if let Some(degrees) = taken {
        take(app, degrees);
    }
}

/// Writes a pitch into every eave, as one step.
fn take(app: &mut AppState, degrees: f64) {
    let Some(file) = app.written.clone() else { return };
    let blocks = rows::blocks(&file);
    let sides = blocks.iter().flat_map(|block| &block.rings).flat_map(|ring| &ring.sides);
    // What comparing turns: all that rise from an eave, half-hips excepted, which begin plumb.
    let eaves = sides.filter(|side| matches!(side.role, RoleWord::Eave | RoleWord::Gablet));
    let edits: Vec<Edit> = eaves.map(|side| forms::pitch_edit(side, degrees)).collect();
    app.edit(&edits, &format!("take {degrees}"));
    app.said = (format!("every eave now has {degrees:.1}°"), false);
}
