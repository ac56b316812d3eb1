//! Words after the sign of their weight: what is wrong, doubtful or to be known is told by shape and word, not by colour
//! alone.

use super::icons::{self, Icon};
use super::render::theme::{Palette, colour};
use crate::base::diagnostic;
use crate::base::finding;
use eframe::egui;
use eframe::egui::{Color32, RichText};

/// The icon and the colour of a weight.
#[must_use]
pub fn sign_of(severity: diagnostic::Severity, palette: &Palette) -> (Icon, Color32) {
    match severity {
        diagnostic::Severity::Error => (Icon::Error, colour(palette.fault)),
        diagnostic::Severity::Warning => (Icon::Caution, colour(palette.caution)),
        diagnostic::Severity::Note => (Icon::Note, colour(palette.faint)),
    }
}

/// Words after a sign, both in one colour.
pub fn after(ui: &mut egui::Ui, (icon, ink): (Icon, Color32), words: &str) {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        icons::sign(ui, icon, ink);
        ui.add(egui::Label::new(RichText::new(words).color(ink)).wrap());
    });
}

/// Words about the file after the sign of their weight.
pub fn signed(ui: &mut egui::Ui, palette: &Palette, severity: diagnostic::Severity, words: &str) {
    after(ui, sign_of(severity, palette), words);
}

/// Words about the answer after the sign of their weight; what is no more than to be known stands in the colour of text.
pub fn found(ui: &mut egui::Ui, palette: &Palette, severity: finding::Severity, words: &str) {
    let sign = match severity {
        finding::Severity::Stop => (Icon::Error, colour(palette.fault)),
        finding::Severity::Doubt => (Icon::Caution, colour(palette.caution)),
        finding::Severity::Mind | finding::Severity::Note => (Icon::Note, colour(palette.ink)),
    };
    after(ui, sign, words);
}
