//! A key given another name where it stands: nothing else of the text changes by a letter.

use super::parse::parse;
use crate::base::file_tree::Step;
use crate::job::reading::EditError;
use std::ops::Range;
use toml_edit::{Document, Item, Key, TableLike, Value};

/// The text with the key at the end of a way called `to`. O(text).
///
/// # Errors
/// [`EditError`]: not TOML, no such key, or the name is taken in its table.
pub(super) fn key(text: &str, way: &[Step], to: &str) -> Result<String, EditError> {
    let document = Document::parse(text).map_err(|error| EditError::NotToml(error.message().to_owned()))?;
    let span = place(document.as_table(), way, to)?;
    let mut renamed = text.to_owned();
    renamed.replace_range(span, &Key::new(to).display_repr());
    // A key that stands in several headers would be torn apart.
    let again = parse(&renamed)?;
    let (Some(Step::Key(old)), Some(owner)) = (way.last(), way.split_last().map(|(_, owner)| owner)) else {
        return Err(EditError::NoSuchPlace);
    };
    match table(again.as_table(), owner) {
        Some(table) if *old == to || (table.contains_key(to) && !table.contains_key(old)) => Ok(renamed),
        _ => Err(EditError::NoSuchPlace),
    }
}

fn place(root: &dyn TableLike, way: &[Step], to: &str) -> Result<Range<usize>, EditError> {
    let Some((Step::Key(old), owner)) = way.split_last() else { return Err(EditError::NoSuchPlace) };
    let owner = table(root, owner).ok_or(EditError::NoSuchPlace)?;
    if *old != to && owner.contains_key(to) {
        return Err(EditError::Taken(to.to_owned()));
    }
    owner.key(old).and_then(Key::span).ok_or(EditError::NoSuchPlace)
}

fn table<'t>(from: &'t dyn TableLike, way: &[Step]) -> Option<&'t dyn TableLike> {
    match way {
        [] => Some(from),
        [Step::Key(key), Step::At(index), rest @ ..] => match from.get(key)? {
            Item::ArrayOfTables(list) => table(list.get(*index)?, rest),
            Item::Value(Value::Array(list)) => table(list.get(*index)?.as_inline_table()?, rest),
            _ => None,
        },
        [Step::Key(key), rest @ ..] => table(from.get(key)?.as_table_like()?, rest),
        [Step::At(_), ..] => None,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    const FILE: &str = r#"[points]
E1 = [0.0,  0.0, 2.40] # by the gate
"E 2"={}
R1 = { near = [3, 2.8, 4.4] }

[points.R9]
near = [1, 1, 1]

[[photo]]
marks = { E1 = [ 1,2 ], R1 = [3, 4] } # front
"#;

    fn renamed(way: &[&str], to: &str) -> Result<String, EditError> {
        let way: Vec<Step> = way.iter().map(|key| Step::from(*key)).collect();
        key(FILE, &way, to)
    }

    #[test]
    fn only_the_key_changes() {
        assert_eq!(renamed(&["points", "E1"], "gate").unwrap(), FILE.replace("E1 = [0.0,", "gate = [0.0,"));
        assert_eq!(renamed(&["points", "E 2"], "E2").unwrap(), FILE.replace("\"E 2\"={}", "E2={}"));
        assert_eq!(renamed(&["points", "R1"], "a b").unwrap(), FILE.replace("R1 = { n", "\"a b\" = { n"));
        assert_eq!(renamed(&["points", "R9"], "Q").unwrap(), FILE.replace("points.R9", "points.Q"));
        assert_eq!(renamed(&["points", "E1"], "E1").unwrap(), FILE);
        let way = ["photo".into(), 0.into(), "marks".into(), "E1".into()];
        assert_eq!(key(FILE, &way, "X").unwrap(), FILE.replace("{ E1 =", "{ X ="));
    }

    #[test]
    fn what_can_not_be_renamed_is_left() {
        assert_eq!(renamed(&["points", "E1"], "R1"), Err(EditError::Taken("R1".to_owned())));
        assert_eq!(renamed(&["points", "E7"], "E8"), Err(EditError::NoSuchPlace));
        assert_eq!(renamed(&["nothing", "E1"], "E8"), Err(EditError::NoSuchPlace));
    }
}
