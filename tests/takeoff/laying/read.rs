//! Roofs by roof file, through every stage, as a user has them.

use eavewright::drawing::Context;
use eavewright::drawing::job_sheet::{Audience, SheetInput};
use eavewright::input::{self, NoFiles};
use eavewright::job::answer::Answer;
use eavewright::job::{self, Job, Options, order};
use eavewright::takeoff::TakeOff;

/// A job, its answer and its take-off.
pub struct Taken {
    pub job: Job,
    pub answer: Answer,
    pub order: TakeOff,
}

impl Taken {
    /// What its sheets and pages are made from.
    pub fn sheet_input<'a>(&'a self, context: &'a Context, audience: Audience, full: bool) -> SheetInput<'a> {
        SheetInput { job: &self.job, answer: &self.answer, take_off: &self.order, context, audience, full }
    }
}

/// Reads, solves and takes off a roof file.
pub fn taken(text: &str) -> Taken {
    let (job, ..) = input::read("roof.toml", text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}"));
    let answer =
        job::solve(&job, &Options { steps: false, spread: false }).unwrap_or_else(|failure| panic!("{failure}"));
    let order = order::take_off(&job, &answer);
    Taken { job, answer, order }
}

/// Total length of the edges of a kind.
pub fn total(taken: &Taken, kind: eavewright::roof::EdgeKind) -> f64 {
    let roof = &taken.answer.roof;
    roof.edges.iter().filter(|edge| edge.kind == kind).map(|edge| roof.length(edge).0).sum()
}

/// A rectangle of exact sides; `roles` are the ends of the four sides' tables.
pub fn rectangle(width: f64, depth: f64, roles: [&str; 4], more: &str) -> String {
    let sides: Vec<String> = ["A", "B", "C", "D"]
        .iter()
        .zip(roles)
        .enumerate()
        .map(|(index, (name, role))| {
            let length = if index % 2 == 0 { width } else { depth };
            format!("  {{ from = \"{name}\", length = {length}, turn = \"L\", {role} }},\n")
        })
        .collect();
    format!(
        "units = \"m\"\n[[block]]\nname = \"shed\"\nheight = 2.4\nmeasured_at = \"eaves\"\nsides = [\n{}]\n{more}",
        sides.concat()
    )
}

/// The job's sheet as text.
pub fn sheet(taken: &Taken) -> String {
    let context = Context::of(&taken.job);
    let input = taken.sheet_input(&context, Audience::Own, true);
    let html = eavewright::cli::sheet::sheet(&input, eavewright::cli::sheet::FileFormat::Html).unwrap();
    String::from_utf8(html).unwrap().split_whitespace().collect::<Vec<_>>().join(" ")
}
