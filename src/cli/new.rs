//! Roof files to begin from: `new SHAPE`. What a shape looks like and what to measure of it stands in its sketch; every key
//! is explained by the schema, where it first comes.

use super::new_shapes::{Entry, SHAPES, Shape};
use crate::base::schema::{Key, Kind, Table};
use crate::input::schema::roof_file;
use crate::wording::schema::value;
use std::fmt::Write;

/// A roof file to begin from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Template {
    /// What it is asked for by.
    pub shape: &'static str,
    /// One line for people.
    pub about: &'static str,
    /// A commented roof file that reads without a complaint.
    pub text: String,
}

/// A template of every shape there is.
#[must_use]
pub fn templates() -> Vec<Template> {
    let shapes = SHAPES.iter().map(|shape| Template { shape: shape.name, about: shape.about, text: text(shape) });
    // What is done on site and at home with a photo is told in its own order.
    let photo = Template {
        shape: "photo",
        about: "slopes marked in a photo, with tapes",
        text: include_str!("templates/photo.toml").to_owned(),
    };
    shapes.chain([photo]).collect()
}

/// The template of a shape. The name is taken without regard to case, hyphens and blanks: `lean-to`, `L shape`.
///
/// # Errors
/// The shapes there are, in a sentence.
pub fn template(shape: &str) -> Result<Template, String> {
    let plain = |text: &str| text.to_lowercase().replace(['-', '_', ' '], "");
    let wanted = plain(shape);
    templates().into_iter().find(|template| template.shape == wanted).ok_or_else(|| {
        let shapes: Vec<String> =
            templates().iter().map(|template| format!("{} ({})", template.shape, template.about)).collect();
        format!("there is no shape {shape:?}, expected one of {}", shapes.join(", "))
    })
}

/// Where comments behind a value begin, in letters.
const COLUMN: usize = 36;

/// A comment that would end behind this stands above its line instead.
const WIDTH: usize = 118;

/// A template under way: which keys are explained already.
struct Page {
    text: String,
    explained: Vec<&'static str>,
    /// Tables and lists of rows that are explained already.
    tables: Vec<&'static str>,
    /// Keys of rows that are.
    rows_explained: Vec<&'static str>,
}

fn text(shape: &Shape) -> String {
    let mut page =
        Page { text: shape.sketch.to_owned(), explained: Vec::new(), tables: Vec::new(), rows_explained: Vec::new() };
    let root = roof_file();
    for entry in shape.entries {
        match entry {
            Entry::Key(key, value) => page.key(root, key, value),
            Entry::Table(name, keys) => {
                let Some(table) = root.key(name).and_then(Key::table) else { continue };
                let about = if page.first(table.name) { comment(table.about) } else { String::new() };
                let _ = writeln!(page.text, "\n{about}{}", table.header);
                keys.iter().for_each(|(key, value)| page.key(table, key, value));
            }
            Entry::Rows(name, rows) => page.rows(name, rows),
            Entry::Own(lines) => page.text.push_str(lines),
        }
    }
    page.text
}

impl Page {
    /// Whether a table comes for the first time.
    fn first(&mut self, table: &'static str) -> bool {
        let is_first = !self.tables.contains(&table);
        if is_first {
            self.tables.push(table);
        }
        is_first
    }

    /// A key with its value; explained where it first comes.
    fn key(&mut self, table: &'static Table, key: &str, value: &str) {
        let line = format!("{key} = {value}");
        let Some(known) = table.key(key).filter(|known| !self.explained.contains(&known.key)) else {
            debug_assert!(table.knows(key), "{} has no key {key}", table.name);
            let _ = writeln!(self.text, "{line}");
            return;
        };
        self.explained.push(known.key);
        let about = about(known);
        let behind = format!("{line:COLUMN$}# {about}");
        if line.chars().count() < COLUMN && behind.chars().count() <= WIDTH {
            let _ = writeln!(self.text, "{behind}");
        } else {
            let _ = writeln!(self.text, "{}{line}", comment(&about));
        }
    }

    /// A list of tables a line each; its keys are explained above it.
    fn rows(&mut self, name: &str, rows: &[&[(&str, &str)]]) {
        let block = roof_file().key("block").and_then(Key::table);
        let Some(table) = block.and_then(|block| block.key(name)).and_then(Key::table) else { return };
        let mut used: Vec<&'static Key> = Vec::new();
        for (key, _) in rows.iter().copied().flatten() {
            debug_assert!(table.knows(key), "{} has no key {key}", table.name);
            used.extend(table.key(key).filter(|known| used.iter().all(|other| other.key != known.key)));
        }
        if self.first(table.name) {
            self.text.push_str(&comment(table.about));
        }
        for key in used {
            if self.rows_explained.contains(&key.key) {
                continue;
            }
            self.rows_explained.push(key.key);
            self.text.push_str(&comment(&format!("  {}: {}", key.key, about(key))));
        }
        let _ = writeln!(self.text, "{name} = [");
        for row in rows {
            let keys: Vec<String> = row.iter().map(|(key, value)| format!("{key} = {value}")).collect();
            let _ = writeln!(self.text, "  {{ {} }},", keys.join(", "));
        }
        self.text.push_str("]\n");
    }
}

/// What a key means, and how its value may be written where that is not plain.
fn about(key: &Key) -> String {
    match key.kind {
        Kind::Choice(_) | Kind::Pitch | Kind::PitchOrUnknown | Kind::Turn | Kind::Card(_) => {
            format!("{} ({})", key.about, value(key))
        }
        _ => key.about.to_owned(),
    }
}

/// Comment lines of at most [`WIDTH`] letters.
fn comment(words: &str) -> String {
    let indent = words.len() - words.trim_start().len();
    let mut lines = String::new();
    let mut line = format!("# {}", " ".repeat(indent));
    let start = line.len();
    for word in words.split_whitespace() {
        if line.len() > start && line.chars().count() + 1 + word.chars().count() > WIDTH {
            let _ = writeln!(lines, "{line}");
            line = format!("# {}", " ".repeat(indent + 2));
        } else if line.len() > start {
            line.push(' ');
        }
        line.push_str(word);
    }
    let _ = writeln!(lines, "{line}");
    lines
}
