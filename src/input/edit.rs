//! Changes to a roof file's text that leave everything else as its author wrote it: comments, order, spelling.

use std::ops::Range;
use toml_edit::{Array, Document, DocumentMut, InlineTable, Item, TableLike, Value};

/// A step into the document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// A key of a table.
    Key(String),
    /// A place in a list, from 0.
    At(usize),
}

/// Why a change can't be made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The text is not TOML.
    #[error("the file is not TOML: {0}")]
    NotToml(String),
    /// Nothing stands there.
    #[error("the file has no such place")]
    NoSuchPlace,
}

/// A value as it stands in a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// Text without its quotes, anything else as written.
    pub text: String,
    /// Byte range of the value.
    pub span: Option<Range<usize>>,
}

/// A table as it stands in a file: its values by key, in order, and the lists of tables in it.
#[derive(Clone, Debug, PartialEq)]
pub struct WrittenTable {
    /// Byte range.
    pub span: Option<Range<usize>>,
    /// Plain values, lists of plain values among them.
    pub values: Vec<(String, Written)>,
    /// Lists of tables.
    pub lists: Vec<(String, Vec<WrittenTable>)>,
}

impl WrittenTable {
    /// A value by key.
    #[must_use]
    pub fn value(&self, key: &str) -> Option<&Written> {
        self.values.iter().find(|(name, _)| name == key).map(|(_, value)| value)
    }

    /// A list of tables by key; empty where there is none.
    #[must_use]
    pub fn list(&self, key: &str) -> &[WrittenTable] {
        self.lists.iter().find(|(name, _)| name == key).map_or(&[], |(_, list)| list)
    }
}

/// The document as it stands in the text; `None` where it is not TOML. O(text).
#[must_use]
pub fn outline(text: &str) -> Option<WrittenTable> {
    let document = Document::parse(text).ok()?;
    Some(table(text, document.as_table()))
}

fn table(text: &str, from: &dyn TableLike) -> WrittenTable {
    let mut to = WrittenTable { span: None, values: Vec::new(), lists: Vec::new() };
    for (key, item) in from.iter() {
        match item {
            Item::ArrayOfTables(list) => {
                let tables = list.iter().map(|entry| WrittenTable { span: entry.span(), ..table(text, entry) });
                to.lists.push((key.to_owned(), tables.collect()));
            }
            Item::Value(Value::Array(list)) if is_of_tables(list) => {
                let tables = list.iter().filter_map(Value::as_inline_table);
                let tables = tables.map(|entry| WrittenTable { span: entry.span(), ..table(text, entry) });
                to.lists.push((key.to_owned(), tables.collect()));
            }
            Item::Value(value) => to.values.push((key.to_owned(), written(text, value))),
            Item::Table(_) | Item::None => {}
        }
    }
    to
}

fn is_of_tables(list: &Array) -> bool {
    !list.is_empty() && list.iter().all(Value::is_inline_table)
}

fn written(text: &str, value: &Value) -> Written {
    let span = value.span();
    let as_typed = match (value, &span) {
        (Value::String(string), _) => string.value().clone(),
        (_, Some(span)) => text.get(span.clone()).unwrap_or_default().trim().to_owned(),
        (other, None) => other.to_string().trim().to_owned(),
    };
    Written { text: as_typed, span }
}

/// What was typed as a TOML value: a number or `true`/`false` as typed, all else a string.
#[must_use]
pub fn as_typed(typed: &str) -> Value {
    let typed = typed.trim();
    let plain = typed.parse::<Value>().ok();
    let plain = plain.filter(|value| value.is_integer() || value.is_float() || value.is_bool());
    plain.unwrap_or_else(|| quoted(typed))
}

/// A string as people write one: in plain quotes, with inch marks escaped.
fn quoted(text: &str) -> Value {
    let escaped = text.replace('\\', "\\\\").replace('"', "\\\"");
    format!("\"{escaped}\"").parse().unwrap_or_else(|_| Value::from(text))
}

