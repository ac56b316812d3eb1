//! Order lines and steps of work, each way; every finding and caution broken one by one; what is told agrees with the data.

mod both_ways;
mod break_cautions;
mod break_findings;
mod digits;

use super::laying::read::Taken;
use super::solved;
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options, order};
use eavewright::wording::units::Format;
use eavewright::write::takeoff_json::TakeoffTwin;
use serde_json::Value;
use support::roofs;

/// The tool's own cards.
const CARDS: [&str; 5] = ["strip-shingle", "single-tab", "slate", "profiled-sheet", "felt"];

/// Reads, solves and takes off a roof file; `None` where it has no answer.
fn try_taken(text: &str, spread: bool) -> Option<Taken> {
    let (job, ..) = input::read("roof.toml", text, &NoFiles).ok()?;
    let answer = job::solve(&job, &Options { steps: false, spread }).ok()?;
    let order = order::take_off(&job, &answer);
    Some(Taken { job, answer, order })
}

/// The same of a roof file that has one.
fn taken(text: &str) -> Taken {
    try_taken(text, false).unwrap_or_else(|| panic!("no answer to {text}"))
}

impl Taken {
    /// `takeoff --json`.
    fn json(&self) -> Value {
        let twin = TakeoffTwin::new(&self.order, &self.answer.roof, Format::of(self.job.units), false);
        serde_json::to_value(twin).unwrap()
    }

    /// Steps of a name, as JSON gives them.
    fn steps(&self, name: &str) -> Vec<Value> {
        self.json()["work"].as_array().unwrap().iter().filter(|step| step["step"] == name).cloned().collect()
    }
}

/// The example roof files.
fn examples() -> Vec<(String, String)> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut found: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| (path.file_stem().unwrap().to_string_lossy().into_owned(), std::fs::read_to_string(path).unwrap()))
        .collect();
    found.sort();
    assert!(found.len() >= 5);
    found
}
