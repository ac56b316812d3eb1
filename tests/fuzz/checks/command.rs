//! Any text as a roof file through the whole chain: answer, take-off, their texts and JSON. What is answered is finite.

use eavewright::base::diagnostic::Severity;
use eavewright::cli::{solve_text, takeoff};
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options};
use eavewright::wording::units::Format;
use eavewright::write::roof_json::RoofTwin;
use eavewright::write::takeoff_json::TakeoffTwin;

pub fn check(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let Ok((job, _, told)) = input::read("roof.toml", text, &NoFiles) else { return };
    assert!(told.iter().all(|diagnostic| diagnostic.severity != Severity::Error), "read in spite of an error");
    let Ok(answer) = job::solve(&job, &Options { steps: false, spread: true }) else { return };
    let order = job::order::take_off(&job, &answer);
    let format = Format::of(job.units);
    let texts = [
        solve_text::text(&job, &answer),
        takeoff::text(&job, &answer, &order, true),
        serde_json::to_string(&RoofTwin::new(&job, &answer, false)).unwrap(),
        serde_json::to_string(&TakeoffTwin::new(&order, &answer.roof, format, true).with_doubts(&job, &answer))
            .unwrap(),
    ];
    for text in &texts {
        let odd = |word: &str| text.split(|letter: char| !letter.is_alphanumeric()).any(|found| found == word);
        assert!(!odd("NaN") && !odd("inf"), "a number that is none:\n{text}");
    }
}