/// The text with a value set as typed, or its key removed. A key that is new comes last in its table.
///
/// # Errors
/// [`EditError`]: not TOML, or no such table.
pub fn set(text: &str, at: &[Step], typed: Option<&str>) -> Result<String, EditError> {
    let mut document = parse(text)?;
    let Some((Step::Key(key), way)) = at.split_last() else { return Err(EditError::NoSuchPlace) };
    with_table(document.as_table_mut(), way, &mut |table| {
        match (typed, table.get_mut(key).and_then(Item::as_value_mut)) {
            (None, _) => drop(table.remove(key)),
            (Some(typed), Some(old)) => {
                // Blanks and comments about the old value stay about the new one.
                let decor = old.decor().clone();
                *old = as_typed(typed);
                *old.decor_mut() = decor;
            }
            (Some(typed), None) => drop(table.insert(key, Item::Value(as_typed(typed)))),
        }
    })?;
    Ok(document.to_string())
}

/// The text with a copy of a list's entry put after it; the copy's `from` gets the next free letter or number, so that
/// no two sides bear one name.
///
/// # Errors
/// [`EditError`]: not TOML, or no such entry.
pub fn repeat(text: &str, list: &[Step], index: usize) -> Result<String, EditError> {
    let mut document = parse(text)?;
    with_list(document.as_table_mut(), list, &mut |item| {
        let names = names(item);
        match item {
            Item::Value(Value::Array(array)) => {
                let mut copy = array.get(index).ok_or(EditError::NoSuchPlace)?.clone();
                if let Some(side) = copy.as_inline_table_mut() {
                    rename(side, &names);
                }
                array.insert_formatted(index + 1, copy);
                Ok(())
            }
            Item::ArrayOfTables(tables) => {
                let mut all: Vec<toml_edit::Table> = tables.iter().cloned().collect();
                let mut copy = all.get(index).ok_or(EditError::NoSuchPlace)?.clone();
                rename(&mut copy, &names);
                copy.set_position(None);
                all.insert(index + 1, copy);
                tables.clear();
                for table in all {
                    tables.push(table);
                }
                Ok(())
            }
            _ => Err(EditError::NoSuchPlace),
        }
    })?;
    Ok(document.to_string())
}

/// The text without one entry of a list.
///
/// # Errors
/// [`EditError`]: not TOML, or no such entry.
pub fn remove(text: &str, list: &[Step], index: usize) -> Result<String, EditError> {
    let mut document = parse(text)?;
    with_list(document.as_table_mut(), list, &mut |item| match item {
        Item::Value(Value::Array(array)) if index < array.len() => {
            array.remove(index);
            Ok(())
        }
        Item::ArrayOfTables(tables) if index < tables.len() => {
            tables.remove(index);
            Ok(())
        }
        _ => Err(EditError::NoSuchPlace),
    })?;
    Ok(document.to_string())
}

fn parse(text: &str) -> Result<DocumentMut, EditError> {
    text.parse::<DocumentMut>().map_err(|error| EditError::NotToml(error.message().to_owned()))
}

fn names(item: &Item) -> Vec<String> {
    let name = |table: &dyn TableLike| table.get("from").and_then(Item::as_str).map(str::to_owned);
    match item {
        Item::Value(Value::Array(array)) => {
            array.iter().filter_map(Value::as_inline_table).filter_map(|side| name(side)).collect()
        }
        Item::ArrayOfTables(tables) => tables.iter().filter_map(|side| name(side)).collect(),
        _ => Vec::new(),
    }
}

trait Named {
    fn name_mut(&mut self) -> Option<&mut Value>;
}

impl Named for InlineTable {
    fn name_mut(&mut self) -> Option<&mut Value> {
        self.get_mut("from")
    }
}

impl Named for toml_edit::Table {
    fn name_mut(&mut self) -> Option<&mut Value> {
        self.get_mut("from").and_then(Item::as_value_mut)
    }
}

fn rename(side: &mut impl Named, taken: &[String]) {
    let letters = ('A'..='Z').map(String::from);
    let numbers = (1..=taken.len() + 1).map(|number| format!("S{number}"));
    let free = letters.chain(numbers).find(|name| !taken.contains(name));
    if let (Some(value), Some(free)) = (side.name_mut(), free) {
        let decor = value.decor().clone();
        *value = Value::from(free);
        *value.decor_mut() = decor;
    }
}

