//! The house kept in order: which module may know which, how long a module may be, and that the core stays pure.
//!
//! Read from the sources themselves, so that a wall that moves is moved here and in DEVELOPERS.md on purpose.

#![allow(clippy::unwrap_used, clippy::expect_used)]

mod graph;

use graph::Graph;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Each module and the modules it may name, itself aside. Those of the core are a crate of their own, in `src/core`.
const DIRECTIONS: &[(&str, &[&str])] = &[
    ("base", &[]),
    ("survey", &["base"]),
    ("outline", &["base", "survey"]),
    ("roof", &["base", "survey", "outline"]),
    ("picture", &["base", "survey", "roof"]),
    ("framing", &["base", "survey", "outline", "roof"]),
    ("takeoff", &["base", "survey", "outline", "roof"]),
    ("job", &["base", "survey", "outline", "roof", "picture", "framing", "takeoff"]),
    ("wording", &["base", "survey", "outline", "roof", "picture", "framing", "takeoff", "job"]),
    ("drawing", &["base", "survey", "outline", "roof", "framing", "takeoff", "job", "wording"]),
    ("input", &["base", "survey", "outline", "roof", "picture", "framing", "takeoff", "job", "wording"]),
    ("write", &["base", "survey", "outline", "roof", "framing", "takeoff", "job", "wording", "drawing"]),
    ("viewer", &["base", "survey", "outline", "roof", "picture", "framing", "takeoff", "job", "wording", "drawing"]),
    (
        "cli",
        &[
            "base", "survey", "outline", "roof", "picture", "framing", "takeoff", "job", "wording", "drawing", "input",
            "write", "viewer",
        ],
    ),
];

/// Folders within a module, and the folders beside them that they may name.
const WITHIN: &[(&str, &[(&str, &[&str])])] = &[
    (
        "roof",
        &[("model", &[]), ("checks", &["model"]), ("kernel", &["model", "checks"]), ("analysis", &["model", "checks"])],
    ),
    ("drawing", &[("typeset", &[]), ("views", &["typeset"]), ("job_sheet", &["typeset", "views"])]),
    ("viewer", &[("render", &[]), ("editors", &["render", "app"]), ("app", &["render", "editors"])]),
];

