//! The reference page of the roof file and of material cards: every table with its keys, from the schema itself. For a
//! terminal, as a page of the repository (Markdown), and as JSON.

use crate::base::schema::{Key, Kind, Table, Usual};
use crate::input::schema::{material_card, roof_file};
use crate::wording::schema::{bounds, counted, naming, value, without};
use serde_json::{Value, json};
use std::fmt::Write;

/// How values are written, in the order of a page's head.
const WRITTEN: &[(&str, &str)] = &[
    (
        "length",
        "a bare number in the file's `units` (metres on a card), or with its unit: \"7.20 m\", \"345 cm\", \"11' 3 1/2\\\"\", \"11 ft 3.5 in\"",
    ),
    ("pitch", "degrees (35, \"35°\"), rise over run (\"7:12\") or percent (\"70 %\"), between level and plumb"),
    ("turn", "\"L\" or \"R\" for a right angle, or degrees, left positive (45, \"R 45\")"),
    ("angle", "degrees"),
    ("bearing", "\"N\", \"NE\" …, or degrees clockwise from north"),
    ("share", "\"15 %\", or a number up to 1 such as 0.15"),
    ("side", "\"store/A\": the block, a stroke, the corner the side starts from; \"A\" alone where one block has it"),
    ("corner", "\"store.A\": the block, a point, the corner; \"A\" alone where one block has it"),
    (
        "face",
        "a face by points by its name, or \"store/A\" for the one over a side; \"store/A:2\" is the second piece from below",
    ),
];

/// Tables of the roof file, then of a material card, as a person would read them.
fn tables() -> Vec<&'static Table> {
    roof_file().with_inner().into_iter().chain(material_card().with_inner()).collect()
}

/// The tables that are asked for: all, or one by its name.
///
/// # Errors
/// The tables there are, in a sentence.
pub fn asked(name: Option<&str>) -> Result<Vec<&'static Table>, String> {
    let Some(name) = name else { return Ok(tables()) };
    let plain = name.trim_matches(['[', ']']).replace('-', "_");
    let found: Vec<&Table> = tables().into_iter().filter(|table| table.name == plain).collect();
    if !found.is_empty() {
        return Ok(found);
    }
    let with_key: Vec<&str> = tables().iter().filter(|table| table.knows(&plain)).map(|table| table.header).collect();
    let known: Vec<&str> = tables().iter().map(|table| table.name).collect();
    Err(if with_key.is_empty() {
        format!("there is no table {name:?}, expected one of {}", known.join(", "))
    } else {
        format!("{name:?} is a key of {}; expected a table: {}", with_key.join(", "), known.join(", "))
    })
}

