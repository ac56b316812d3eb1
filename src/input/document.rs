//! Text to a tree that knows where everything stands. Goes on after mistakes, so that the rest is checked too.

use crate::base::diagnostic::{Diagnostic, line_and_column};
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
    pub errors: Vec<Diagnostic>,
    /// Places that a bracket which is not closed has swallowed: what stands there can't be judged.
    pub torn: Vec<Range<usize>>,
}

const FEET_AND_INCHES: &str = r#"feet and inches: "11 ft 3.5 in", or with the inch mark escaped: "11' 3 1/2\"""#;
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

fn unclosed(text: &str, value: &Range<usize>, from: usize) -> Diagnostic {
    let open = value.start..(value.start + 1).min(text.len());
    let (what, close) = if text[open.clone()].starts_with('{') { ("table", '}') } else { ("list", ']') };
    let line_end = text[from..].find('\n').map_or(text.len(), |length| from + length);
    Diagnostic::error("syntax", open.clone(), format!("the {what} that starts here is never closed"))
        .found(&text[open])
        .expected(format!("`{close}` after its last element"))
        .hint(format!("put `{close}` in before what is marked; what comes after it could not be checked"))
        .label(from..line_end, "this no longer fits")
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

fn duplicate(text: &str, tree: &DeTable<'_>, span: Range<usize>) -> Diagnostic {
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
    let what = if is_header { format!("table [{key}]") } else { format!("key {key:?}") };
    let mut error = Diagnostic::error("duplicate-key", span, format!("{what} is given twice"))
        .found(key)
        .expected("each key once in its table");
    if is_header {
        error = error.hint(format!("put both parts under one [{key}], or write [[{key}]] where it is a list of them"));
    } else {
        error = error.hint("keep the right one and take the other out");
    }
    match first {
        Some(first) => error.label(first, "first given here"),
        None => error,
    }
}

fn syntax(text: &str, span: Range<usize>, message: &str) -> Diagnostic {
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
    let quoted = |text: &str| format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""));
    let error = if message.starts_with(UNQUOTED) {
        Diagnostic::error("syntax", span, "text without quotes")
            .expected("text in quotes, or a number without a unit")
            .hint(format!("write {}", quoted(found)))
    } else if before_digit && rest.starts_with(',') && rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
        Diagnostic::error("syntax", span, "a number with a decimal comma")
            .expected("a decimal point")
            .hint("decimals take a point: 7.20")
    } else if what == "unexpected key or value" && (line.contains('\'') || line.matches('"').count() > 2) {
        Diagnostic::error("syntax", span, "something after the end of the value")
            .expected("the end of the line, or a comment after #")
            .hint(FEET_AND_INCHES)
    } else if what == "unexpected key or value" {
        let hint = if rest.starts_with(',') {
            "one `key = value` a line, without a comma after it"
        } else {
            "put a length with its unit in quotes: \"7.20 m\""
        };
        Diagnostic::error("syntax", span, "something after the end of the value")
            .expected("the end of the line, or a comment after #")
            .hint(hint)
    } else if what.starts_with("invalid") && what.ends_with("string") && rest.is_empty() {
        Diagnostic::error("syntax", span, "text whose closing quote is missing")
            .expected(expected.unwrap_or("a closing quote"))
            .hint("put the quote at the end of the text")
    } else if what == "invalid mantissa" && rest.starts_with('.') {
        let number: String = rest.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
        Diagnostic::error("syntax", span, "a number that begins with its point")
            .expected("a digit before the point")
            .hint(format!("write 0{number}"))
    } else {
        let error = Diagnostic::error("syntax", span, lower_case(what));
        let error = if what.contains("quote") && line.contains('\'') { error.hint(FEET_AND_INCHES) } else { error };
        match expected {
            Some("nothing") | None if what.contains("leading zero") => error.expected("the number without it"),
            Some("nothing") | None => error.expected("a value as TOML writes it"),
            Some(expected) => error.expected(expected),
        }
    };
    let found = if found.is_empty() { "the end of the line" } else { found };
    error.found(found)
}

fn lower_case(message: &str) -> String {
    let mut letters = message.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
