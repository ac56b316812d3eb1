//! Files of earlier versions are read for ever. `tests/formats` keeps them as they were written then, and `areas.json` the
//! areas that were answered, square metres. Files of the project's own invention; a file here is never changed, only added.

use eavewright::base::diagnostic::Severity;
use eavewright::base::schema::{Kind, Table};
use eavewright::cli::diagnostics::{self, Style};
use eavewright::input::{self, Beside, Files, card, schema};
use eavewright::job;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/formats")
}

fn kept(below: &str) -> Vec<(String, String)> {
    let mut files: Vec<PathBuf> =
        fs::read_dir(folder().join(below)).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    files.sort();
    let read = |path: &PathBuf| fs::read_to_string(path).unwrap();
    files.iter().map(|path| (path.file_name().unwrap().to_string_lossy().into_owned(), read(path))).collect()
}

/// Photos stand with the examples.
struct Photos;

impl Files for Photos {
    fn read(&self, name: &str) -> std::io::Result<Vec<u8>> {
        Beside::of(&Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/any.toml")).read(name)
    }
}

#[test]
fn roof_files_of_earlier_versions_give_the_areas_of_then() {
    let areas: BTreeMap<String, BTreeMap<String, f64>> =
        serde_json::from_str(&fs::read_to_string(folder().join("areas.json")).unwrap()).unwrap();
    let files = kept("");
    assert_eq!(areas.keys().collect::<Vec<_>>(), files.iter().map(|(name, _)| name).collect::<Vec<_>>());
    let mut wrong = Vec::new();
    for (name, text) in &files {
        let (job, ..) = input::read(name, text, &Photos)
            .unwrap_or_else(|found| panic!("{}", diagnostics::render(name, text, &found, Style::Plain)));
        let answer = job::solve(&job, &job::Options::default()).unwrap();
        let mut now = BTreeSet::new();
        for (id, face) in answer.roof.roof_faces() {
            let area = answer.area(id);
            let face_name = face.name();
            match (areas[name].get(&face_name), area.value()) {
                // A better adjustment may move what is measured, within what was said of it.
                (Some(then), Some(value)) if (then - value).abs() <= 1e-6 * then + 2.0 * area.sd().unwrap_or(0.0) => {}
                (then, value) => wrong.push(format!("{name}: {face_name} was {then:?}, is {value:?}")),
            }
            now.insert(face_name);
        }
        let lost = areas[name].keys().filter(|face| !face.ends_with(":wall") && !now.contains(*face));
        wrong.extend(lost.map(|face| format!("{name}: {face} is gone")));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn cards_of_earlier_versions_are_read() {
    let cards = kept("cards");
    assert!(cards.len() >= 4);
    for (name, text) in cards {
        let (card, found) = card::read(&name, &text);
        let wrong = found.iter().any(|diagnostic| diagnostic.severity == Severity::Error);
        assert!(card.is_some() && !wrong, "{}", diagnostics::render(&name, &text, &found, Style::Plain));
    }
}

/// Keys of a table and of those within it, with the version that first knew them.
fn keys(table: &'static Table, found: &mut BTreeMap<(&'static str, &'static str), &'static str>) {
    for key in table.keys.iter().chain(table.names.map(|own| own.values)) {
        if found.insert((table.name, key.key), key.since).is_none()
            && let Some(inner) = inner(&key.kind)
        {
            keys(inner, found);
        }
    }
}

fn inner(kind: &Kind) -> Option<&'static Table> {
    match kind {
        Kind::Table(table) | Kind::Tables(table) | Kind::Point(table, _) => Some(table),
        _ => None,
    }
}

/// No key that a version knew may be left out of what is kept: it could be lost unseen.
#[test]
fn every_key_of_the_first_version_stands_in_a_kept_file() {
    for (table, below) in [(schema::roof_file(), ""), (schema::price_file(), ""), (schema::material_card(), "cards")] {
        each_key_is_kept(table, below);
    }
}

fn each_key_is_kept(table: &'static Table, below: &str) {
    let mut known = BTreeMap::new();
    keys(table, &mut known);
    if below.is_empty() {
        // Values in place of the card's have the card's own keys.
        let mut of_card = BTreeMap::new();
        keys(schema::material_card(), &mut of_card);
        known.retain(|key, _| !of_card.contains_key(key));
    }
    let text: String = kept(below).into_iter().map(|(_, text)| text).collect();
    let stands = |key: &str| {
        let mut at = text.match_indices(key);
        at.any(|(at, _)| {
            let before = text[..at].chars().next_back().unwrap_or('\n');
            let after = text[at + key.len()..].trim_start();
            let is_whole = !(before.is_alphanumeric() || before == '_' || before == '-');
            is_whole && ['=', ']', '.'].iter().any(|next| after.starts_with(*next))
        })
    };
    // Keys with spaces in them stand for names of a writer's own.
    known.retain(|(_, key), since| !key.contains(' ') && *since == "0.1");
    let missing: Vec<_> = known.keys().filter(|(_, key)| !stands(key)).collect();
    assert!(known.len() > 30 && missing.is_empty(), "of {} keys none holds {missing:?}", known.len());
}
