//! Openings and dormers.

use super::columns::{Form, MEASURE, MEASURES, WORDS, column};
use super::field::Of;
use super::list::{self, List};
use crate::base::written::WrittenTable;
use crate::viewer::desk::Desk;
use eframe::egui;

const OPENINGS: List = List {
    key: "opening",
    one: "opening",
    many: "Openings",
    about: "Chimneys, roof windows, vents: by their lower left corner in a face, seen from outside, along the eave and up \
            the slope; or by a plan that cuts every face it meets.",
    columns: &[column("kind", "what", 120.0, WORDS, "roof window"), column("face", "face", 120.0, WORDS, "south")],
    more: &[
        column("at", "corner: along, up", 150.0, MEASURES, "2.0, 1.2"),
        column("size", "size: along, up", 150.0, MEASURES, "0.78, 1.18"),
        column("plan", "or plan", 190.0, MEASURES, "[x, y], [x, y], [x, y]"),
    ],
};

const DORMERS: List = List {
    key: "dormer",
    one: "dormer",
    many: "Dormers",
    about: "Set into a face: by the left corner of its front, along the eave and level distance in from it.",
    columns: &[column("name", "name", 90.0, WORDS, "d1"), column("face", "face", 120.0, WORDS, "store/A")],
    more: &[
        column("kind", "roof", 110.0, Form::Choice(&["", "gable", "hip", "shed"]), ""),
        column("at", "corner: along, in", 150.0, MEASURES, "2.5, 0.8"),
        column("width", "width", 100.0, MEASURE, "1.6"),
        column("front_height", "height of its front", 100.0, MEASURE, "1.1"),
        column("pitch", "pitch", 100.0, MEASURE, "35"),
    ],
};

/// The whole page.
pub fn show(ui: &mut egui::Ui, desk: &mut Desk, file: &WrittenTable) {
    for list in [&OPENINGS, &DORMERS] {
        list::show(ui, desk, Of { way: &[], table: file }, list);
    }
}
