//! Changes to a roof file's text that leave everything else as its author wrote it: comments, order, spelling.

mod list;
mod parse;
mod read;
mod rename;
pub mod typed;

pub use crate::job::reading::EditError;
pub use read::outline;

use crate::base::file_tree::{Edit, Step};
use parse::parse;
use toml_edit::{InlineTable, Item, Table, TableLike, Value};

/// The text with a change made. A key that is new comes last in its table. O(text).
///
/// # Errors
/// [`EditError`]: not TOML, or no such place.
pub fn apply(text: &str, edit: &Edit) -> Result<String, EditError> {
    if let Edit::Rename { at, to } = edit {
        return rename::key(text, at, to);
    }
    let mut document = parse(text)?;
    let root = document.as_table_mut();
    match edit {
        Edit::Set { at, value: None, .. } => {
            let (key, way) = last_key(at)?;
            // Nothing to remove where there is no such table.
            let _ = with_table(root, way, false, &mut |table| drop(table.remove(key)));
        }
        Edit::Set { at, value: Some(typed), kind } => {
            let (key, way) = last_key(at)?;
            let new = typed::value(typed, *kind)?;
            with_table(root, way, true, &mut |table| match table.get_mut(key).and_then(Item::as_value_mut) {
                Some(old) => typed::replace(old, new.clone()),
                None => drop(table.insert(key, Item::Value(new.clone()))),
            })?;
        }
        Edit::Rename { .. } => {}
        Edit::Add { list, entry } => {
            let (key, way) = last_key(list)?;
            let entry = parse(entry)?.as_table().clone();
            let mut result = Ok(());
            with_table(root, way, true, &mut |table| {
                result = list::add(table, key, entry.clone(), way.is_empty());
            })?;
            result?;
        }
        Edit::Repeat { list, index } => with_list(root, list, &mut |item| list::repeat(item, *index))?,
        Edit::Remove { list, index } => with_list(root, list, &mut |item| list::remove(item, *index))?,
    }
    Ok(document.to_string())
}

fn last_key(way: &[Step]) -> Result<(&str, &[Step]), EditError> {
    match way.split_last() {
        Some((Step::Key(key), way)) => Ok((key, way)),
        _ => Err(EditError::NoSuchPlace),
    }
}

/// Goes to a table. `makes` one that is missing on the way: with a header at the top of the file, within a line below.
fn with_table(
    from: &mut dyn TableLike,
    way: &[Step],
    makes: bool,
    change: &mut dyn FnMut(&mut dyn TableLike),
) -> Result<(), EditError> {
    go(from, way, makes, true, change)
}

fn go(
    from: &mut dyn TableLike,
    way: &[Step],
    makes: bool,
    is_top: bool,
    change: &mut dyn FnMut(&mut dyn TableLike),
) -> Result<(), EditError> {
    match way {
        [] => {
            change(from);
            Ok(())
        }
        [Step::Key(key), Step::At(index), rest @ ..] => match from.get_mut(key) {
            Some(Item::ArrayOfTables(list)) => {
                go(list.get_mut(*index).ok_or(EditError::NoSuchPlace)?, rest, makes, false, change)
            }
            Some(Item::Value(Value::Array(list))) => {
                let entry = list.get_mut(*index).and_then(Value::as_inline_table_mut);
                go(entry.ok_or(EditError::NoSuchPlace)?, rest, makes, false, change)
            }
            _ => Err(EditError::NoSuchPlace),
        },
        [Step::Key(key), rest @ ..] => {
            if makes && from.get(key).is_none() {
                let made = if is_top { Item::Table(Table::new()) } else { Item::Value(InlineTable::new().into()) };
                from.insert(key, made);
            }
            let table = from.get_mut(key).and_then(Item::as_table_like_mut);
            go(table.ok_or(EditError::NoSuchPlace)?, rest, makes, false, change)
        }
        [Step::At(_), ..] => Err(EditError::NoSuchPlace),
    }
}

