//! What the reader says about files with mistakes. Every file of `tests/diagnostics` says in its last lines, after the
//! mark, what is to be said about it: severity, line:column, code, message. `TELL=1` rewrites those lines; read them
//! before you commit them.

use eavewright::base::diagnostic::{Diagnostic, Severity};
use eavewright::cli::diagnostics::{self, Style};
use eavewright::cli::new::{template, templates};
use eavewright::input::schema::roof_file;
use eavewright::input::{self, Beside};
use proptest::prelude::*;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

const MARK: &str = "# --- told ---\n";

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn roof_files(name: &str) -> Vec<(String, PathBuf, String)> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder(name))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .collect();
    files.sort();
    let named = |path: PathBuf| {
        let text = fs::read_to_string(&path).unwrap();
        (path.file_name().unwrap().to_string_lossy().into_owned(), path, text)
    };
    files.into_iter().map(named).collect()
}

/// Files with several mistakes to a subject, and in `keys` one mistake in each key of each table.
fn mistaken() -> Vec<(String, PathBuf, String)> {
    [roof_files("tests/diagnostics"), roof_files("tests/diagnostics/keys")].concat()
}

fn tell(name: &str, path: &Path, text: &str) -> Vec<Diagnostic> {
    match input::read(name, text, &Beside::of(path)) {
        Ok((_, _, diagnostics)) => {
            assert!(diagnostics.iter().all(|diagnostic| diagnostic.severity != Severity::Error), "{name}");
            diagnostics
        }
        Err(diagnostics) => {
            assert!(diagnostics.iter().any(|diagnostic| diagnostic.severity == Severity::Error), "{name}");
            diagnostics
        }
    }
}

fn told_lines(name: &str, text: &str, diagnostics: &[Diagnostic]) -> String {
    let mut lines = String::new();
    for line in diagnostics::render_json(name, text, diagnostics).lines() {
        let line: serde_json::Value = serde_json::from_str(line).unwrap();
        let word = |key: &str| line[key].as_str().unwrap().to_owned();
        let at = word("at");
        let at = at.strip_prefix(&format!("{name}:")).unwrap_or(&at);
        writeln!(lines, "# {} {at} {}: {}", word("severity"), word("code"), word("message")).unwrap();
    }
    lines
}

/// The whole file is read with its expectations in it, so that places are those an editor shows.
#[test]
fn every_file_is_told_what_it_says() {
    let bless = std::env::var_os("TELL").is_some();
    let mut wrong = String::new();
    for (name, path, text) in mistaken() {
        let body = text.split(MARK).next().unwrap();
        let told = told_lines(&name, &text, &tell(&name, &path, &text));
        if bless {
            fs::write(&path, format!("{body}{MARK}{told}")).unwrap();
        }
        let expected = text.split_once(MARK).map_or("", |(_, expected)| expected);
        if expected != told {
            write!(wrong, "{name}\n  expected\n{expected}  told\n{told}").unwrap();
        }
    }
    assert!(wrong.is_empty() || bless, "{wrong}");
}

/// Every code is told by some file, and every code the sources name is listed.
#[test]
fn every_code_is_covered() {
    let mut told = BTreeSet::new();
    for (name, path, text) in roof_files("tests/diagnostics") {
        told.extend(tell(&name, &path, &text).into_iter().map(|diagnostic| diagnostic.code));
    }
    let listed: BTreeSet<&str> = eavewright::wording::reading::codes::CODES.iter().map(|code| code.code).collect();
    let missing: Vec<&&str> = listed.difference(&told).collect();
    assert!(missing.is_empty(), "no file of tests/diagnostics is told {missing:?}");
    for entry in fs::read_dir(folder("src/input")).unwrap() {
        let path = entry.unwrap().path();
        let Ok(source) = fs::read_to_string(&path) else { continue };
        for kind in ["error(", "warning(", "note("] {
            for (at, _) in source.match_indices(&format!("Diagnostic::{kind}")) {
                let rest = source[at..].split_once('(').unwrap().1.trim_start();
                let Some(code) = rest.strip_prefix('"').and_then(|rest| rest.split('"').next()) else { continue };
                assert!(listed.contains(code), "{}: code {code:?} is not listed", path.display());
            }
        }
    }
}

