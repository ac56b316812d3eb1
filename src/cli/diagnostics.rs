//! Diagnostics for a person, with a caret under what is meant, and as JSON lines for a script.

use crate::base::diagnostic::{Diagnostic, Lines, Severity, line_and_column};
use crate::base::finding::Finding;
use crate::input::SourceMap;
use crate::job::{Failure, Fault, Job};
use crate::survey;
use crate::wording;
use crate::wording::units::Format;
use crate::write::note_json::by_name;
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use serde_json::{Value, json};
use std::io::IsTerminal;
use std::ops::Range;

/// How diagnostics are printed for a person.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// Text alone.
    Plain,
    /// With colour beside the words; never instead of them.
    Coloured,
}

impl Style {
    /// For standard error as it is: colour on a terminal only, and not where `NO_COLOR` is set or the terminal is dumb.
    #[must_use]
    pub(crate) fn of_stderr() -> Self {
        let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty())
            || std::env::var_os("TERM").is_some_and(|value| value == "dumb");
        if std::io::stderr().is_terminal() && !refused { Self::Coloured } else { Self::Plain }
    }
}

/// Most diagnostics shown to a person at once; JSON lists all.
const MOST_SHOWN: usize = 50;

/// Renders diagnostics one after the other: what is wrong, `NAME:LINE:COLUMN`, the line with a caret, what was found,
/// what was expected, what to do. Ends with a blank line after each. After 50 it says how many more there are.
#[must_use]
pub fn render(name: &str, text: &str, diagnostics: &[Diagnostic], style: Style) -> String {
    let renderer = match style {
        Style::Plain => Renderer::plain(),
        Style::Coloured => Renderer::styled(),
    };
    let renderer = renderer.decor_style(DecorStyle::Ascii);
    let mut out = String::new();
    for diagnostic in diagnostics.iter().take(MOST_SHOWN) {
        let (name, text) = file_of(name, text, diagnostic);
        out.push_str(&renderer.render(&[group(name, text, diagnostic)]));
        out.push_str("\n\n");
    }
    if diagnostics.len() > MOST_SHOWN {
        out.push_str(&format!(
            "and {} more; mend these first, or list all with --json\n\n",
            diagnostics.len() - MOST_SHOWN
        ));
    }
    out
}

/// One JSON object a line: `severity`, `code`, `at` (`NAME:LINE:COLUMN`), `message`, and where there are any `found`,
/// `expected`, `hints`, `labels`. Ends with a line break.
#[must_use]
pub fn render_json(name: &str, text: &str, diagnostics: &[Diagnostic]) -> String {
    let mut out = String::new();
    let own = Lines::of(text);
    for diagnostic in diagnostics {
        let other = diagnostic.file.as_ref().map(|file| (&file.name, Lines::of(&file.text)));
        let (name, lines) = other.as_ref().map_or((name, &own), |(name, lines)| (name.as_str(), lines));
        let place = |span: Option<&Range<usize>>| {
            let (line, column) = lines.at(span.map_or(0, |span| span.start));
            format!("{name}:{line}:{column}")
        };
        let mut line = json!({
            "severity": severity_word(diagnostic.severity),
            "code": diagnostic.code,
            "at": place(diagnostic.span.as_ref()),
            "message": diagnostic.message,
        });
        if let Value::Object(fields) = &mut line {
            if let Some(found) = &diagnostic.found {
                fields.insert("found".to_owned(), json!(found));
            }
            if let Some(expected) = &diagnostic.expected {
                fields.insert("expected".to_owned(), json!(expected));
            }
            if !diagnostic.hints.is_empty() {
                fields.insert("hints".to_owned(), json!(diagnostic.hints));
            }
            if !diagnostic.values.is_empty() {
                fields.insert("values".to_owned(), json!(by_name(&diagnostic.values)));
            }
            if !diagnostic.labels.is_empty() {
                let label = |label: &crate::base::diagnostic::Label| json!({ "at": place(Some(&label.span)), "message": label.message });
                fields.insert("labels".to_owned(), diagnostic.labels.iter().map(label).collect());
            }
        }
        out.push_str(&line.to_string());
        out.push('\n');
    }
    out
}

