//! Text to a tree that knows where everything stands. Goes on after mistakes, so that the rest is checked too.

use crate::base::diagnostic::line_and_column;
use crate::job::reading::{AfterValue, Beside, Fault, Problem};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A value of the tree.
pub(super) type Value<'d> = Spanned<DeValue<'d>>;

/// A parsed file.
pub(super) struct Document<'d> {
    /// What could be read.
    pub tree: DeTable<'d>,
    /// What is not TOML.
    pub errors: Vec<Problem>,
    /// Places that a bracket which is not closed has swallowed: what stands there can't be judged.
    pub torn: Vec<Range<usize>>,
}

const UNQUOTED: &str = "string values must be quoted";

/// Reads a text as TOML.
pub(super) fn parse(text: &str) -> Document<'_> {
    let (tree, failures) = DeTable::parse_recoverable(text);
    let tree = tree.into_inner();
    let mut failures: Vec<(Range<usize>, String)> = failures
        .into_iter()
        .map(|failure| (clamp(text, failure.span().unwrap_or(0..0)), failure.message().to_owned()))
        .collect();
    failures.sort_by_key(|(span, _)| span.start);
    let mut errors = Vec::new();
    let mut torn: Vec<Range<usize>> = Vec::new();
    for (span, _) in failures.iter().filter(|(_, message)| is_unclosed(message)) {
        let Some(value) = outermost_value(&tree, span.start) else { continue };
        if torn.iter().any(|torn| torn.end == value.end) {
            continue;
        }
        let within = |(span, _): &&(Range<usize>, String)| value.start <= span.start && span.start <= value.end;
        let from = failures.iter().find(within).map_or(value.start, |(span, _)| span.start);
        errors.push(unclosed(text, &value, from));
        torn.push(from..value.end);
    }
    let mut last: Option<(usize, String)> = None;
    let mut doubled_table: Option<usize> = None;
    for (span, message) in failures {
        if torn.iter().any(|torn| torn.start <= span.start && span.start <= torn.end) {
            continue;
        }
        if message.starts_with("duplicate key") {
            // The keys of a table that is given twice are no second mistake.
            let of_doubled = doubled_table.is_some_and(|table| !text[table..span.start].contains("\n["));
            if !of_doubled {
                let error = duplicate(text, &tree, span.clone());
                if is_header(text, &span) {
                    doubled_table = Some(span.end);
                }
                errors.push(error);
            }
            continue;
        }
        // One slip makes several errors on its line: the first is told. Missing quotes are read over well.
        let line = line_of(text, span.start);
        let echo = last.as_ref().is_some_and(|(last_line, last_message)| {
            *last_line == line && !(last_message.starts_with(UNQUOTED) && message.starts_with(UNQUOTED))
        });
        if !echo {
            errors.push(syntax(text, span, &message));
            last = Some((line, message));
        }
    }
    Document { tree, errors, torn }
}

fn is_unclosed(message: &str) -> bool {
    message.starts_with("unclosed array, ") || message.starts_with("unclosed inline table")
}

fn unclosed(text: &str, value: &Range<usize>, from: usize) -> Problem {
    let open = value.start..(value.start + 1).min(text.len());
    let is_table = text[open.clone()].starts_with('{');
    let line_end = text[from..].find('\n').map_or(text.len(), |length| from + length);
    Problem::error(open.clone(), Fault::Unclosed { is_table })
        .written(&text[open])
        .beside(from..line_end, Beside::NoLongerFits)
}

fn is_header(text: &str, key: &Range<usize>) -> bool {
    text[..key.start].trim_end().ends_with('[')
}

fn clamp(text: &str, span: Range<usize>) -> Range<usize> {
    let end = span.end.min(text.len());
    span.start.min(end)..end
}

fn line_of(text: &str, at: usize) -> usize {
    line_and_column(text, at).0
}

