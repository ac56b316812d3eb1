//! The house kept in order: which module may know which, how long a module may be, and that the core stays pure.
//!
//! Read from the sources themselves, so that a wall that moves is moved here and in DEVELOPERS.md on purpose.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Each module and the modules it may name, itself aside. Those of the core are a crate of their own, in `src/core`.
const DIRECTIONS: &[(&str, &[&str])] = &[
    ("base", &[]),
    ("survey", &["base"]),
    ("outline", &["base", "survey"]),
    ("roof", &["base", "survey", "outline"]),
    ("framing", &["base", "survey", "outline", "roof"]),
    ("takeoff", &["base", "survey", "outline", "roof"]),
    ("job", &["base", "survey", "outline", "roof", "framing", "takeoff"]),
    ("wording", &["base", "survey", "outline", "roof", "framing", "takeoff", "job"]),
    ("drawing", &["base", "survey", "outline", "roof", "framing", "takeoff", "job", "wording"]),
    ("input", &["base", "survey", "outline", "roof", "framing", "takeoff", "job", "wording"]),
    ("write", &["base", "survey", "outline", "roof", "framing", "takeoff", "job", "wording", "drawing"]),
    ("viewer", &["base", "survey", "outline", "roof", "framing", "takeoff", "job", "wording", "drawing"]),
    (
        "cli",
        &[
            "base", "survey", "outline", "roof", "framing", "takeoff", "job", "wording", "drawing", "input", "write",
            "viewer",
        ],
    ),
];

/// Folders within a module, and the folders beside them that they may name. Files of the module itself stand over them.
const WITHIN: &[(&str, &[(&str, &[&str])])] = &[(
    "roof",
    &[("model", &[]), ("checks", &["model"]), ("kernel", &["model", "checks"]), ("analysis", &["model", "checks"])],
)];

/// Modules without input, output, serialisation, single precision or colour.
const CORE: &[&str] = &["base", "survey", "outline", "roof", "framing", "takeoff", "job", "wording", "drawing"];

/// What the core may not contain, outside comments.
const IMPURE: &[&str] = &[
    "std::fs",
    "std::io",
    "std::net",
    "std::env",
    "println!",
    "eprintln!",
    "print!(",
    "dbg!(",
    "serde",
    "clap",
    "f32",
    "rgb",
];

const MOST_LINES: usize = 500;

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    entries.sort();
    for path in entries {
        if path.ends_with("viewer/headless") || path.ends_with("core/tests") {
            // A crate with its own rules, the one place that may say `unsafe`; and tests.
        } else if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
}

fn modules() -> BTreeMap<String, Vec<(PathBuf, String)>> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&src, &mut files);
    let mut by_module: BTreeMap<String, Vec<(PathBuf, String)>> = BTreeMap::new();
    for path in files {
        let inner = path.strip_prefix(&src).unwrap();
        let inner = inner.strip_prefix("core").unwrap_or(inner).to_path_buf();
        let mut parts = inner.components();
        let first = parts.next().unwrap().as_os_str().to_string_lossy().into_owned();
        if parts.next().is_some() {
            let text = fs::read_to_string(&path).unwrap();
            by_module.entry(first).or_default().push((inner, text));
        }
    }
    by_module
}

/// A line without its comment. Good enough for this purpose: no string of ours holds two slashes and a module's name.
fn code_of(line: &str) -> &str {
    let line = line.split_once("//").map_or(line, |(code, _)| code);
    line.trim()
}

/// The names that follow `crate::` in a line, those in braces too.
fn crate_names(line: &str) -> Vec<String> {
    let mut names = Vec::new();
    for (at, _) in line.match_indices("crate::") {
        let rest = &line[at + "crate::".len()..];
        let word = |text: &str| text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
        if let Some(group) = rest.strip_prefix('{') {
            let mut depth = 0;
            let mut start = true;
            for (place, letter) in group.char_indices() {
                match letter {
                    '{' => depth += 1,
                    '}' if depth == 0 => break,
                    '}' => depth -= 1,
                    ',' if depth == 0 => start = true,
                    letter if start && !letter.is_whitespace() => {
                        names.push(word(&group[place..]));
                        start = false;
                    }
                    _ => {}
                }
            }
        } else {
            names.push(word(rest));
        }
    }
    names
}

#[test]
fn every_module_has_its_directions() {
    let known: Vec<&str> = DIRECTIONS.iter().map(|(name, _)| *name).collect();
    for module in modules().keys() {
        assert!(known.contains(&module.as_str()), "src/{module} has no line in DIRECTIONS");
    }
}

