//! The bars above and below: files, undo, the views of the middle, settings; the open view's tools; what happened last.

use super::files;
use super::keys::Action;
use super::on_disk;
use super::panes::Pane;
use super::prompt::What;
use super::settings::{self, Settings};
use super::state::AppState;
use crate::base::diagnostic::Severity;
use crate::viewer::backend::Output;
use crate::viewer::editors::forms;
use crate::viewer::editors::views;
use crate::viewer::icons::Icon;
use crate::viewer::render::theme::colour;
use crate::viewer::signs::signed;
use crate::viewer::widgets::Tool;
pub use crate::viewer::widgets::named;
use eframe::egui;
use eframe::egui::{Align, Layout, RichText};

/// From this width on the files' tools have their words beside them, points.
const WORDS: f32 = 1150.0;

/// From this width on the views have their icons, points.
const ICONS: f32 = 900.0;

/// Keys of what can be written.
const KEYS_OF: [(Output, &str); 6] = [
    (Output::Model, "Ctrl+E"),
    (Output::Drawings, "Ctrl+D"),
    (Output::Sheet, "Ctrl+P"),
    (Output::Order, "Ctrl+Shift+E"),
    (Output::Offer, "Ctrl+Shift+P"),
    (Output::Handover, "Ctrl+Shift+H"),
];

/// Files, undo and redo, the views of the middle, panes, settings and keys: one row.
pub fn top(ui: &mut egui::Ui, app: &mut AppState) {
    let width = ui.ctx().content_rect().width();
    let has_words = width >= WORDS;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        for (icon, word, action, tip) in [
            (Icon::New, "New", Action::New, "begin a new roof (Ctrl+N)"),
            (Icon::Open, "Open", Action::Open, "open a roof file (Ctrl+O)"),
        ] {
            if Tool::new(icon, word, tip).with_word(has_words).show(ui).clicked() {
                app.act(action);
            }
        }
        files::recent(ui, app);
        if Tool::new(Icon::Save, "Save", "save the roof file (Ctrl+S)").with_word(has_words).show(ui).clicked() {
            app.act(Action::Save);
        }
        let write = Tool::new(Icon::Write, "Write", "drawings, sheets, models, the order").with_word(has_words);
        write.menu(ui, |ui| {
            if ui.add(egui::Button::new("Save under another name").shortcut_text("Ctrl+Shift+S")).clicked() {
                app.act(Action::SaveAs);
            }
            ui.separator();
            for output in Output::ALL {
                let key = KEYS_OF.iter().find(|(of, _)| *of == output).map_or("", |(_, key)| *key);
                if ui.add(egui::Button::new(output.in_menu()).shortcut_text(key)).clicked() {
                    app.ask(What::Write(output));
                }
            }
        });
        ui.separator();
        for (icon, word, action, tip, can) in [
            (Icon::Undo, "Undo", Action::Undo, "take the last change back (Ctrl+Z)", app.history.can_undo()),
            (Icon::Redo, "Redo", Action::Redo, "make it again (Ctrl+Y)", app.history.can_redo()),
        ] {
            let tool = Tool::new(icon, word, tip).with_word(false);
            if ui.add_enabled_ui(can, |ui| tool.show(ui)).inner.clicked() {
                app.act(action);
            }
        }
        ui.separator();
        views::tabs(ui, app, width >= ICONS);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let keys = Tool::new(Icon::Keys, "Keys", "list of keys (F1)").with_word(false).on(app.shows_keys);
            if keys.show(ui).clicked() {
                app.act(Action::Keys);
            }
            let mut set = Settings { theme: app.theme, display: app.display, text_size: app.text_size };
            settings::menu(ui, &mut set, has_words);
            (app.theme, app.text_size) = (set.theme, set.text_size);
            if set.display != app.display {
                app.show_in(set.display);
            }
            panes(ui, app, width);
            if has_words {
                name(ui, app);
            }
        });
    });
    files::prompt(ui, app);
    on_disk::show(ui, app);
    forms::unit_question(ui, app);
    recovered(ui, app);
}

/// The switches of the panes, the right one first: they stand from right to left.
fn panes(ui: &mut egui::Ui, app: &mut AppState, width: f32) {
    let [left, right] = app.panes.open(width);
    for (pane, icon, word, is_open) in
        [(Pane::Right, Icon::RightPane, "What it means", right), (Pane::Left, Icon::LeftPane, "What is typed", left)]
    {
        let tip = if is_open { format!("{word}: close this pane") } else { format!("{word}: open this pane") };
        if Tool::new(icon, word, &tip).with_word(false).on(is_open).show(ui).clicked() {
            app.panes.turn(pane, width);
        }
    }
}

/// The file's name, and whether it is changed.
fn name(ui: &mut egui::Ui, app: &AppState) {
    let name = app.path.as_ref().map_or_else(
        || "not saved yet".to_owned(),
        |path| path.file_name().unwrap_or_default().to_string_lossy().into_owned(),
    );
    let name = if app.is_changed() { format!("{name}, changed") } else { name };
    let name = RichText::new(name).color(colour(app.theme.palette().faint));
    ui.add(egui::Label::new(name).truncate());
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

/// What happened last, and on the right whether all is kept.
pub fn foot(ui: &mut egui::Ui, app: &mut AppState) {
    let palette = app.theme.palette();
    let errors = app.errors().count();
    ui.horizontal(|ui| {
        if errors > 0 {
            let plural = if errors == 1 { "" } else { "s" };
            let words = format!("{errors} error{plural}: the roof shown is the last that could be solved");
            signed(ui, palette, Severity::Error, &words);
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