/// Modules without input, output, serialisation, single precision or colour.
const CORE: &[&str] =
    &["base", "survey", "outline", "roof", "framing", "takeoff", "job", "wording", "drawing", "picture"];

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
        let apart = ["viewer/headless", "src/python", "core/tests", "core/examples"];
        if apart.iter().any(|folder| path.ends_with(folder)) {
            // Crates with their own rules: the one place that may say `unsafe`, what Python calls; tests; examples.
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

fn graph() -> Graph {
    Graph::of(&modules().into_values().flatten().collect::<Vec<_>>())
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
    let graph = graph();
    for (module, file) in graph.modules() {
        for (named, path) in graph.names(module) {
            let room = |module: &[String], depth: usize| module.get(depth).cloned().unwrap_or_default();
            let (from, to) = (room(module, 0), room(&named, 0));
            let allowed = |list: &[(&str, &[&str])], from: &str, to: &str| {
                let line = list.iter().find(|(name, _)| *name == from);
                line.is_none_or(|(_, allowed)| allowed.contains(&to))
            };
            if from != to {
                if !allowed(DIRECTIONS, &from, &to) {
                    broken.push(format!("{}: {from} names {to}: {path}", file.display()));
                }
            } else if let Some((_, within)) = WITHIN.iter().find(|(name, _)| *name == from) {
                let (from, to) = (room(module, 1), room(&named, 1));
                let is_folder = |name: &str| within.iter().any(|(folder, _)| *folder == name);
                if from != to && is_folder(&from) && is_folder(&to) && !allowed(within, &from, &to) {
                    broken.push(format!("{}: {from} names {to}: {path}", file.display()));
                }
            }
        }
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

#[test]
fn no_files_name_one_another_in_a_circle() {
    let circles = graph().circles();
    let tell = |circle: &graph::Circle| {
        format!("{} files in a circle:\n  {}\n", circle.files.len(), circle.names.join("\n  "))
    };
    let wrong: String = circles.iter().map(tell).collect();
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn paths_are_read_as_the_compiler_reads_them() {
    let files = [
        ("a/mod.rs", "pub mod b;\npub mod c;\npub use b::Thing;\n"),
        ("a/b.rs", "// crate::d\npub struct Thing;\npub fn say() -> &'static str { \"crate::d::D and // more\" }\n"),
        (
            "a/c.rs",
            "use crate::{\n    a::Thing,\n    d::{\n        self,\n        D as Other,\n    },\n};\n\
             fn f(_: Thing) -> Other { vec![d::D][0].clone() }\n\
             #[cfg(test)]\nmod tests {\n    use crate::e::E;\n}\n",
        ),
        ("d.rs", "pub use crate::a::Thing;\npub struct D;\nfn g() { super::e::E::new(); }\n"),
        ("e.rs", "pub struct E;\nfn h() { let _ = crate::d::Thing; }\n"),
    ];
    let graph = Graph::of(&files.map(|(file, text)| (PathBuf::from(file), text.to_owned())));
    let named = |module: &[&str]| {
        let module = module.iter().map(|&part| part.to_owned()).collect();
        graph.names(&module).into_keys().map(|named| named.join("::")).collect::<Vec<_>>()
    };
    assert_eq!(named(&["a"]), [""; 0]);
    assert_eq!(named(&["a", "b"]), [""; 0]);
    assert_eq!(named(&["a", "c"]), ["a::b", "d"]);
    assert_eq!(named(&["d"]), ["a::b", "e"]);
    assert_eq!(named(&["e"]), ["a::b"], "passed on by d, made in a::b");
    assert!(graph.circles().is_empty());
    let circle = [("a.rs", "use crate::b::B;"), ("b.rs", "fn f() { crate::c::g() }"), ("c.rs", "use super::a;")];
    let circles = Graph::of(&circle.map(|(file, text)| (PathBuf::from(file), text.to_owned()))).circles();
    assert_eq!(circles.len(), 1);
    assert_eq!(circles[0].files, ["a.rs", "b.rs", "c.rs"].map(PathBuf::from));
    assert_eq!(circles[0].names, ["a.rs names crate::b::B", "b.rs names crate::c::g", "c.rs names super::a"]);
}

/// A test that is too long for every change is one of `.ci/long`, so that it is run at all; what writes files anew is not.
#[test]
fn every_ignored_test_is_a_long_run() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    for folder in ["tests", "src/core/tests"] {
        all_sources(&root.join(folder), &mut files);
    }
    let long = fs::read_to_string(root.join(".ci/long")).unwrap();
    let (mut found, mut missing) = (0, Vec::new());
    for file in files {
        let text = fs::read_to_string(&file).unwrap();
        for rest in text.split("\n#[ignore = \"").skip(1) {
            let (reason, rest) = rest.split_once('"').unwrap();
            let name = rest.split_once("fn ").unwrap().1.split('(').next().unwrap();
            found += 1;
            if !reason.starts_with("writes") && !long.contains(&format!("::{name}")) {
                missing.push(format!("{}: {name}", file.display()));
            }
        }
    }
    assert!(found >= 15, "{found} ignored tests: are they read as they are written?");
    assert!(missing.is_empty(), "not run by .ci/long:\n{}", missing.join("\n"));
}

fn all_sources(folder: &Path, found: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            all_sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
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

/// Stages whose findings and errors are data: none of them writes a sentence.
const WORDLESS: &[&str] = &["base", "survey", "outline", "roof", "framing", "takeoff", "job", "input"];

/// Files of these stages that may hold sentences, and why.
const WITH_SENTENCES: &[(&str, &str)] = &[
    ("base/ids.rs", "the message of an assertion that no job can reach"),
    ("input/card.rs", "the message of an assertion that no card can reach"),
    ("input/roof_file.rs", "the message of an assertion that no file can reach"),
    ("input/reader.rs", "messages of assertions on tables of the schema"),
    ("input/values.rs", "messages of assertions on tables of the schema"),
    ("input/document.rs", "words of the parser of the format, by which its errors are told apart"),
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
        // What a key means is the schema's own to say: forms, pages and messages take it from there.
        let is_schema = path.starts_with("input/schema");
        if is_schema || WITH_SENTENCES.iter().any(|(file, _)| path == Path::new(file)) {
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