/// Place, found value, expected value and a hint, for every error: what the contract asks for.
#[test]
fn every_error_is_complete() {
    for (name, path, text) in mistaken() {
        let diagnostics = tell(&name, &path, &text);
        for diagnostic in &diagnostics {
            let told = diagnostics::render(&name, &text, std::slice::from_ref(diagnostic), Style::Plain);
            assert!(diagnostic.span.is_some(), "{told}");
            assert!(!diagnostic.hints.is_empty(), "{told}");
            let message = &diagnostic.message;
            assert!(!message.ends_with('.') && !message.starts_with(char::is_uppercase), "{told}");
            if diagnostic.severity == Severity::Error {
                assert!(diagnostic.found.as_ref().is_some_and(|found| !found.is_empty()), "{told}");
                assert!(diagnostic.expected.is_some(), "{told}");
            }
            let place = diagnostics::at(
                diagnostic.file.as_ref().map_or(&name, |file| &file.name),
                diagnostic.file.as_ref().map_or(&text, |file| &file.text),
                diagnostic.span.as_ref(),
            );
            assert!(told.contains(&place), "{place} is not in\n{told}");
            assert!(!told.contains('\u{1b}'), "{told}");
        }
        let coloured = diagnostics::render(&name, &text, &diagnostics, Style::Coloured);
        assert!(diagnostics.is_empty() || coloured.contains('\u{1b}'));
    }
}

/// What a person sees, once in full.
#[test]
fn six_mistakes_in_one_go() {
    let (name, path, text) =
        roof_files("tests/diagnostics").into_iter().find(|(name, _, _)| name == "six_mistakes.toml").unwrap();
    let told = diagnostics::render(&name, &text, &tell(&name, &path, &text), Style::Plain);
    let shown = folder("tests/diagnostics/six_mistakes.txt");
    if std::env::var_os("TELL").is_some() {
        fs::write(&shown, &told).unwrap();
    }
    assert_eq!(told, fs::read_to_string(shown).unwrap());
    assert_eq!(told.matches("error[").count(), 6);
    assert_eq!(diagnostics::tally(&tell(&name, &path, &text)), "6 errors");
}

/// A number that no building has is told with the unit, or the sign, that makes it one.
#[test]
fn another_unit_is_named_where_it_makes_sense() {
    let hinted = |wanted: &str| -> Vec<String> {
        let (name, path, text) =
            roof_files("tests/diagnostics").into_iter().find(|(name, _, _)| name == wanted).unwrap();
        tell(&name, &path, &text).into_iter().flat_map(|diagnostic| diagnostic.hints).collect()
    };
    let meant = |words: &[&str]| words.iter().map(|word| format!("did you mean {word:?}?")).collect::<Vec<_>>();
    assert_eq!(hinted("typed_in_mm.toml"), meant(&["2400 mm", "9200 mm", "5600 mm", "9210 mm", "5590 mm"]));
    let card = ["1000 mm", "333 mm", "143 mm", "143 mm", "45 mm", "8 mm", "5 %", "120 mm", "4 m", "20 mm", "600 mm"];
    assert_eq!(hinted("card_out_of_scale.toml"), meant(&card));
    let shares = hinted("shares.toml");
    for share in meant(&["15 %", "10 %"]) {
        assert!(shares.contains(&share), "{shares:?}");
    }
    let limits = hinted("limits.toml");
    for length in meant(&["600 mm", "350 mm", "9200 mm", "56000 mm", "1200 mm", "1600 mm", "107700 mm"]) {
        assert!(limits.contains(&length), "{length} of {limits:?}");
    }
}

