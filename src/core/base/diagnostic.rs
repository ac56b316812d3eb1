//! What the tool says about a user's file, free of any terminal: `cli` renders it.
//!
//! Messages are lower case without a full stop. They state what was found and what was expected; a hint says what to
//! do next.

use std::ops::Range;
use std::sync::Arc;

/// Whether an answer is still possible.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Nothing is answered.
    Error,
    /// An answer is given; the user should look here.
    Warning,
    /// Something done on the user's behalf, stated.
    Note,
}

/// A second place in the file that explains the first.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Byte range in the file.
    pub span: Range<usize>,
    /// What stands there, such as "first named here".
    pub message: String,
}

/// Another file than the roof file that a diagnostic is about: a material card.
#[derive(Debug, PartialEq, Eq)]
pub struct OtherFile {
    /// As the user knows it.
    pub name: String,
    /// Its text; spans count bytes of it.
    pub text: String,
}

/// One thing to tell the user about the file.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnostic {
    /// Stable, kebab-case: what scripts match on.
    pub code: &'static str,
    /// How bad.
    pub severity: Severity,
    /// Byte range in the file; `None` only where no place exists (an empty file).
    pub span: Option<Range<usize>>,
    /// What is wrong, in one line.
    pub message: String,
    /// The value found, as written.
    pub found: Option<String>,
    /// What would have been right.
    pub expected: Option<String>,
    /// Other places that explain it.
    pub labels: Vec<Label>,
    /// What to do.
    pub hints: Vec<String>,
    /// The numbers it tells, by name, in SI units and degrees, where a stage found it; a name may stand several times.
    pub values: Vec<(&'static str, f64)>,
    /// The file the spans are of, where it is not the roof file.
    pub file: Option<Arc<OtherFile>>,
}

impl Diagnostic {
    /// Whether it is about a place in the file or something in it.
    #[must_use]
    pub fn touches(&self, span: &Range<usize>) -> bool {
        self.span.as_ref().is_some_and(|at| at.start < span.end && span.start < at.end.max(at.start + 1))
    }

    /// An error at a place.
    #[must_use]
    pub fn error(code: &'static str, span: Range<usize>, message: impl Into<String>) -> Self {
        Self {
            code,
            severity: Severity::Error,
            span: Some(span),
            message: message.into(),
            found: None,
            expected: None,
            labels: Vec::new(),
            hints: Vec::new(),
            values: Vec::new(),
            file: None,
        }
    }

    /// The same, as a warning.
    #[must_use]
    pub fn warning(code: &'static str, span: Range<usize>, message: impl Into<String>) -> Self {
        Self { severity: Severity::Warning, ..Self::error(code, span, message) }
    }

    /// The same, as a note.
    #[must_use]
    pub fn note(code: &'static str, span: Range<usize>, message: impl Into<String>) -> Self {
        Self { severity: Severity::Note, ..Self::error(code, span, message) }
    }

    /// States what was found.
    #[must_use]
    pub fn found(mut self, found: impl Into<String>) -> Self {
        self.found = Some(found.into());
        self
    }

    /// States what was expected.
    #[must_use]
    pub fn expected(mut self, expected: impl Into<String>) -> Self {
        self.expected = Some(expected.into());
        self
    }

    /// Adds what to do.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Adds a second place.
    #[must_use]
    pub fn label(mut self, span: Range<usize>, message: impl Into<String>) -> Self {
        self.labels.push(Label { span, message: message.into() });
        self
    }
}

/// Line and column of a byte in a text, both from 1; columns count characters. A byte past the end is the end, one
/// within a character that character. O(bytes before it).
#[must_use]
pub fn line_and_column(text: &str, byte: usize) -> (usize, usize) {
    let mut end = byte.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let before = &text[..end];
    let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
    let line = before.matches('\n').count() + 1;
    let line_text = before[line_start..].trim_start_matches('\u{feff}');
    (line, line_text.chars().count() + 1)
}

/// Where the lines of a text begin, for many places of one text.
#[derive(Clone, Debug)]
pub struct Lines<'a> {
    text: &'a str,
    starts: Vec<usize>,
}

impl<'a> Lines<'a> {
    /// Finds them. O(bytes).
    #[must_use]
    pub fn of(text: &'a str) -> Self {
        let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(newline, _)| newline + 1)).collect();
        Self { text, starts }
    }

    /// As [`line_and_column`] of the same text. O(log lines + bytes of the line).
    #[must_use]
    pub fn at(&self, byte: usize) -> (usize, usize) {
        let line = self.starts.partition_point(|start| *start <= byte.min(self.text.len())).max(1);
        let start = self.starts[line - 1];
        (line, line_and_column(&self.text[start..], byte.saturating_sub(start)).1)
    }
}