fn with_table(
    from: &mut dyn TableLike,
    way: &[Step],
    change: &mut dyn FnMut(&mut dyn TableLike),
) -> Result<(), EditError> {
    match way {
        [] => {
            change(from);
            Ok(())
        }
        [Step::Key(key), Step::At(index), rest @ ..] => match from.get_mut(key) {
            Some(Item::ArrayOfTables(list)) => {
                with_table(list.get_mut(*index).ok_or(EditError::NoSuchPlace)?, rest, change)
            }
            Some(Item::Value(Value::Array(list))) => {
                let entry = list.get_mut(*index).and_then(Value::as_inline_table_mut);
                with_table(entry.ok_or(EditError::NoSuchPlace)?, rest, change)
            }
            _ => Err(EditError::NoSuchPlace),
        },
        [Step::Key(key), rest @ ..] => {
            let table = from.get_mut(key).and_then(Item::as_table_like_mut);
            with_table(table.ok_or(EditError::NoSuchPlace)?, rest, change)
        }
        [Step::At(_), ..] => Err(EditError::NoSuchPlace),
    }
}

fn with_list(
    from: &mut dyn TableLike,
    way: &[Step],
    change: &mut dyn FnMut(&mut Item) -> Result<(), EditError>,
) -> Result<(), EditError> {
    let Some((Step::Key(key), way)) = way.split_last() else { return Err(EditError::NoSuchPlace) };
    let mut result = Err(EditError::NoSuchPlace);
    with_table(from, way, &mut |table| {
        if let Some(item) = table.get_mut(key) {
            result = change(item);
        }
    })?;
    result
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    const FILE: &str = r#"# my store
title = "Boat store"   # printed

[[block]]
name = "store"
height = 2.40 # to the drip edge
sides = [
  { from = "A", length = 9.20, turn = "L", pitch = 35 }, # street
  { from = "B", length = "5.60 m", turn = "L", pitch = 35 },
]
"#;

    fn side(index: usize, key: &str) -> Vec<Step> {
        let key_of = |key: &str| Step::Key(key.into());
        vec![key_of("block"), Step::At(0), key_of("sides"), Step::At(index), key_of(key)]
    }

    #[test]
    fn only_the_value_changes() {
        let changed = set(FILE, &side(0, "length"), Some("9.25")).unwrap();
        assert_eq!(changed, FILE.replace("9.20", "9.25"));
        let changed = set(FILE, &side(1, "length"), Some("18' 4 1/2\"")).unwrap();
        assert_eq!(changed, FILE.replace("5.60 m", "18' 4 1/2\\\""));
        let height = [Step::Key("block".into()), Step::At(0), Step::Key("height".into())];
        assert_eq!(set(FILE, &height, Some("2.45")).unwrap(), FILE.replace("2.40", "2.45"));
        assert_eq!(set(FILE, &height, Some("2.40")).unwrap(), FILE);
    }

    #[test]
    fn keys_come_and_go() {
        let verge = set(&set(FILE, &side(1, "pitch"), None).unwrap(), &side(1, "verge"), Some("true")).unwrap();
        assert_eq!(
            verge,
            FILE.replace("turn = \"L\", pitch = 35 },\n]", "turn = \"L\" , verge = true },\n]")
                .replace("\"L\" ,", "\"L\",")
        );
    }

    #[test]
    fn sides_come_and_go() {
        let more = repeat(FILE, &side(0, "x")[..3], 1).unwrap();
        assert!(more.contains("{ from = \"C\", length = \"5.60 m\""), "{more}");
        assert_eq!(remove(&more, &side(0, "x")[..3], 2).unwrap().replace(",\n]", "\n]"), FILE.replace(",\n]", "\n]"));
    }

    #[test]
    fn what_stands_there_is_read_as_typed() {
        let outline = outline(FILE).unwrap();
        assert_eq!(outline.value("title").unwrap().text, "Boat store");
        let sides = outline.list("block")[0].list("sides");
        assert_eq!(sides[0].value("length").unwrap().text, "9.20");
        assert_eq!(sides[1].value("length").unwrap().text, "5.60 m");
        let span = sides[0].value("pitch").unwrap().span.clone().unwrap();
        assert_eq!(&FILE[span], "35");
        assert!(super::outline("title = ").is_none());
    }

    #[test]
    fn what_is_no_number_is_text() {
        assert!(as_typed("9.20").is_float());
        assert!(as_typed("35").is_integer());
        assert_eq!(as_typed("9.").as_str(), Some("9."));
        assert_eq!(as_typed("7:12").as_str(), Some("7:12"));
        assert_eq!(as_typed("11' 3 1/2\"").as_str(), Some("11' 3 1/2\""));
        assert_eq!(as_typed("1979-05-27").as_str(), Some("1979-05-27"));
        assert_eq!(as_typed("[1]").as_str(), Some("[1]"));
    }
}
