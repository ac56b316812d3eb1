//! The bars above and below: files, undo, views, shades; what happened last.

use super::desk::{Desk, UNITS};
use super::files;
use super::keys::Deed;
use crate::viewer::render::camera::View;
use crate::viewer::render::scene::Shade;
use crate::viewer::render::theme::{Theme, colour};
pub use crate::viewer::widgets::named;
use eframe::egui;
use eframe::egui::{Align, Layout, RichText};

/// Files, undo and redo, theme and keys.
pub fn top(ui: &mut egui::Ui, desk: &mut Desk) {
    ui.horizontal(|ui| {
        for (words, deed, tip) in [
            ("New", Deed::New, "begin a new roof (Ctrl+N)"),
            ("Open", Deed::Open, "open a roof file (Ctrl+O)"),
            ("Save", Deed::Save, "save the roof file (Ctrl+S)"),
        ] {
            if ui.button(words).on_hover_text(tip).clicked() {
                desk.act(deed);
            }
        }
        files::recent(ui, desk);
        ui.menu_button("Write", |ui| {
            for (words, deed) in [
                ("Save under another name", Deed::SaveAs),
                ("Write a model", Deed::Export),
                ("Write all drawings", Deed::Drawings),
                ("Write the job sheet", Deed::Sheet),
                ("Write the order with prices", Deed::Order),
                ("Write the offer", Deed::Offer),
                ("Write the handover", Deed::Handover),
            ] {
                if ui.button(words).clicked() {
                    desk.act(deed);
                    ui.close();
                }
            }
        });
        ui.separator();
        if ui.add_enabled(desk.history.can_undo(), egui::Button::new("Undo")).clicked() {
            desk.act(Deed::Undo);
        }
        if ui.add_enabled(desk.history.can_redo(), egui::Button::new("Redo")).clicked() {
            desk.act(Deed::Redo);
        }
        ui.separator();
        let name = desk.path.as_ref().map_or_else(
            || "not saved yet".to_owned(),
            |path| path.file_name().unwrap_or_default().to_string_lossy().into_owned(),
        );
        let name = if desk.is_changed() { format!("{name}, changed") } else { name };
        ui.label(RichText::new(name).color(colour(desk.theme.palette().faint)));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if ui.selectable_label(desk.shows_keys, "Keys").on_hover_text("list of keys (F1)").clicked() {
                desk.act(Deed::Keys);
            }
            let shown = egui::ComboBox::from_id_salt("theme").selected_text(desk.theme.word()).width(110.0);
            let shown = shown.show_ui(ui, |ui| {
                for theme in Theme::ALL {
                    ui.selectable_value(&mut desk.theme, theme, theme.word());
                }
            });
            named(ui, &shown.response, "theme");
            units(ui, desk);
        });
    });
    files::prompt(ui, desk);
    recovered(ui, desk);
}

/// What answers are shown in.
fn units(ui: &mut egui::Ui, desk: &mut Desk) {
    let word = |of| UNITS.iter().find(|(units, _)| *units == of).map_or("", |(_, word)| *word);
    let mut chosen = desk.display;
    let shown = egui::ComboBox::from_id_salt("display").selected_text(word(chosen)).width(120.0).show_ui(ui, |ui| {
        for (units, word) in UNITS {
            ui.selectable_value(&mut chosen, units, word);
        }
    });
    named(ui, &shown.response, "units of answers");
    if chosen != desk.display {
        desk.show_in(chosen);
    }
}

/// The line about text that a killed window left behind.
fn recovered(ui: &mut egui::Ui, desk: &mut Desk) {
    if desk.recovered.is_none() {
        return;
    }
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        ui.label("Changes were left unsaved when the window last closed.");
        if ui.button("Take them up").clicked() {
            if let Some(text) = desk.recovered.take() {
                desk.change(text, "recovered");
            }
        } else if ui.button("Forget them").clicked() {
            desk.recovered = None;
            desk.keeper.keep(desk.path.clone(), None);
        }
    });
}

/// Views, shades and labels.
pub fn view(ui: &mut egui::Ui, desk: &mut Desk) {
    ui.spacing_mut().item_spacing.y = 4.0;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for (number, view) in View::ALL.into_iter().enumerate() {
            let tip = format!("key {}", number + 1);
            if ui.selectable_label(false, view.word()).on_hover_text(tip).clicked() {
                desk.act(Deed::Look(view));
            }
        }
        if ui.selectable_label(false, "fit").on_hover_text("key F").clicked() {
            desk.act(Deed::Fit);
        }
        if ui.selectable_label(desk.canvas.is_measuring, "measure").on_hover_text("key M").clicked() {
            desk.act(Deed::Measure);
        }
    });
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for shade in Shade::ALL {
            if ui.selectable_label(desk.look.shade == shade, shade.word()).clicked() {
                desk.look.shade = shade;
            }
        }
        ui.separator();
        ui.toggle_value(&mut desk.labels.edges, "edge labels");
        ui.toggle_value(&mut desk.labels.faces, "face labels");
    });
}

/// What happened last.
pub fn foot(ui: &mut egui::Ui, desk: &mut Desk) {
    let palette = desk.theme.palette();
    let errors = desk.errors().count();
    ui.horizontal(|ui| {
        if errors > 0 {
            let plural = if errors == 1 { "" } else { "s" };
            let words = format!("{errors} error{plural}: the roof shown is the last that could be solved");
            ui.label(RichText::new(words).color(colour(palette.fault)));
        } else {
            let ink = if desk.said.1 { palette.fault } else { palette.faint };
            ui.label(RichText::new(desk.said.0.clone()).color(colour(ink)));
        }
        if !desk.is_idle() && !desk.text.trim().is_empty() {
            ui.label(RichText::new("working…").color(colour(palette.faint)));
        }
        files::progress(ui, desk);
    });
}
