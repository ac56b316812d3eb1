//! The job: what it is called, what bare numbers mean, the site.

use super::columns::{self, Column, Form, MEASURE, WORDS, column};
use super::field::Of;
use super::{list, tell};
use crate::base::written::{Step, WrittenTable};
use crate::viewer::desk::Desk;
use eframe::egui;

const JOB: &[Column] = &[
    column("title", "title", 220.0, WORDS, "printed on drawings"),
    column("units", "units", 100.0, Form::Choice(&["none", "m", "cm", "mm", "ft", "in"]), ""),
    column("date", "date", 120.0, MEASURE, "2026-05-01"),
    column("tolerance", "tolerance", 120.0, MEASURE, "usual"),
];

const SITE: &[Column] = &[
    column("wind_from", "wind from", 120.0, MEASURE, "SW"),
    column("north", "north", 120.0, MEASURE, "degrees, 0"),
    column("join_gap", "join gap", 120.0, MEASURE, "20 mm"),
];

/// The whole page.
pub fn show(ui: &mut egui::Ui, desk: &mut Desk, file: &WrittenTable) {
    columns::lines(ui, desk, Of { way: &[], table: file }, JOB, "the job");
    for (key, entry) in &file.entries {
        if let ("title" | "units" | "date" | "tolerance", crate::base::written::Entry::Value(value)) =
            (key.as_str(), entry)
        {
            tell::about(ui, desk, key, value.span.as_ref());
        }
    }
    ui.small("Bare numbers are in these units; any length may carry its own, as in 345 cm or 11' 3 1/2\".");
    ui.add_space(8.0);
    ui.strong("Site");
    let site = list::table(file, "site");
    columns::lines(ui, desk, Of { way: &[Step::from("site")], table: &site }, SITE, "the site");
    tell::about(ui, desk, "site", site.span.as_ref());
    ui.small(
        "North is the bearing of the plan's upward axis, clockwise. The wind decides which way ridge and hip caps lap. \
         Blocks nearer to each other than the join gap are brought together.",
    );
}
