//! Lists of tables: entries put in and taken out, with the comments that are theirs.
//!
//! In an inline list the comment behind an entry stands, for the parser, before the next one: up to the end of its
//! line it belongs to the entry before.

use crate::job::reading::EditError;
use toml_edit::{Array, InlineTable, Item, RawString, Table, TableLike, Value};

/// Puts a copy of an entry after it.
pub(super) fn repeat(item: &mut Item, index: usize) -> Result<(), EditError> {
    match item {
        Item::Value(Value::Array(array)) => {
            let names = (array.iter().filter_map(Value::as_inline_table))
                .filter_map(|table| given_name(table))
                .collect::<Vec<_>>();
            let mut copy = array.get(index).ok_or(EditError::NoSuchPlace)?.clone();
            if let Some(table) = copy.as_inline_table_mut() {
                rename(table, &names);
            }
            insert(array, index + 1, copy);
        }
        Item::ArrayOfTables(tables) => {
            let names = tables.iter().filter_map(|table| given_name(table)).collect::<Vec<_>>();
            let mut copy = tables.get(index).ok_or(EditError::NoSuchPlace)?.clone();
            rename(&mut copy, &names);
            unplace(&mut copy);
            // Comments above it and behind its header are the other one's.
            copy.decor_mut().set_prefix("\n");
            copy.decor_mut().set_suffix("");
            tables.insert(index + 1, copy);
        }
        _ => return Err(EditError::NoSuchPlace),
    }
    Ok(())
}

/// Takes an entry out.
pub(super) fn remove(item: &mut Item, index: usize) -> Result<(), EditError> {
    match item {
        Item::Value(Value::Array(array)) if index < array.len() => {
            let (behind, _) = split(&before(array, index));
            array.remove(index);
            let (_, rest) = split(&before(array, index));
            set_before(array, index, &format!("{behind}{rest}"));
            Ok(())
        }
        Item::ArrayOfTables(tables) if index < tables.len() => {
            tables.remove(index);
            Ok(())
        }
        _ => Err(EditError::NoSuchPlace),
    }
}

/// Puts an entry at the end of the list under a key; a list that is not there is made, `as_tables` with headers.
pub(super) fn add(table: &mut dyn TableLike, key: &str, mut entry: Table, as_tables: bool) -> Result<(), EditError> {
    entry.decor_mut().clear();
    unplace(&mut entry);
    match table.get_mut(key) {
        Some(Item::ArrayOfTables(tables)) => tables.push(entry),
        Some(Item::Value(Value::Array(array))) => {
            let last = array.len();
            insert(array, last, Value::InlineTable(entry.into_inline_table()));
        }
        None if as_tables => {
            let mut tables = toml_edit::ArrayOfTables::new();
            tables.push(entry);
            table.insert(key, Item::ArrayOfTables(tables));
        }
        None => {
            let mut array = Array::new();
            array.push(Value::InlineTable(entry.into_inline_table()));
            table.insert(key, Item::Value(Value::Array(array)));
        }
        Some(_) => return Err(EditError::NoSuchPlace),
    }
    Ok(())
}

/// Puts a value into a list on a line of its own if its neighbours stand on theirs.
fn insert(array: &mut Array, index: usize, mut value: Value) {
    let (behind, rest) = split(&before(array, index));
    let indent = match array.get(index.saturating_sub(1)) {
        Some(neighbour) => split(&prefix(neighbour)).1,
        None => String::new(),
    };
    // Only the indent of the line: comments above the neighbour are the neighbour's.
    let indent = indent.rfind('\n').map_or(indent.clone(), |line| indent[line..].to_owned());
    let indent = if indent.is_empty() && index > 0 { " ".to_owned() } else { indent };
    value.decor_mut().set_prefix(format!("{behind}{indent}"));
    value.decor_mut().set_suffix("");
    let had_comma = array.trailing_comma();
    array.insert_formatted(index, value);
    set_before(array, index + 1, &rest);
    array.set_trailing_comma(had_comma);
}

fn prefix(value: &Value) -> String {
    value.decor().prefix().and_then(RawString::as_str).unwrap_or_default().to_owned()
}

/// What stands before an entry, or before the closing bracket.
fn before(array: &Array, index: usize) -> String {
    array.get(index).map_or_else(|| array.trailing().as_str().unwrap_or_default().to_owned(), prefix)
}

fn set_before(array: &mut Array, index: usize, text: &str) {
    match array.get_mut(index) {
        Some(value) => value.decor_mut().set_prefix(text),
        None => array.set_trailing(text),
    }
}

/// What stands before an entry, parted: up to the end of the line it belongs to the entry before.
fn split(before: &str) -> (String, String) {
    match before.find('\n') {
        Some(end) => (before[..end].to_owned(), before[end..].to_owned()),
        None => (String::new(), before.to_owned()),
    }
}

/// A copied table finds its place after the one it was copied from.
fn unplace(table: &mut Table) {
    table.set_position(None);
    for (_, item) in table.iter_mut() {
        match item {
            Item::Table(inner) => unplace(inner),
            Item::ArrayOfTables(list) => list.iter_mut().for_each(unplace),
            _ => {}
        }
    }
}

/// The name a table bears itself: a side's corner, a block's or a face's name. A tape's `from` names another thing, so
/// it counts only beside a side's other keys.
fn own_name(table: &dyn TableLike) -> Option<&'static str> {
    if table.contains_key("name") {
        return Some("name");
    }
    (table.contains_key("from") && !table.contains_key("to")).then_some("from")
}

fn given_name(table: &dyn TableLike) -> Option<String> {
    table.get(own_name(table)?).and_then(Item::as_str).map(str::to_owned)
}

trait Named: TableLike {
    fn name_mut(&mut self, key: &str) -> Option<&mut Value>;
}

impl Named for InlineTable {
    fn name_mut(&mut self, key: &str) -> Option<&mut Value> {
        InlineTable::get_mut(self, key)
    }
}

impl Named for Table {
    fn name_mut(&mut self, key: &str) -> Option<&mut Value> {
        Table::get_mut(self, key).and_then(Item::as_value_mut)
    }
}

/// Gives a copy a name that is free: the next letter, or the same name with the next number.
fn rename(copy: &mut impl Named, taken: &[String]) {
    let Some(key) = own_name(copy) else { return };
    let Some(value) = copy.name_mut(key) else { return };
    let old = value.as_str().unwrap_or_default().to_owned();
    let is_corner = key == "from";
    let letters = ('A'..='Z').map(String::from).filter(|_| is_corner);
    let stem = if is_corner { "S" } else { old.trim_end_matches(|letter: char| letter.is_ascii_digit()) };
    let numbers = (1..=taken.len() + 1).map(|number| format!("{stem}{number}"));
    if let Some(free) = letters.chain(numbers).find(|name| !taken.contains(name)) {
        super::typed::replace(value, Value::from(free));
    }
}