/// How many errors and warnings, in words: "2 errors, 1 warning". Empty when there are neither.
#[must_use]
pub fn tally(diagnostics: &[Diagnostic]) -> String {
    let count = |severity| diagnostics.iter().filter(|diagnostic| diagnostic.severity == severity).count();
    let words = |count: usize, word: &str| match count {
        0 => None,
        1 => Some(format!("1 {word}")),
        _ => Some(format!("{count} {word}s")),
    };
    let parts = [words(count(Severity::Error), "error"), words(count(Severity::Warning), "warning")];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// A failure: every fault, then what the measurements had to say that casts doubt, which may be to blame.
#[must_use]
pub(crate) fn of_failure(failure: &Failure, job: &Job, map: &SourceMap) -> Vec<Diagnostic> {
    let faults = failure.faults.iter().map(|fault| of_fault(fault, job, map));
    faults.chain(failure.findings.iter().map(|finding| of_doubt(finding, job, map))).collect()
}

/// A finding of the adjustment where there is no answer to stand in.
fn of_doubt(finding: &survey::Finding, job: &Job, map: &SourceMap) -> Diagnostic {
    let places = finding.places(&job.survey);
    let mut spans = places.iter().filter_map(|place| map.span(place));
    let message = wording::survey::finding(&wording::survey::Names::of(job), finding, Format::of(job.units));
    let mut diagnostic = Diagnostic::warning(finding.code(), spans.next().unwrap_or(0..0), message);
    for span in spans {
        diagnostic = diagnostic.label(span, "and this");
    }
    diagnostic.values = finding.values();
    diagnostic
}

/// A stage's fault, at the places the file gives them: the first is where to look, the others are labelled.
#[must_use]
pub fn of_fault(fault: &Fault, job: &Job, map: &SourceMap) -> Diagnostic {
    let mut spans = fault.places.iter().filter_map(|place| map.span(place));
    let message = wording::fault::message(fault, job);
    let mut diagnostic = Diagnostic::error(fault.code(), spans.next().unwrap_or(0..0), message);
    for span in spans {
        diagnostic = diagnostic.label(span, "and this");
    }
    diagnostic.values = fault.values();
    diagnostic.hint(wording::fault::hint(fault))
}

/// `NAME:LINE:COLUMN`; the start of the file where no place is known.
#[must_use]
pub fn at(name: &str, text: &str, span: Option<&Range<usize>>) -> String {
    let (line, column) = line_and_column(text, span.map_or(0, |span| span.start));
    format!("{name}:{line}:{column}")
}

fn file_of<'a>(name: &'a str, text: &'a str, diagnostic: &'a Diagnostic) -> (&'a str, &'a str) {
    match &diagnostic.file {
        Some(file) => (&file.name, &file.text),
        None => (name, text),
    }
}

fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Note => "note",
    }
}

fn group<'a>(name: &'a str, text: &'a str, diagnostic: &'a Diagnostic) -> Group<'a> {
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    let title = level.primary_title(plain(&diagnostic.message)).id(diagnostic.code);
    let (line, column) = line_and_column(text, diagnostic.span.as_ref().map_or(0, |span| span.start));
    let mut group = Group::with_title(title);
    match &diagnostic.span {
        Some(span) if !line_at(text, span.start).trim().is_empty() => {
            let primary = AnnotationKind::Primary.span(whole_characters(text, span));
            let labels = diagnostic.labels.iter().map(|label| {
                AnnotationKind::Context.span(whole_characters(text, &label.span)).label(plain(&label.message))
            });
            group = group.element(Snippet::source(text).path(name).annotation(primary).annotations(labels));
        }
        _ => group = group.element(Origin::path(name).line(line).char_column(column)),
    }
    if let Some(found) = &diagnostic.found {
        group = group.element(Level::NOTE.with_name("found").message(plain(found)));
    }
    if let Some(expected) = &diagnostic.expected {
        group = group.element(Level::NOTE.with_name("expected").message(plain(expected)));
    }
    for hint in &diagnostic.hints {
        group = group.element(Level::HELP.with_name("hint").message(plain(hint)));
    }
    group
}

/// Control characters, which could drive a terminal, as spaces.
fn plain(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// The line that holds a byte.
fn line_at(text: &str, byte: usize) -> &str {
    let at = floor(text, byte);
    let start = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
    let end = text[at..].find('\n').map_or(text.len(), |length| at + length);
    &text[start..end]
}

/// The start of the character that holds a byte.
fn floor(text: &str, byte: usize) -> usize {
    let mut at = byte.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// A span within the text that cuts no character, on one line: a caret under a whole table helps nobody.
fn whole_characters(text: &str, span: &Range<usize>) -> Range<usize> {
    let start = floor(text, span.start);
    let line_end = text[start..].find(['\r', '\n']).map_or(text.len(), |length| start + length);
    let end = floor(text, span.end.max(start)).min(line_end.max(start));
    start..end
}

/// Diagnostics of a file as the reader wants them: with a style for a person, without as JSON lines.
#[must_use]
pub(crate) fn of_file([name, text]: [&str; 2], diagnostics: &[Diagnostic], style: Option<Style>) -> String {
    match style {
        Some(style) => render(name, text, diagnostics, style),
        None => render_json(name, text, diagnostics),
    }
}
