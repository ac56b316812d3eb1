//! Repairs as JSON: `repair --json`.

use super::name::NameTwin;
use super::takeoff_json::{LineTwin, StepTwin};
use crate::roof::Roof;
use crate::takeoff::Finding;
use crate::takeoff::repair::RepairAnswer;
use crate::wording::units::Format;
use crate::wording::{self, order};
use crate::write::note_json::NoteTwin;
use serde::Serialize;

/// The repairs' format and version.
pub const FORMAT: &str = "eavewright-repair/1";

/// Twin of a job's repairs.
#[derive(Serialize)]
pub struct RepairTwin<'a> {
    format: &'static str,
    repairs: Vec<OneTwin<'a>>,
    notes: Vec<NoteTwin>,
}

#[derive(Serialize)]
struct OneTwin<'a> {
    face: NameTwin<'a>,
    from: f64,
    to: f64,
    first_course: usize,
    last_course: usize,
    lifted_courses: usize,
    caps_off: bool,
    pieces: u32,
    lifted_pieces: u32,
    area: f64,
    message: String,
    lines: Vec<LineTwin<'a>>,
    work: Vec<StepTwin<'a>>,
}

impl<'a> RepairTwin<'a> {
    /// The twin of repairs of `roof`, sentences in the units of `format`.
    #[must_use]
    pub fn new(repairs: &'a [RepairAnswer], findings: &[Finding], roof: &'a Roof, format: Format) -> Self {
        let one = |repair: &'a RepairAnswer| OneTwin {
            face: NameTwin::of(roof, repair.face),
            from: repair.along[0],
            to: repair.along[1],
            first_course: repair.courses[0],
            last_course: repair.courses[1],
            lifted_courses: repair.lifted,
            caps_off: repair.caps_off,
            pieces: repair.pieces,
            lifted_pieces: repair.lifted_pieces,
            area: repair.area,
            message: wording::repair::what(repair, roof, format),
            lines: repair
                .lines
                .iter()
                .map(|line| LineTwin::new(line, order::kind(repair.lines.iter().map(|line| &line.item)), format))
                .collect(),
            work: repair.work.iter().map(|step| StepTwin::new(step, roof, format)).collect(),
        };
        let note = |found: &Finding| NoteTwin::of(found, wording::takeoff::finding(found, roof, format), roof);
        Self { format: FORMAT, repairs: repairs.iter().map(one).collect(), notes: findings.iter().map(note).collect() }
    }
}