#[test]
fn modules_name_only_earlier_ones() {
    let mut broken = Vec::new();
    let modules = modules();
    for (module, allowed) in DIRECTIONS {
        for (path, text) in modules.get(*module).into_iter().flatten() {
            // Statements may span lines; a `use` is read up to its semicolon.
            let mut pending = String::new();
            for (number, line) in text.lines().enumerate() {
                let code = code_of(line);
                pending.push_str(code);
                if pending.starts_with("use ") && !pending.ends_with(';') {
                    continue;
                }
                for name in crate_names(&pending) {
                    let is_module = DIRECTIONS.iter().any(|(known, _)| *known == name);
                    if is_module && name != *module && !allowed.contains(&name.as_str()) {
                        broken.push(format!("{}:{}: {module} names {name}", path.display(), number + 1));
                    }
                }
                pending.clear();
            }
        }
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

#[test]
fn the_core_is_pure() {
    let mut broken = Vec::new();
    let modules = modules();
    for module in CORE {
        for (path, text) in modules.get(*module).into_iter().flatten() {
            for (number, line) in text.lines().enumerate() {
                let code = code_of(line);
                for word in IMPURE {
                    if code.contains(word) {
                        broken.push(format!("{}:{}: {word}", path.display(), number + 1));
                    }
                }
            }
        }
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

#[test]
fn modules_stay_small() {
    let mut long = Vec::new();
    for (path, text) in modules().into_values().flatten() {
        let lines = text.lines().count();
        if lines > MOST_LINES {
            long.push(format!("{}: {lines} lines, at most {MOST_LINES}", path.display()));
        }
    }
    assert!(long.is_empty(), "{}", long.join("\n"));
}

#[test]
fn only_one_file_knows_parrys_vectors() {
    for (path, text) in modules().into_values().flatten() {
        let names = text.lines().map(code_of).any(|code| code.contains("parry3d::math"));
        assert!(!names || path == Path::new("base/parry.rs"), "{} names parry's vector types", path.display());
    }
}

#[test]
fn braces_and_paths_are_read_right() {
    assert_eq!(crate_names("use crate::{base::ids, roof::{Roof, Face}, survey};"), ["base", "roof", "survey"]);
    assert_eq!(crate_names("let a: crate::roof::Roof = crate::job::x();"), ["roof", "job"]);
}

/// Stages whose findings and errors are data: none of them writes a sentence.
const WORDLESS: &[&str] = &["base", "survey", "outline", "roof", "framing", "takeoff", "job"];

/// Files of these stages that may hold sentences, and why.
const WITH_SENTENCES: &[(&str, &str)] = &[
    ("base/quantity/error.rs", "tells of a text that a person typed, before there is a job it is about"),
    ("base/ids.rs", "the message of an assertion that no job can reach"),
];

/// The string literals of a source, tests and comments left out, with their lines.
fn literals(text: &str) -> Vec<(usize, String)> {
    let text = text.split("#[cfg(test)]").next().unwrap();
    let letters: Vec<char> = text.chars().collect();
    let (mut found, mut at, mut line) = (Vec::new(), 0, 1);
    while at < letters.len() {
        match letters[at] {
            '\n' => line += 1,
            '/' if letters.get(at + 1) == Some(&'/') => {
                while letters.get(at + 1).is_some_and(|letter| *letter != '\n') {
                    at += 1;
                }
            }
            '\'' => {
                // A character, such as a quote; a lifetime has no second mark so near.
                let end = if letters.get(at + 1) == Some(&'\\') { at + 3 } else { at + 2 };
                if letters.get(end) == Some(&'\'') {
                    at = end;
                }
            }
            '"' => {
                let (start, first) = (at + 1, line);
                at += 1;
                while letters[at] != '"' {
                    line += usize::from(letters[at] == '\n');
                    at += 1 + usize::from(letters[at] == '\\');
                }
                found.push((first, letters[start..at].iter().collect()));
            }
            _ => {}
        }
        at += 1;
    }
    found
}

/// Whether a literal is words for people: three of them between spaces, what is filled in left out.
fn is_sentence(literal: &str) -> bool {
    let words = literal.split_whitespace().filter(|word| {
        let bare = word.trim_matches(|letter: char| !letter.is_alphanumeric());
        bare.len() > 1
            && !word.contains(['{', '}'])
            && bare.chars().all(|letter| letter.is_alphabetic() || letter == '\'')
    });
    words.count() >= 3
}

#[test]
fn stages_write_no_sentences() {
    let mut broken = Vec::new();
    let modules = modules();
    for (path, text) in WORDLESS.iter().flat_map(|module| modules.get(*module).into_iter().flatten()) {
        if WITH_SENTENCES.iter().any(|(file, _)| path == Path::new(file)) {
            continue;
        }
        let told = literals(text).into_iter().filter(|(_, literal)| is_sentence(literal));
        broken.extend(told.map(|(line, literal)| format!("{}:{line}: {literal:?}", path.display())));
    }
    assert!(broken.is_empty(), "words belong to wording:\n{}", broken.join("\n"));
}

#[test]
fn sentences_are_told_from_codes_and_comments() {
    let source = "// \"not this one here\"\nlet a = ('\"', \"face-not-located\", \"the face {} lies low\");";
    let found = literals(source);
    let texts: Vec<(usize, bool)> = found.iter().map(|(line, text)| (*line, is_sentence(text))).collect();
    assert_eq!(texts, [(2, false), (2, true)]);
}
