//! The bars above and below: files, undo, views, shades; what happened last.

use super::files;
use super::keys::Action;
use super::on_disk;
use super::state::{AppState, UNITS};
use crate::viewer::editors::forms;
use crate::viewer::render::camera::View;
use crate::viewer::render::scene::Shade;
use crate::viewer::render::theme::{Theme, colour};
pub use crate::viewer::widgets::named;
use eframe::egui;
use eframe::egui::{Align, Layout, RichText};

/// Files, undo and redo, theme and keys.
pub fn top(ui: &mut egui::Ui, app: &mut AppState) {
    ui.horizontal(|ui| {
        for (words, action, tip) in [
            ("New", Action::New, "begin a new roof (Ctrl+N)"),
            ("Open", Action::Open, "open a roof file (Ctrl+O)"),
            ("Save", Action::Save, "save the roof file (Ctrl+S)"),
        ] {
            if ui.button(words).on_hover_text(tip).clicked() {
                app.act(action);
            }
        }
        files::recent(ui, app);
        ui.menu_button("Write", |ui| {
            for (words, action) in [
                ("Save under another name", Action::SaveAs),
                ("Write a model", Action::Export),
                ("Write all drawings", Action::Drawings),
                ("Write the job sheet", Action::Sheet),
                ("Write the order with prices", Action::Order),
                ("Write the offer", Action::Offer),
                ("Write the handover", Action::Handover),
            ] {
                if ui.button(words).clicked() {
                    app.act(action);
                    ui.close();
                }
            }
        });
        ui.separator();
        if ui.add_enabled(app.history.can_undo(), egui::Button::new("Undo")).clicked() {
            app.act(Action::Undo);
        }
        if ui.add_enabled(app.history.can_redo(), egui::Button::new("Redo")).clicked() {
            app.act(Action::Redo);
        }
        ui.separator();
        let name = app.path.as_ref().map_or_else(
            || "not saved yet".to_owned(),
            |path| path.file_name().unwrap_or_default().to_string_lossy().into_owned(),
        );
        let name = if app.is_changed() { format!("{name}, changed") } else { name };
        ui.label(RichText::new(name).color(colour(app.theme.palette().faint)));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if ui.selectable_label(app.shows_keys, "Keys").on_hover_text("list of keys (F1)").clicked() {
                app.act(Action::Keys);
            }
            let shown = egui::ComboBox::from_id_salt("theme").selected_text(app.theme.word()).width(110.0);
            let shown = shown.show_ui(ui, |ui| {
                for theme in Theme::ALL {
                    ui.selectable_value(&mut app.theme, theme, theme.word());
                }
            });
            named(ui, &shown.response, "theme");
            units(ui, app);
        });
    });
    files::prompt(ui, app);
    on_disk::show(ui, app);
    forms::unit_question(ui, app);
    recovered(ui, app);
}

/// What answers are shown in.
fn units(ui: &mut egui::Ui, app: &mut AppState) {
    let word = |of| UNITS.iter().find(|(units, _)| *units == of).map_or("", |(_, word)| *word);
    let mut chosen = app.display;
    let shown = egui::ComboBox::from_id_salt("display").selected_text(word(chosen)).width(120.0).show_ui(ui, |ui| {
        for (units, word) in UNITS {
            ui.selectable_value(&mut chosen, units, word);
        }
    });
    named(ui, &shown.response, "units of answers");
    if chosen != app.display {
        app.show_in(chosen);
    }
}

/// The line about texts that killed windows left behind.
fn recovered(ui: &mut egui::Ui, app: &mut AppState) {
    let Some((slot, text)) = app.recovered.first().cloned() else { return };
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        let more = app.recovered.len() - 1;
        let more = if more > 0 { format!(" {more} more after these.") } else { String::new() };
        ui.label(format!("Changes were left unsaved when the window last closed.{more}"));
        if ui.button("Take them up").clicked() {
            app.recovered.remove(0);
            app.change(text, "recovered");
            // They stay there until they are saved or changed.
            app.slot = slot;
        } else if ui.button("Forget them").clicked() {
            app.recovered.remove(0);
            app.autosave.keep(slot, None);
        }
    });
}

/// Views, shades and labels.
pub fn view(ui: &mut egui::Ui, app: &mut AppState) {
    ui.spacing_mut().item_spacing.y = 4.0;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for (number, view) in View::ALL.into_iter().enumerate() {
            let tip = format!("key {}", number + 1);
            if ui.selectable_label(false, view.word()).on_hover_text(tip).clicked() {
                app.act(Action::Look(view));
            }
        }
        if ui.selectable_label(false, "fit").on_hover_text("key F").clicked() {
            app.act(Action::Fit);
        }
        if ui.selectable_label(app.canvas.is_measuring, "measure").on_hover_text("key M").clicked() {
            app.act(Action::Measure);
        }
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for shade in Shade::ALL {
            if ui.selectable_label(app.look.shade == shade, shade.word()).clicked() {
                app.look.shade = shade;
            }
        }
        ui.separator();
        ui.toggle_value(&mut app.labels.edges, "edge labels");
        ui.toggle_value(&mut app.labels.faces, "face labels");
    });
}

/// What happened last, and on the right whether all is kept.
pub fn foot(ui: &mut egui::Ui, app: &mut AppState) {
    let palette = app.theme.palette();
    let errors = app.errors().count();
    ui.horizontal(|ui| {
        if errors > 0 {
            let plural = if errors == 1 { "" } else { "s" };
            let words = format!("{errors} error{plural}: the roof shown is the last that could be solved");
            ui.label(RichText::new(words).color(colour(palette.fault)));
        } else {
            let ink = if app.said.1 { palette.fault } else { palette.faint };
            let solved = || app.took.map(|took| format!("solved in {:.0} ms", took.as_secs_f64() * 1e3));
            let said = Some(app.said.0.clone()).filter(|said| !said.is_empty()).or_else(solved);
            ui.label(RichText::new(said.unwrap_or_default()).color(colour(ink)));
        }
        if !app.is_idle() && !app.text.trim().is_empty() {
            ui.label(RichText::new("working…").color(colour(palette.faint)));
        }
        files::progress(ui, app);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let (words, is_wrong) = kept(app);
            let ink = if is_wrong { palette.fault } else { palette.faint };
            ui.label(RichText::new(words).color(colour(ink)));
        });
    });
}

/// Whether what was typed is safe, in words, and whether it is not.
fn kept(app: &AppState) -> (String, bool) {
    if app.text.trim().is_empty() {
        return (String::new(), false);
    }
    if !app.is_changed() {
        return (if app.path.is_some() { "all saved" } else { "not saved yet" }.to_owned(), false);
    }
    match app.autosave.last() {
        _ if app.keep_at.is_some() => ("keeping…".to_owned(), false),
        Some(Ok(at)) => (format!("all kept {at}"), false),
        Some(Err(why)) => (format!("changes are not kept: {why}"), true),
        None => (String::new(), false),
    }
}
