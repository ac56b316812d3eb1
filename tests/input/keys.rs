//! The schema of roof files and cards: that everything made from it follows it, and that what it shows is true.

use eavewright::base::diagnostic::Severity;
use eavewright::base::schema::{Key, Kind, Table, Usual};
use eavewright::cli::keys;
use eavewright::input::schema::{material_card, roof_file};
use eavewright::input::{self, NoFiles, card};
use eavewright::wording::schema::{bounds, counted, number, value, without};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

fn every_key() -> Vec<(&'static Table, &'static Key)> {
    let tables = roof_file().with_inner().into_iter().chain(material_card().with_inner());
    tables
        .flat_map(|table| table.keys.iter().chain(table.names.map(|own| own.values)).map(move |key| (table, key)))
        .collect()
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// `EAVEWRIGHT_WRITE_KEYS=1 cargo test --no-default-features --test input keys` writes it anew.
#[test]
fn the_page_in_the_repository_is_the_schemas() {
    let page = keys::markdown();
    let path = root().join("examples/keys.md");
    if std::env::var_os("EAVEWRIGHT_WRITE_KEYS").is_some() {
        fs::write(&path, &page).unwrap();
    }
    let kept = fs::read_to_string(path).unwrap();
    let apart = kept.lines().zip(page.lines()).find(|(kept, page)| kept != page);
    let again = "a key was changed: EAVEWRIGHT_WRITE_KEYS=1 cargo test --no-default-features --test input keys writes the page anew";
    assert!(kept == page, "{again}; the first line that differs: {apart:?}");
    for (table, key) in every_key() {
        assert!(page.contains(key.about), "{} of {}", key.key, table.header);
    }
}

#[test]
fn every_entry_is_whole() {
    let mut tables = std::collections::BTreeSet::new();
    for table in roof_file().with_inner().into_iter().chain(material_card().with_inner()) {
        assert!(tables.insert(table.name), "two tables are called {}", table.name);
        assert!(table.about.ends_with('.') && !table.example.is_empty(), "{}", table.name);
        let own = table.keys.iter().map(|key| key.key).collect::<std::collections::BTreeSet<_>>();
        assert_eq!(own.len(), table.keys.len(), "a key of {} stands there twice", table.name);
    }
    for (table, key) in every_key() {
        let name = format!("{} of {}", key.key, table.name);
        assert!(!key.about.is_empty() && !key.about.ends_with('.') && !key.label.is_empty(), "{name}");
        assert!(key.since <= env!("CARGO_PKG_VERSION"), "{name}");
        let (limits, unit) = (bounds(&key.kind), counted(&key.kind));
        match (key.usual, &key.kind) {
            (Usual::Number(usual), _) => {
                assert!(limits.is_none_or(|limits| limits.allow(usual)), "{name}");
                assert!(without(key).starts_with(&number(usual, unit)), "{name}");
            }
            (Usual::Word(word), Kind::Choice(words) | Kind::Card(words)) => assert!(words.contains(&word), "{name}"),
            (Usual::Flag(_), kind) => assert!(matches!(kind, Kind::Flag), "{name}"),
            _ => {}
        }
        if !key.example.is_empty() {
            let line = format!("key = {}", key.example);
            assert!(line.parse::<toml_edit::DocumentMut>().is_ok(), "{name}: {line}");
        }
        assert!(!value(key).is_empty());
    }
}

fn fine(text: &str) -> Vec<String> {
    let told = match input::read("keys.toml", text, &NoFiles) {
        Ok((_, _, told)) | Err(told) => told,
    };
    told.iter().map(|told| format!("{}: {} {:?}", told.code, told.message, told.hints)).collect()
}

/// What the page shows can be copied: all examples together are one roof file without a mistake.
#[test]
fn examples_of_the_roof_file_read_without_a_word() {
    let north = "[[face]]\nname = \"north\"\npoints = [\"E3\", \"E4\", \"R1\", \"R2\"]\n";
    let example = |name: &str| roof_file().with_inner().into_iter().find(|table| table.name == name).unwrap().example;
    let mut text = String::new();
    for table in roof_file().with_inner() {
        let stands_alone = table.header.starts_with('[') || table.name == "roof";
        if stands_alone {
            text.push_str(table.example);
            text.push_str("\n\n");
        }
        if table.name == "face" {
            text.push_str(north);
        }
    }
    assert_eq!(fine(&text), Vec::<String>::new(), "{text}");
    // Those that stand within a block.
    let within = |text: String| assert_eq!(fine(&text), Vec::<String>::new(), "{text}");
    let block = format!("units = \"m\"\n{}", example("block"));
    let first = "{ from = \"A\", length = 9.20, turn = \"L\", pitch = 35 }";
    within(block.replace(first, example("side")));
    within(block.replace(first, &first.replace("35", &format!("35, breaks = [{}]", example("break")))));
    within(format!("{block}\nholes = [{}]\n", example("hole")));
    within(block.replace("height", &format!("measured_at = \"wall\"\n{}\nheight", example("overhang"))));
    within(block.replace("pitch = 35", "pitch = \"?\"").replace("height", &format!("{}\nheight", example("rafter"))));
}

#[test]
fn examples_of_the_card_read_without_a_word() {
    for kind in ["strip", "unit", "sheet", "felt"] {
        let mut text = String::new();
        for table in material_card().with_inner() {
            let other = ["strip", "unit", "sheet", "felt"].contains(&table.name) && table.name != kind;
            // Laps stand below the table they are of.
            if !other && table.name != "lap" {
                text.push_str(table.example);
                text.push_str("\n\n");
            }
        }
        text.push_str("[[underlay.lap]]\npitch_from = 20\nlap = \"100 mm\"\nsource = \"common practice\"\n");
        let (card, told) = card::read("mine.toml", &text);
        assert!(card.is_some() && told.iter().all(|told| told.severity != Severity::Error), "{told:#?}\n{text}");
    }
}

fn sources(folder: &Path, found: &mut Vec<(String, String)>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            let name = path.strip_prefix(root()).unwrap().to_string_lossy().replace('\\', "/");
            found.push((name, fs::read_to_string(&path).unwrap()));
        }
    }
}