fn with_list(
    from: &mut dyn TableLike,
    way: &[Step],
    change: &mut dyn FnMut(&mut Item) -> Result<(), EditError>,
) -> Result<(), EditError> {
    let (key, way) = last_key(way)?;
    let mut result = Err(EditError::NoSuchPlace);
    with_table(from, way, false, &mut |table| {
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
    use crate::base::file_tree::Kind;

    const FILE: &str = r#"# my store
title = "Boat store"   # printed

[[block]]
name = "store"
height = 2.40 # to the drip edge
sides = [
  { from = "A", length = 9.20, turn = "L", pitch = 35 }, # street
  { from = "B", length = "5.60 m", turn = "L", pitch = 35 }, # yard
]
"#;

    fn side(index: usize, key: &str) -> Vec<Step> {
        vec!["block".into(), 0.into(), "sides".into(), index.into(), key.into()]
    }

    fn set(text: &str, at: &[Step], value: Option<&str>) -> String {
        apply(text, &Edit::Set { at: at.to_vec(), value: value.map(str::to_owned), kind: Kind::Measure }).unwrap()
    }

    fn sides() -> Vec<Step> {
        vec!["block".into(), 0.into(), "sides".into()]
    }

    #[test]
    fn only_the_value_changes() {
        assert_eq!(set(FILE, &side(0, "length"), Some("9.25")), FILE.replace("9.20", "9.25"));
        assert_eq!(set(FILE, &side(1, "length"), Some("18' 4 1/2\"")), FILE.replace("5.60 m", "18' 4 1/2\\\""));
        let height = ["block".into(), 0.into(), "height".into()];
        assert_eq!(set(FILE, &height, Some("2.45")), FILE.replace("2.40", "2.45"));
        assert_eq!(set(FILE, &height, Some("2.40")), FILE);
    }

    #[test]
    fn keys_come_and_go() {
        let verge = set(&set(FILE, &side(1, "pitch"), None), &side(1, "verge"), Some("true"));
        let wanted = FILE.replace("turn = \"L\", pitch = 35 }, # yard", "turn = \"L\", verge = true }, # yard");
        assert_eq!(verge.replace("\"L\" ,", "\"L\","), wanted);
    }

    #[test]
    fn sides_come_and_go_each_with_its_own_comment() {
        let more = apply(FILE, &Edit::Repeat { list: sides(), index: 0 }).unwrap();
        let copy = "# street\n  { from = \"C\", length = 9.20, turn = \"L\", pitch = 35 },\n  { from = \"B\"";
        assert_eq!(more, FILE.replace("# street\n  { from = \"B\"", copy));
        assert_eq!(apply(&more, &Edit::Remove { list: sides(), index: 1 }).unwrap(), FILE);
        let more = apply(FILE, &Edit::Repeat { list: sides(), index: 1 }).unwrap();
        assert!(more.contains("# yard\n  { from = \"C\", length = \"5.60 m\""), "{more}");
        assert_eq!(apply(&more, &Edit::Remove { list: sides(), index: 2 }).unwrap(), FILE);
        let less = apply(FILE, &Edit::Remove { list: sides(), index: 0 }).unwrap();
        assert!(!less.contains("street") && less.contains("sides = [\n  { from = \"B\""), "{less}");
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
        let block = outline.list("block")[0].span.clone().unwrap();
        assert!(FILE[block.clone()].starts_with("[[block]]") && FILE[block].ends_with('}'));
        assert!(super::outline("title = ").is_none());
    }

    const POINTS: &str = r#"[points]
E1 = [0.0,  0.0, 2.40] # by the gate
R1 = { near = [3, 2.8, 4.4] }
R2 = {}

[[tape]]   # first
from = "E1"
to = "R1"
length = 3.20

# the second one
[[tape]]
from = "E1"
to = "R2"
length = 4.10
"#;

    #[test]
    fn lists_keep_what_does_not_change() {
        let at = ["points".into(), "E1".into()];
        let set = |text: &str| {
            apply(POINTS, &Edit::Set { at: at.to_vec(), value: Some(text.to_owned()), kind: Kind::Measures }).unwrap()
        };
        assert_eq!(set("0.0, 0.0, 2.40"), POINTS);
        assert_eq!(set("0.0, 1.25, 2.40"), POINTS.replace("[0.0,  0.0, 2.40]", "[0.0,  1.25, 2.40]"));
        let outline = outline(POINTS).unwrap();
        let points = outline.table("points").unwrap();
        assert_eq!(points.value("E1").unwrap().text, "0.0, 0.0, 2.40");
        assert_eq!(points.table("R1").unwrap().value("near").unwrap().text, "3, 2.8, 4.4");
        assert_eq!(points.entries.iter().map(|(name, _)| name.as_str()).collect::<Vec<_>>(), ["E1", "R1", "R2"]);
    }

    #[test]
    fn tables_come_and_go() {
        let tapes = vec![Step::from("tape")];
        let more = apply(POINTS, &Edit::Add { list: tapes.clone(), entry: "from = \"R1\"".to_owned() }).unwrap();
        assert_eq!(more, format!("{POINTS}\n[[tape]]\nfrom = \"R1\"\n"));
        let less = apply(&more, &Edit::Remove { list: tapes.clone(), index: 2 }).unwrap();
        assert_eq!(less, POINTS);
        let less = apply(POINTS, &Edit::Remove { list: tapes.clone(), index: 1 }).unwrap();
        assert_eq!(less, &POINTS[..POINTS.find("\n# the second").unwrap()]);
        let twice = apply(POINTS, &Edit::Repeat { list: tapes, index: 0 }).unwrap();
        let second = twice.find("length = 3.20\n[[tape]]").or(twice.find("length = 3.20\n\n[[tape]]"));
        assert!(second.is_some() && twice.find("# the second one") > second, "{twice}");
        let set = |text: &str, at: &[&str], value: &str| {
            let at = at.iter().map(|key| Step::from(*key)).collect();
            apply(text, &Edit::Set { at, value: Some(value.to_owned()), kind: Kind::Measure }).unwrap()
        };
        assert_eq!(set(POINTS, &["site", "north"], "20"), format!("{POINTS}\n[site]\nnorth = 20\n"));
        let block = apply(
            FILE,
            &Edit::Set {
                at: vec!["block".into(), 0.into(), "overhang".into(), "eave".into()],
                value: Some("0.35".to_owned()),
                kind: Kind::Measure,
            },
        );
        assert_eq!(block.unwrap(), format!("{FILE}overhang = {{ eave = 0.35 }}\n"));
    }
}
