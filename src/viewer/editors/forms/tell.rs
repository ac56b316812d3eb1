//! What is wrong with the file, in words, where it stands.

use crate::base::diagnostic::{Diagnostic, Severity};
use crate::base::file_tree::{FileTable, FileValue};
use crate::viewer::app::state::AppState;
use crate::viewer::render::theme::colour;
use crate::viewer::signs::signed;
use eframe::egui;
use eframe::egui::RichText;
use std::ops::Range;

/// The error of one key of a table: about its value or the key itself, or that it is missing.
#[must_use]
pub(crate) fn at_key<'d>(app: &'d AppState, table: &FileTable, key: &str, value: &FileValue) -> Option<&'d Diagnostic> {
    let within = |error: &Diagnostic, span: &Option<Range<usize>>| {
        let (Some(at), Some(span)) = (&error.span, span) else { return false };
        span.start <= at.start && at.end <= span.end
    };
    let mut errors = app.errors();
    if value.span.is_some() {
        return errors.find(|error| within(error, &value.span) || within(error, &value.key));
    }
    let missing = format!("`{key}`");
    errors.find(|error| {
        error.code == "missing-key"
            && error.message.contains(&missing)
            && table.span.as_ref().is_some_and(|span| error.touches(span))
    })
}

/// A diagnostic in words, its hint with it.
#[must_use]
pub fn words(diagnostic: &Diagnostic) -> String {
    let found = diagnostic.found.iter().map(|found| format!("; found {found}"));
    let expected = diagnostic.expected.iter().map(|expected| format!(", expected {expected}"));
    let hints = diagnostic.hints.iter().map(|hint| format!("; {hint}"));
    std::iter::once(diagnostic.message.clone()).chain(found).chain(expected).chain(hints).collect()
}

/// One diagnostic, with its line where the place does not tell.
pub fn one(ui: &mut egui::Ui, app: &AppState, diagnostic: &Diagnostic, with_line: bool) {
    let palette = app.theme.palette();
    let mark = match diagnostic.severity {
        Severity::Error => "error",
        Severity::Warning => "look here",
        Severity::Note => "note",
    };
    let line = diagnostic.span.as_ref().filter(|_| with_line).map(|span| {
        let (line, _) = crate::base::diagnostic::line_and_column(&app.text, span.start);
        format!(", line {line}")
    });
    let text = format!("{mark}{}: {}", line.unwrap_or_default(), words(diagnostic));
    signed(ui, palette, diagnostic.severity, &text);
}

/// A diagnostic as it is told beside fields: a field puts quotes where the file needs them.
#[must_use]
pub(crate) fn at_field(mut diagnostic: Diagnostic) -> Diagnostic {
    diagnostic.hints.retain(|hint| !hint.contains("quotes"));
    diagnostic
}

/// Everything about one row, after its name: for the list of messages below the page.
pub fn about(app: &mut AppState, name: &str, span: Option<&Range<usize>>) {
    let Some(span) = span else { return };
    app.forms.placed.push(span.clone());
    let of: Vec<Diagnostic> = app.diagnostics.iter().filter(|diagnostic| diagnostic.touches(span)).cloned().collect();
    app.forms.messages.extend(of.into_iter().map(|diagnostic| (name.to_owned(), at_field(diagnostic))));
}

/// What stands on no row of this page, after what does.
pub fn elsewhere(app: &mut AppState) {
    let is_placed = |diagnostic: &&Diagnostic| app.forms.placed.iter().any(|span| diagnostic.touches(span));
    let rest = app.diagnostics.iter().filter(|diagnostic| !is_placed(diagnostic)).cloned();
    let rest: Vec<(String, Diagnostic)> = rest.map(|diagnostic| (String::new(), diagnostic)).collect();
    app.forms.messages.extend(rest);
}

/// The messages in a place of their own below the page, so that no field moves when one comes or goes: errors first.
pub fn list(ui: &mut egui::Ui, app: &AppState, messages: &[(String, Diagnostic)]) {
    if messages.is_empty() {
        ui.label(RichText::new("Nothing is wrong with this file.").color(colour(app.theme.palette().faint)));
        return;
    }
    for severity in [Severity::Error, Severity::Warning, Severity::Note] {
        for (name, diagnostic) in messages.iter().filter(|(_, diagnostic)| diagnostic.severity == severity) {
            if !name.is_empty() {
                ui.label(RichText::new(format!("{name}:")).strong());
            }
            one(ui, app, diagnostic, name.is_empty());
        }
    }
}
