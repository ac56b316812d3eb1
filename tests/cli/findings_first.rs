//! Findings as they leave the program: what stops the work and what casts doubt comes first in the text of `solve`, in
//! JSON and on the sheet, and a job of feet tells no metric length anywhere.

use assert_cmd::Command;
use numbers::numbers;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use support::numbers;

/// Standard output of the program on a text.
fn run(arguments: &[&str], text: &str) -> String {
    let run = Command::cargo_bin("eavewright").unwrap().args(arguments).write_stdin(text.to_owned()).output().unwrap();
    assert_eq!(run.status.code(), Some(0), "{}", String::from_utf8_lossy(&run.stderr));
    String::from_utf8(run.stdout).unwrap()
}

fn sheet(text: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let (file, page) = (folder.path().join("roof.toml"), folder.path().join("roof.html"));
    fs::write(&file, text).unwrap();
    Command::cargo_bin("eavewright").unwrap().arg("sheet").arg(file).arg("--out").arg(&page).assert().success();
    fs::read_to_string(page).unwrap()
}

fn files() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/findings");
    let mut paths: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    paths.sort();
    let read =
        |path: PathBuf| (path.file_stem().unwrap().to_string_lossy().into_owned(), fs::read_to_string(path).unwrap());
    paths.into_iter().map(read).collect()
}

fn notes(text: &str) -> Vec<Value> {
    let json: Value = serde_json::from_str(&run(&["solve", "--json", "-"], text)).unwrap();
    json["notes"].as_array().unwrap().clone()
}

fn word<'a>(note: &'a Value, key: &str) -> &'a str {
    note[key].as_str().unwrap()
}

#[test]
fn what_stops_and_what_casts_doubt_comes_first() {
    const ORDER: [&str; 4] = ["stop", "doubt", "mind", "note"];
    let mut first_told = 0;
    for (code, text) in files() {
        let notes = notes(&text);
        let weights: Vec<usize> =
            notes.iter().map(|note| ORDER.iter().position(|one| *one == word(note, "severity")).unwrap()).collect();
        assert!(weights.is_sorted(), "{code}: {weights:?}");
        let first: Vec<&Value> =
            notes.iter().zip(&weights).filter(|(_, weight)| **weight < 2).map(|(note, _)| note).collect();
        let solved = run(&["solve", "-"], &text);
        let table = solved.find("\n  ────").unwrap();
        assert_eq!(solved.contains("look here first"), !first.is_empty(), "{code}");
        for note in &first {
            let at = solved.find(word(note, "message")).unwrap_or_else(|| panic!("{code}: {note} is not in the text"));
            assert!(at < table, "{code}: {note} stands behind the table");
        }
        for note in notes.iter().zip(&weights).filter(|(_, weight)| **weight >= 2).map(|(note, _)| note) {
            let at = solved.find(word(note, "message")).unwrap_or_else(|| panic!("{code}: {note} is not in the text"));
            assert!(at > table, "{code}: {note} stands before the table");
        }
        first_told += first.len();
    }
    assert!(first_told > 20, "{first_told}");
}

/// Who orders by the take-off sees first what is wrong with the roof it is of.
#[test]
fn the_take_off_begins_with_what_casts_doubt_on_its_roof() {
    for code in ["measurement-doubtful", "no-way-off", "face-not-located", "pitch-measurements-disagree"] {
        let text = files().into_iter().find(|(one, _)| one == code).unwrap().1;
        let told = run(&["takeoff", "-"], &text).split_whitespace().collect::<Vec<_>>().join(" ");
        let json: Value = serde_json::from_str(&run(&["takeoff", "--json", "-"], &text)).unwrap();
        let notes = json["notes"].as_array().unwrap();
        let is_first = |note: &&Value| ["stop", "doubt"].contains(&word(note, "severity"));
        let first: Vec<&Value> = notes.iter().take_while(is_first).collect();
        assert_eq!(first.len(), notes.iter().filter(is_first).count(), "{code}: {notes:?}");
        assert!(first.iter().any(|note| word(note, "code") == code), "{code}: {notes:?}");
        for note in first.iter().filter(|note| word(note, "code") == code) {
            let at = told.find(word(note, "message")).unwrap_or_else(|| panic!("{code}: {note} is not in\n{told}"));
            assert!(at < told.find("─").unwrap(), "{code}: {told}");
        }
    }
}

#[test]
fn the_sheet_begins_with_what_casts_doubt() {
    for code in ["measurement-doubtful", "no-way-off", "face-not-located", "pitch-measurements-disagree"] {
        let text = files().into_iter().find(|(one, _)| one == code).unwrap().1;
        let page = sheet(&text);
        let (first, table) = (page.find("Look here first").unwrap(), page.find("<table").unwrap());
        assert!(first < table, "{code}");
        let notes = notes(&text);
        let doubts = notes.iter().filter(|note| ["stop", "doubt"].contains(&word(note, "severity")));
        for note in doubts {
            let message: String = word(note, "message").chars().skip(1).take(40).collect();
            let at = page.find(&message).unwrap_or_else(|| panic!("{code}: {message}"));
            assert!(first < at && at < table, "{code}: {message}");
        }
    }
    assert!(
        !sheet(&files().into_iter().find(|(one, _)| one == "framing-geometry-only").unwrap().1).contains("Look here")
    );
}

/// The same files measured in feet: their bare numbers are feet then, their findings the same.
#[test]
fn a_job_of_feet_tells_no_metric_length() {
    let mut sentences = 0;
    for (code, text) in files() {
        let text = text.split("# --- told ---").next().unwrap().replace("units = \"m\"", "units = \"ft\"");
        // Names of points and photos hold digits; metric lengths do not begin with a letter.
        let told: Vec<String> = run(&["solve", "-"], &text).lines().map(str::to_owned).collect();
        let messages = notes(&text).iter().map(|note| word(note, "message").to_owned()).collect::<Vec<_>>();
        for line in told.iter().chain(&messages) {
            let metric: Vec<_> = numbers(line, &[]).into_iter().filter(|told| told.is_metric).collect();
            assert!(metric.is_empty(), "{code}: {line}\n{metric:?}");
        }
        sentences += messages.len();
    }
    assert!(sentences > 100, "{sentences}");
}

/// What stops the work stands on the client's first page too: nobody signs for a roof that is too flat for its covering.
#[test]
fn a_client_learns_first_what_stops_the_work() {
    use eavewright::drawing::Context;
    use eavewright::drawing::job_sheet::{Audience, SheetInput, job_sheet};
    let text = "units = \"m\"\n[[block]]\nname = \"shed\"\nheight = 2.1\nsides = [\n\
        { from = \"A\", at = [0, 0], pitch = 12 },\n{ from = \"B\", at = [6, 0], verge = true },\n\
        { from = \"C\", at = [6, 3], abutment = true },\n{ from = \"D\", at = [0, 3], verge = true },\n]\n";
    let (job, ..) = eavewright::input::read("shed.toml", text, &eavewright::input::NoFiles).unwrap();
    let answer = eavewright::job::solve(&job, &eavewright::job::Options::default()).unwrap();
    let take_off = eavewright::job::order::take_off(&job, &answer);
    let context = Context::of(&job);
    let (audience, full) = (Audience::Client, false);
    let input = SheetInput { job: &job, answer: &answer, take_off: &take_off, context: &context, audience, full };
    let page = eavewright::write::html::html(&job_sheet(&input), input.paper());
    let stop = page.find("needs at least 15.0°").expect("it is told");
    assert!(stop < page.find("Roof plan").unwrap() && stop < page.find("What is included").unwrap());
}
