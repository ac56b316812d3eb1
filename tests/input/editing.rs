//! A roof file edited as the window edits it stays its author's: what is set to what it already says does not change by
//! a letter, what is added and taken out again leaves no trace.

use eavewright::base::file_tree::{Edit, Entry, FileTable, Kind, Step, under};
use eavewright::input::edit::{apply, outline};

const FILES: [&str; 6] = [
    include_str!("../../examples/boat_store.toml"),
    include_str!("../../examples/field_shed.toml"),
    include_str!("../../examples/lean_to.toml"),
    include_str!("../../examples/stable_l.toml"),
    include_str!("../diagnostics/fine.toml"),
    include_str!("../diagnostics/photos.toml"),
];

/// Every value with its way, and every list.
fn walk(
    table: &FileTable,
    way: &[Step],
    values: &mut Vec<(Vec<Step>, String, usize)>,
    lists: &mut Vec<(Vec<Step>, usize)>,
) {
    for (key, entry) in &table.entries {
        let at = under(way, [key.as_str().into()]);
        match entry {
            Entry::Value(value) => values.push((at, value.text.clone(), value.span.as_ref().unwrap().start)),
            Entry::Table(inner) => walk(inner, &at, values, lists),
            Entry::List(rows) => {
                lists.push((at.clone(), rows.len()));
                for (index, row) in rows.iter().enumerate() {
                    walk(row, &under(&at, [index.into()]), values, lists);
                }
            }
        }
    }
}

/// What a value is meant as, from how it is written.
fn kind(text: &str, start: usize) -> Kind {
    let written = &text[start..];
    match written.chars().next() {
        Some('"' | '\'') => Kind::Words,
        Some('[') if written[1..].trim_start().starts_with(['"', '\'']) => Kind::Names,
        Some('[') => Kind::Measures,
        _ => Kind::Measure,
    }
}

#[test]
fn a_value_set_to_itself_changes_nothing() {
    let mut count = 0;
    for text in FILES {
        let (mut values, mut lists) = (Vec::new(), Vec::new());
        walk(&outline(text).unwrap(), &[], &mut values, &mut lists);
        for (at, typed, start) in values {
            // A day is no measure; the window writes one as text, which reads the same.
            let is_day = ["date", "dated", "valid_until"].iter().any(|key| at.last() == Some(&Step::from(*key)));
            if is_day || typed.is_empty() {
                continue;
            }
            let kind = kind(text, start);
            let edit = Edit::Set { at: at.clone(), value: Some(typed.clone()), kind };
            let set = apply(text, &edit).unwrap();
            // Single quotes become double ones; nothing else may change.
            if !text[start..].starts_with('\'') {
                assert_eq!(set, text, "{at:?} = {typed}");
            }
            count += 1;
        }
    }
    assert!(count > 250, "{count}");
}

#[test]
fn a_row_repeated_and_removed_leaves_no_trace() {
    let mut count = 0;
    for text in FILES {
        let (mut values, mut lists) = (Vec::new(), Vec::new());
        walk(&outline(text).unwrap(), &[], &mut values, &mut lists);
        for (list, rows) in lists {
            for index in 0..rows {
                let more = apply(text, &Edit::Repeat { list: list.clone(), index }).unwrap();
                assert_ne!(more, text);
                let back = apply(&more, &Edit::Remove { list: list.clone(), index: index + 1 }).unwrap();
                assert_eq!(back, text, "{list:?} {index}");
                count += 1;
            }
            let more = apply(text, &Edit::Add { list: list.clone(), entry: "sigma = 1".to_owned() }).unwrap();
            let back = apply(&more, &Edit::Remove { list: list.clone(), index: rows }).unwrap();
            assert_eq!(back, text, "{list:?} added");
        }
    }
    assert!(count > 60, "{count}");
}