/// What comes with the tool reads without a word.
#[test]
fn examples_and_templates_read_cleanly() {
    let mut texts: Vec<(String, String)> =
        roof_files("examples").into_iter().map(|(name, _, text)| (name, text)).collect();
    assert!(texts.len() >= 4, "{texts:?}");
    texts.extend(templates().into_iter().map(|template| (template.shape.to_owned(), template.text)));
    for (name, text) in texts {
        let read = input::read(&name, &text, &Beside::of(&folder("examples/any.toml")));
        let diagnostics = read.map_or_else(|diagnostics| diagnostics, |(_, _, diagnostics)| diagnostics);
        assert!(diagnostics.is_empty(), "{}", diagnostics::render(&name, &text, &diagnostics, Style::Plain));
    }
    // Every key of a template is explained in the schema's own words.
    for template in templates() {
        let told: String =
            template.text.lines().map(|line| line.trim_start_matches(['#', ' '])).collect::<Vec<_>>().join(" ");
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ").replace("# ", "");
        for (table, key) in
            [("block", "height"), ("side", "turn"), ("tape", "plan"), ("covering", "card"), ("face", "points")]
        {
            let table = roof_file().with_inner().into_iter().find(|known| known.name == table).unwrap();
            let is_used = template.text.contains(&format!("{key} = ")) && template.text.contains(table.header);
            let about = table.key(key).unwrap().about.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(!is_used || told.contains(&about), "{}: {key} is not explained: {told}", template.shape);
        }
    }
    assert_eq!(template("Lean-to").unwrap().shape, "leanto");
    assert!(template("dome").unwrap_err().contains("hip"));
}

/// Every card that comes with the tool reads cleanly and is called what it is asked for by.
#[test]
fn cards_read_cleanly() {
    for name in input::card::names() {
        let text = input::card::text(name).unwrap();
        let (card, diagnostics) = input::card::read(name, text);
        assert!(diagnostics.is_empty(), "{}", diagnostics::render(name, text, &diagnostics, Style::Plain));
        assert_eq!(card.unwrap().name, name);
    }
}

fn some_text() -> impl Strategy<Value = String> {
    let mut texts: Vec<String> = roof_files("examples").into_iter().map(|(_, _, text)| text).collect();
    texts.extend(roof_files("tests/diagnostics").into_iter().map(|(_, _, text)| text));
    texts.extend(input::card::names().map(|name| input::card::text(name).unwrap().to_owned()));
    prop::sample::select(texts)
}

/// Reads as a roof file and as a card, and renders; anything may come out but a panic or a place outside the text.
fn survive(text: &str) -> Result<(), TestCaseError> {
    let read = input::read("mutant.toml", text, &input::NoFiles);
    let (_, mut diagnostics) = match read {
        Ok((job, _, diagnostics)) => (Some(job), diagnostics),
        Err(diagnostics) => {
            prop_assert!(!diagnostics.is_empty(), "refused without a word");
            (None, diagnostics)
        }
    };
    diagnostics.extend(input::card::read("mutant.toml", text).1);
    for diagnostic in &diagnostics {
        let span = diagnostic.span.clone().unwrap();
        prop_assert!(span.start <= span.end && span.end <= text.len(), "{diagnostic:?}");
    }
    let _ = diagnostics::render("mutant.toml", text, &diagnostics, Style::Plain);
    let _ = diagnostics::render_json("mutant.toml", text, &diagnostics);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn cut_short(text in some_text(), cut in any::<prop::sample::Index>()) {
        let mut end = cut.index(text.len());
        while !text.is_char_boundary(end) {
            end -= 1;
        }
        survive(&text[..end])?;
    }

    #[test]
    fn bytes_changed(text in some_text(), changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12)) {
        let mut bytes = text.into_bytes();
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        survive(&String::from_utf8_lossy(&bytes))?;
    }

    #[test]
    fn pieces_moved(text in some_text(), other in some_text(), cut in any::<prop::sample::Index>(), to in any::<prop::sample::Index>()) {
        let (lines, others): (Vec<&str>, Vec<&str>) = (text.lines().collect(), other.lines().collect());
        let mixed = [&lines[..cut.index(lines.len())], &others[to.index(others.len())..]].concat().join("\n");
        survive(&mixed)?;
    }

    #[test]
    fn values_swapped(text in some_text(), line in any::<prop::sample::Index>(), value in prop::sample::select(vec![
        "nan", "inf", "-inf", "1e400", "-1", "0", "\"\"", "true", "[]", "{}", "[[]]", "\"?\"", "99999999999999999999", "0x10",
        "2026-05-01T10:00:00Z", "'x'", "[1, 2, 3, 4]", "{ near = 1 }",
    ])) {
        let lines: Vec<&str> = text.lines().collect();
        let at = line.index(lines.len());
        let key = lines[at].split('=').next().unwrap_or("");
        let changed = format!("{key}= {value}");
        let mut lines = lines;
        lines[at] = &changed;
        survive(&lines.join("\n"))?;
    }
}
