//! What the stages after reading say about roofs they cannot answer. Every file of `tests/refused` reads cleanly and says in
//! its last lines, after the mark, what is to be said about it: line:column, code, message, hint. `TELL=1` rewrites those
//! lines; read them before you commit them.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use eavewright::base::finding::Finding as _;
use eavewright::cli::diagnostics::{at, of_fault};
use eavewright::input::{self, Beside};
use eavewright::job::{self, Options};
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

const MARK: &str = "# --- told ---\n";

fn told(name: &str, path: &Path, text: &str) -> String {
    let (job, map, _) = input::read(name, text, &Beside::of(path)).unwrap_or_else(|told| panic!("{name}: {told:?}"));
    let failure = job::solve(&job, &Options::default()).expect_err(name);
    let mut lines = String::new();
    for fault in &failure.faults {
        let diagnostic = of_fault(fault, &job, &map);
        let message = &diagnostic.message;
        assert!(!message.ends_with('.') && !message.starts_with(char::is_uppercase), "{message}");
        assert!(message.contains("expected"), "{message}");
        assert!(diagnostic.span.as_ref().is_some_and(|span| !span.is_empty()), "{fault} has no place");
        let place = at(name, text, diagnostic.span.as_ref());
        let place = place.strip_prefix(&format!("{name}:")).unwrap();
        writeln!(lines, "# error {place} {}: {}", fault.code(), message).unwrap();
        writeln!(lines, "#   hint: {}", diagnostic.hints[0]).unwrap();
    }
    lines
}

#[test]
fn every_refusal_is_what_its_file_says() {
    let bless = std::env::var_os("TELL").is_some();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/refused");
    let mut files: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    assert!(!files.is_empty(), "nothing to test");
    let mut wrong = String::new();
    for path in files {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let text = fs::read_to_string(&path).unwrap();
        let (body, expected) = text.split_once(MARK).unwrap_or((&text, ""));
        let told = told(&name, &path, &text);
        if bless {
            fs::write(&path, format!("{body}{MARK}{told}")).unwrap();
        }
        if expected != told {
            write!(wrong, "{name}\n  expected\n{expected}  told\n{told}").unwrap();
        }
    }
    assert!(wrong.is_empty() || bless, "{wrong}");
}