/// Keys of a table as a page shows them: those its writer makes up last.
fn keys(table: &'static Table) -> impl Iterator<Item = &'static Key> {
    table.keys.iter().chain(table.names.map(|own| own.values))
}

fn example(key: &Key) -> String {
    match key.kind {
        _ if key.key.contains(' ') => key.example.to_owned(),
        Kind::Table(_) | Kind::Tables(_) => key.key.to_owned(),
        _ if key.example.is_empty() => key.key.to_owned(),
        _ => format!("{} = {}", key.key, key.example),
    }
}

/// The page for a terminal.
#[must_use]
pub fn text(tables: &[&'static Table]) -> String {
    let mut page = String::new();
    if tables.len() > 1 {
        page.push_str("How values are written\n\n");
        for (what, how) in WRITTEN {
            let _ = writeln!(page, "  {what:<8} {}", wrapped(how, 11));
        }
        page.push('\n');
    }
    for (index, table) in tables.iter().enumerate() {
        if index > 0 {
            page.push('\n');
        }
        let _ = writeln!(page, "{}\n  {}\n", table.header, wrapped(table.about, 2));
        for key in keys(table) {
            let without = match without(key).as_str() {
                "" => String::new(),
                words if words.starts_with("needed") => format!("; {words}"),
                words => format!("; without it: {words}"),
            };
            let _ = writeln!(page, "  {}\n      {}", example(key), wrapped(&format!("{}{without}", value(key)), 6));
            let _ = writeln!(page, "      {}", wrapped(key.about, 6));
        }
        let example = table.example.replace('\n', "\n    ");
        let _ = writeln!(page, "\n  For example:\n\n    {example}");
    }
    page
}

/// A paragraph at most 100 wide, its further lines indented.
fn wrapped(text: &str, indent: usize) -> String {
    let mut lines = String::new();
    let mut width = indent;
    for word in text.split(' ') {
        let letters = word.chars().count();
        if width + 1 + letters > 100 {
            let _ = write!(lines, "\n{:indent$}{word}", "");
            width = indent + letters;
        } else {
            if width > indent {
                lines.push(' ');
            }
            lines.push_str(word);
            width += 1 + letters;
        }
    }
    lines
}

/// The same as a page in Markdown: `examples/keys.md`.
#[must_use]
pub fn markdown() -> String {
    let mut page = String::from(
        "# The keys of a roof file\n\nEvery table with its keys, as `eavewright keys` prints them; `eavewright keys block` prints one \
         table. This page is made from the program's own schema and checked by its tests.\n\n| value | how it is written |\n|---|---|\n",
    );
    for (what, how) in WRITTEN {
        let _ = writeln!(page, "| {what} | {} |", cell(how));
    }
    for table in tables() {
        if std::ptr::eq(table, material_card()) {
            page.push_str("\n# The keys of a material card\n");
        }
        let _ = writeln!(
            page,
            "\n## {}\n\n{}\n",
            table.header.replace("[[", "\\[\\[").replace("]]", "\\]\\]"),
            table.about
        );
        page.push_str("| key | value | without it | meaning | example |\n|---|---|---|---|---|\n");
        for key in keys(table) {
            let example = if key.example.is_empty() { String::new() } else { format!("`{}`", key.example) };
            let _ = writeln!(
                page,
                "| {} | {} | {} | {} | {} |",
                if key.key.contains(' ') { key.key.to_owned() } else { format!("`{}`", key.key) },
                cell(&value(key)),
                cell(&without(key)),
                cell(key.about),
                cell(&example)
            );
        }
        let _ = writeln!(page, "\n```toml\n{}\n```", table.example);
    }
    page
}

fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}

/// The same for a program. Lengths are metres, angles degrees, shares parts of the whole.
#[must_use]
pub fn document(tables: &[&'static Table]) -> Value {
    let table = |table: &&'static Table| {
        json!({
            "table": table.name,
            "header": table.header,
            "about": table.about,
            "keys": keys(table).map(entry).collect::<Vec<_>>(),
            "own_names": table.names.map(|own| naming(own.are)),
            "example": table.example,
        })
    };
    json!({ "format": "eavewright-keys/1", "tables": tables.iter().map(table).collect::<Vec<_>>() })
}

fn entry(key: &Key) -> Value {
    let default = match key.usual {
        Usual::Number(number) => json!(number),
        Usual::Word(word) => json!(word),
        Usual::Flag(flag) => json!(flag),
        Usual::Needed | Usual::Absent(_) => Value::Null,
    };
    let limits = bounds(&key.kind);
    let choices = match key.kind {
        Kind::Choice(words) | Kind::Card(words) => json!(words),
        _ => Value::Null,
    };
    let of = match key.kind {
        Kind::Name(of) | Kind::Of(of) | Kind::AllOf(of, _) => json!(naming(of)),
        _ => Value::Null,
    };
    let unit = match counted(&key.kind) {
        crate::wording::schema::Counted::Length(_) => json!("m"),
        crate::wording::schema::Counted::Angle => json!("degrees"),
        _ => Value::Null,
    };
    json!({
        "key": key.key,
        "value": value(key),
        "unit": unit,
        "needed": key.usual == Usual::Needed,
        "default": default,
        "without": without(key),
        "least": limits.map(|limits| limits.least),
        "most": limits.map(|limits| limits.most),
        "choices": choices,
        "names": of,
        "table": key.table().map(|table| table.name),
        "label": key.label,
        "about": key.about,
        "example": key.example,
        "since": key.since,
    })
}