/// The span of the value, at the top of the file or of a table with a header, that holds a byte.
fn outermost_value(tree: &DeTable<'_>, at: usize) -> Option<Range<usize>> {
    let mut found: Option<Range<usize>> = None;
    walk(tree, &mut |_, span, value| {
        let holds = matches!(value, DeValue::Array(_) | DeValue::Table(_)) && span.start <= at && at <= span.end;
        let wider = found.as_ref().is_none_or(|found| span.len() > found.len());
        if holds && wider {
            found = Some(span);
        }
    });
    found
}

/// Visits every key with its value, tables and lists within too.
fn walk<'d>(table: &DeTable<'d>, visit: &mut impl FnMut(&Spanned<toml::de::DeString<'d>>, Range<usize>, &DeValue<'d>)) {
    for (key, value) in table {
        visit(key, value.span(), value.get_ref());
        walk_value(value.get_ref(), visit);
    }
}

fn walk_value<'d>(
    value: &DeValue<'d>,
    visit: &mut impl FnMut(&Spanned<toml::de::DeString<'d>>, Range<usize>, &DeValue<'d>),
) {
    match value {
        DeValue::Table(table) => walk(table, visit),
        DeValue::Array(items) => items.iter().for_each(|item| walk_value(item.get_ref(), visit)),
        _ => {}
    }
}

fn duplicate(text: &str, tree: &DeTable<'_>, span: Range<usize>) -> Problem {
    let key = &text[span.clone()];
    let mut first: Option<Range<usize>> = None;
    walk(tree, &mut |candidate, _, _| {
        let at = candidate.span();
        let same = text.get(at.clone()) == Some(key) && at.start < span.start;
        if same && first.as_ref().is_none_or(|first| at.start > first.start) {
            first = Some(at);
        }
    });
    let is_header = is_header(text, &span);
    let key_of = || key.to_owned();
    let fault = if is_header { Fault::DuplicateTable { key: key_of() } } else { Fault::DuplicateKey { key: key_of() } };
    let error = Problem::error(span, fault).written(key);
    match first {
        Some(first) => error.beside(first, Beside::FirstGiven),
        None => error,
    }
}

fn syntax(text: &str, span: Range<usize>, message: &str) -> Problem {
    let (what, expected) = match message.split_once(", expected ") {
        Some((what, expected)) => (what, Some(expected)),
        None => (message, None),
    };
    let line_start = text[..span.start].rfind('\n').map_or(0, |newline| newline + 1);
    let line_end = text[span.start..].find('\n').map_or(text.len(), |length| span.start + length);
    let line = text[line_start..line_end].trim();
    let rest = text[span.start..line_end].trim();
    let found = if span.is_empty() { rest } else { text[span.clone()].trim() };
    let found = found.lines().next().unwrap_or("").trim();
    let before_digit = text[..span.start].ends_with(|c: char| c.is_ascii_digit());
    let fault = if message.starts_with(UNQUOTED) {
        Fault::NoQuotes
    } else if before_digit && rest.starts_with(',') && rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
        Fault::DecimalComma
    } else if what == "unexpected key or value" {
        let is_feet = line.contains('\'') || line.matches('"').count() > 2;
        Fault::AfterValue(match (is_feet, rest.starts_with(',')) {
            (true, _) => AfterValue::FeetAndInches,
            (false, true) => AfterValue::Comma,
            (false, false) => AfterValue::Other,
        })
    } else if what.starts_with("invalid") && what.ends_with("string") && rest.is_empty() {
        Fault::NoClosingQuote(expected.map(str::to_owned))
    } else if what == "invalid mantissa" && rest.starts_with('.') {
        Fault::LeadingPoint(rest.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect())
    } else {
        let is_feet = what.contains("quote") && line.contains('\'');
        Fault::NotToml { said: what.to_owned(), expected: expected.map(str::to_owned), is_feet }
    };
    Problem::error(span, fault).written(found)
}