/// Keys that say what a side is and where it runs: a table of their own shows them in the window. The whole walk of an
/// outline, and what stands at the first level, is named where it is shown.
const SHOWN: &[&str] = &[
    "compare",
    "framing",
    "repair",
    "units",
    "as_laid",
    "hours",
    "note",
    "offer",
    "abutment",
    "at",
    "block",
    "breaks",
    "camera",
    "covering",
    "dormer",
    "eave",
    "face",
    "from",
    "height",
    "hip_from",
    "holes",
    "kind",
    "length",
    "name",
    "near",
    "old_roof",
    "opening",
    "pitch",
    "points",
    "prices",
    "side",
    "sides",
    "site",
    "turn",
    "verge",
    "verge_from",
];
/// Keys that the reader meets more than once: by their role, by what else must stand beside them.
const READ_AGAIN: &[&str] = &[
    "along",
    "first_course",
    "last_course",
    "access",
    "disposal",
    "margin",
    "markup",
    "above_plate",
    "at_side",
    "edge_of",
    "faces",
    "felt",
    "focal",
    "gauge",
    "heading",
    "offset",
    "overhang",
    "pitch_band",
    "pitch_by",
    "pitch_reading",
    "pitch_sigma",
    "plan",
    "point",
    "projection",
    "rafter",
    "ridge_height",
    "rise",
    "side_lap",
    "runs_into",
    "gutters",
    "stays",
    "size",
    "start",
    "strip-shingle",
    "file",
    "pitch_from",
    "lap",
    "source",
    "method",
    "turn_sigma",
    "width",
    "north",
    "scale",
    "scale_sigma",
];

/// A new key is one entry of the schema and the line that uses its value: forms, renaming and `new` name none.
#[test]
fn a_key_is_named_in_the_schema_and_where_it_is_used() {
    let mut files = Vec::new();
    for folder in ["src/input", "src/viewer/editors/forms"] {
        sources(&root().join(folder), &mut files);
    }
    for file in ["src/viewer/editors/rename.rs", "src/viewer/editors/rows.rs"] {
        files.push((file.to_owned(), fs::read_to_string(root().join(file)).unwrap()));
    }
    // Models, maps and tables that are taken over have keys of their own formats.
    let apart = ["src/input/schema/", "src/input/edit/", "src/input/import/", "src/input/outlines/"];
    files.retain(|(name, _)| !apart.iter().any(|folder| name.starts_with(folder)));
    let keys: BTreeMap<&str, usize> = every_key().into_iter().fold(BTreeMap::new(), |mut all, (_, key)| {
        *all.entry(key.key).or_default() += 1;
        all
    });
    let mut wrong = Vec::new();
    for (key, tables) in &keys {
        let literal = format!("\"{key}\"");
        let count = |reads: bool| -> usize {
            let files = files.iter().filter(|(name, _)| name.starts_with("src/input/") == reads);
            files.map(|(_, text)| text.split("#[cfg(test)]").next().unwrap().matches(&literal).count()).sum()
        };
        if count(false) > 0 && !SHOWN.contains(key) {
            wrong.push(format!("{key}: {} times where it is shown", count(false)));
        }
        if count(true) > *tables && !READ_AGAIN.contains(key) && !SHOWN.contains(key) {
            wrong.push(format!("{key} of {tables}: read {} times", count(true)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    // Of all keys, few are named again anywhere.
    assert!(keys.len() > 3 * (SHOWN.len() + READ_AGAIN.len()) / 2, "{} keys", keys.len());
}
