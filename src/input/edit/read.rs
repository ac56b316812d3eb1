//! From a roof file's text to what stands in it.

use crate::base::file_tree::{Entry, FileTable, FileValue};
use std::ops::Range;
use toml_edit::{Array, Document, Item, TableLike, Value};

/// The document as it stands in the text; `None` where it is not TOML. O(text).
#[must_use]
pub fn outline(text: &str) -> Option<FileTable> {
    let document = Document::parse(text).ok()?;
    Some(table(text, document.as_table(), None))
}

fn table(text: &str, from: &dyn TableLike, header: Option<Range<usize>>) -> FileTable {
    let mut span = header;
    let mut entries = Vec::new();
    for (key, item) in from.iter() {
        let entry = match item {
            Item::None => continue,
            Item::Table(inner) => Entry::Table(table(text, inner, inner.span())),
            Item::ArrayOfTables(list) => {
                Entry::List(list.iter().map(|inner| table(text, inner, inner.span())).collect())
            }
            Item::Value(Value::InlineTable(inner)) => Entry::Table(table(text, inner, inner.span())),
            Item::Value(Value::Array(list)) if is_of_tables(list) => {
                let tables = list.iter().filter_map(Value::as_inline_table);
                Entry::List(tables.map(|inner| table(text, inner, inner.span())).collect())
            }
            Item::Value(value) => {
                let key = from.key(key).and_then(toml_edit::Key::span);
                Entry::Value(FileValue { text: typed(text, value), span: value.span(), key })
            }
        };
        for part in spans(&entry) {
            // A table with a header of its own: its span is the header's, its values follow.
            span = span.map(|span| span.start.min(part.start)..span.end.max(part.end));
        }
        entries.push((key.to_owned(), entry));
    }
    FileTable { span, entries }
}

fn spans(entry: &Entry) -> Vec<Range<usize>> {
    match entry {
        Entry::Value(value) => value.span.iter().cloned().collect(),
        Entry::Table(table) => table.span.iter().cloned().collect(),
        Entry::List(list) => list.iter().filter_map(|table| table.span.clone()).collect(),
    }
}

fn is_of_tables(list: &Array) -> bool {
    !list.is_empty() && list.iter().all(Value::is_inline_table)
}

/// A value as a person would type it.
pub(super) fn typed(text: &str, value: &Value) -> String {
    match (value, value.span()) {
        (Value::String(string), _) => string.value().clone(),
        (Value::Array(list), _) => {
            let item = |item: &Value| match item {
                Value::Array(_) => format!("[{}]", typed(text, item)),
                other => typed(text, other),
            };
            list.iter().map(item).collect::<Vec<_>>().join(", ")
        }
        (_, Some(span)) => text.get(span).unwrap_or_default().trim().to_owned(),
        (other, None) => other.to_string().trim().to_owned(),
    }
}
