//! Walks the tree and collects everything that is wrong. A getter that gives `None` has said why.

use super::bare_unit::BareUnit;
use super::document::Value;
use super::nearest::nearest;
use super::node::{Item, Table, kind_of};
use super::reported::Reported;
use super::schema::{self, limits};
use crate::base::diagnostic::Severity;
use crate::base::schema::{Key, Table as Shape};
use crate::job::model::Stage;
use crate::job::reading::{Beside, Conflict, Counted, Expected, Fault, Problem};
use crate::wording::units::Format;
use std::ops::Range;
use toml::de::DeValue;

/// Gauge of courses where no card states one, metres: the usual strip's.
const USUAL_GAUGE: f64 = 0.143;

/// Collects diagnostics while a file is walked.
pub(super) struct Reader<'d> {
    pub text: &'d str,
    pub units: BareUnit,
    /// Where another file's text begins in this one, with what bare lengths mean from there on.
    pub joined: Option<(usize, BareUnit)>,
    /// Gauge of the covering's courses, metres: what counted courses are multiplied by.
    pub gauge: f64,
    /// Whether numbers were measured.
    pub stage: Stage,
    /// Bearing of the drawing's +y axis, radians clockwise from north.
    pub north: f64,
    pub problems: Vec<Problem>,
    /// Keys that a table seems to mean: where the table starts, and the key. They are not missing as well.
    misspelt: Vec<(usize, &'static str)>,
}

impl<'d> Reader<'d> {
    pub fn new(text: &'d str, units: BareUnit) -> Self {
        Self {
            text,
            units,
            joined: None,
            gauge: USUAL_GAUGE,
            stage: Stage::Measured,
            north: 0.0,
            problems: Vec::new(),
            misspelt: Vec::new(),
        }
    }

    /// What a bare length at a place means.
    pub(crate) fn units_at(&self, span: &Range<usize>) -> BareUnit {
        self.joined.filter(|(from, _)| span.start >= *from).map_or(self.units, |(_, units)| units)
    }

    pub fn report(&mut self, problem: Problem) {
        self.problems.push(problem);
    }

    /// An error at an item, with what is written there.
    pub fn wrong(&mut self, item: &Item<'d>, fault: Fault) {
        let written = self.written(&item.span);
        self.report(Problem::error(item.span.clone(), fault).written(written));
    }

    /// How numbers are told: in the units the file states.
    pub fn format(&self) -> Format {
        match self.units {
            BareUnit::Stated(units) => Format::of(units),
            BareUnit::Missing | BareUnit::Unreadable => Format::default(),
        }
    }

    pub(crate) fn has_errors(&self) -> bool {
        self.problems.iter().any(|problem| problem.severity == Severity::Error)
    }

    /// A place of the file as written, cut to one short line.
    pub fn written(&self, span: &Range<usize>) -> String {
        let text = self.text.get(span.clone()).unwrap_or("").trim();
        let line = text.lines().next().unwrap_or("");
        let short: String = line.chars().take(60).collect();
        if short.len() < text.len() { format!("{short}…") } else { short }
    }

    pub(crate) fn wrong_type(&mut self, item: &Item<'d>, expected: Expected) {
        self.wrong(item, Fault::WrongType { key: item.key.to_owned(), is: kind_of(item.value), expected });
    }

    /// A table of a given shape; tells of keys it does not know.
    pub fn table(&mut self, item: &Item<'d>, shape: &'static Shape) -> Option<Table<'d>> {
        let DeValue::Table(entries) = item.value else {
            self.wrong_type(item, Expected::Table(shape));
            return None;
        };
        let table = Table { shape, entries: Some(entries), span: item.span.clone() };
        if shape.names.is_none() {
            self.check_keys(&table);
        }
        Some(table)
    }

    /// Tells of keys that a table does not know.
    pub(crate) fn check_keys(&mut self, table: &Table<'d>) {
        for item in table.items() {
            if !table.shape.knows(item.key) {
                self.unknown_key(table, &item);
            }
        }
    }

    /// Tells of a key that a table does not know: the nearest it does, or where the key belongs.
    pub(crate) fn unknown_key(&mut self, table: &Table<'d>, item: &Item<'d>) {
        let shape = table.shape;
        let near = nearest(item.key, shape.keys.iter().map(|key| key.key));
        if let Some(near) = near {
            self.misspelt.push((table.span.start, near));
        }
        let all = schema::roof_file().with_inner();
        let belongs = all.into_iter().find(|other| other.knows(item.key) && !std::ptr::eq(*other, shape));
        let fault = Fault::UnknownKey { key: item.key.to_owned(), table: shape, near, belongs };
        self.report(Problem::error(item.key_span.clone(), fault).written(item.key));
    }

    /// Whether a table has one of some keys, if only misspelt.
    pub(crate) fn seems_to_have(&self, table: &Table<'d>, keys: &[&str]) -> bool {
        let meant = |key: &&str| self.misspelt.contains(&(table.span.start, key));
        keys.iter().any(|key| table.has(key) || meant(key))
    }

    /// The keys of a table.
    pub(crate) fn keys_of(table: &Table<'d>) -> Vec<String> {
        table.items().iter().map(|item| item.key.to_owned()).collect()
    }

    /// The entry of a key that must be there.
    pub(crate) fn required(&mut self, table: &Table<'d>, key: &str) -> Option<Item<'d>> {
        let about = table.shape.key(key).map_or("", |key| key.about);
        self.required_as(table, key, Expected::About(about))
    }

    /// The entry of a key that must be there, with what is expected at this very place.
    pub(crate) fn required_as(&mut self, table: &Table<'d>, key: &str, expected: Expected) -> Option<Item<'d>> {
        debug_assert!(table.shape.knows(key), "{} has no key {key}", table.shape.name);
        let item = table.get(key);
        if item.is_none() && !self.seems_to_have(table, &[key]) {
            let there = Self::keys_of(table);
            let fault = Fault::MissingKey { key: key.to_owned(), table: table.shape, there, expected };
            self.report(Problem::error(table.span.clone(), fault));
        }
        item
    }

    /// The table under a key; `Ok(None)` where the key is absent.
    pub(crate) fn table_at(&mut self, parent: &Table<'d>, key: &str) -> Result<Option<Table<'d>>, Reported> {
        let shape = parent.shape.key(key).and_then(Key::table);
        debug_assert!(shape.is_some(), "{} has no table {key}", parent.shape.name);
        let (Some(item), Some(shape)) = (parent.get(key), shape) else { return Ok(None) };
        self.table(&item, shape).map(Some).ok_or(Reported)
    }

    /// The tables of a `[[list]]`; none where the key is absent.
    pub fn tables(&mut self, parent: &Table<'d>, key: &str) -> Vec<Table<'d>> {
        let shape = parent.shape.key(key).and_then(Key::table);
        debug_assert!(shape.is_some(), "{} has no tables {key}", parent.shape.name);
        let (Some(item), Some(shape)) = (parent.get(key), shape) else { return Vec::new() };
        let DeValue::Array(values) = item.value else {
            self.wrong(&item, Fault::NotTables { key: key.to_owned(), is: kind_of(item.value), table: shape });
            return Vec::new();
        };
        values.iter().filter_map(|value| self.table(&item.element(value), shape)).collect()
    }

    /// The elements of a list.
    pub fn list(&mut self, item: &Item<'d>, expected: Expected) -> Option<Vec<Item<'d>>> {
        let DeValue::Array(values) = item.value else {
            self.wrong_type(item, expected);
            return None;
        };
        Some(values.iter().map(|value: &'d Value<'d>| item.element(value)).collect())
    }

    /// A list of exactly `N` elements.
    pub fn exactly<const N: usize>(&mut self, item: &Item<'d>, expected: Expected) -> Option<[Item<'d>; N]> {
        let items = self.list(item, expected.clone())?;
        let count = items.len();
        let array = <[Item<'d>; N]>::try_from(items).ok();
        if array.is_none() {
            let (key, of, expected) = (item.key.to_owned(), Counted::Elements, Ok(expected));
            self.wrong(item, Fault::WrongCount { key, count, of, expected });
        }
        array
    }

    /// Text that says something.
    pub fn words(&mut self, item: &Item<'d>, expected: Expected) -> Option<&'d str> {
        let DeValue::String(text) = item.value else {
            self.wrong_type(item, expected);
            return None;
        };
        if text.trim().is_empty() {
            self.wrong(item, Fault::Empty { key: item.key.to_owned(), expected });
            return None;
        }
        Some(text.as_ref())
    }

    /// Text of at most so many letters.
    pub fn text(&mut self, item: &Item<'d>, expected: Expected, most: usize) -> Option<&'d str> {
        let text = self.words(item, expected.clone())?;
        let letters = text.chars().count();
        if letters <= most {
            return Some(text);
        }
        self.wrong(item, Fault::TooLong { key: item.key.to_owned(), letters, most, expected });
        None
    }

    /// A name: text without spaces at its ends.
    pub fn name(&mut self, item: &Item<'d>) -> Option<String> {
        let name = self.text(item, Expected::Name, limits::NAME)?;
        if name.trim() != name || name.contains(char::is_control) {
            self.wrong(item, Fault::BadName { key: item.key.to_owned(), name: name.trim().to_owned() });
            return None;
        }
        Some(name.to_owned())
    }

    /// True or false.
    pub(crate) fn flag(&mut self, item: &Item<'d>) -> Option<bool> {
        let DeValue::Boolean(flag) = item.value else {
            self.wrong_type(item, Expected::Flag);
            return None;
        };
        Some(*flag)
    }

    /// One of several words.
    pub fn choice<T: Clone>(&mut self, item: &Item<'d>, choices: &[(&'static str, T)]) -> Option<T> {
        let words: Vec<&'static str> = choices.iter().map(|(name, _)| *name).collect();
        let word = self.words(item, Expected::Words(words.clone()))?;
        if let Some((_, value)) = choices.iter().find(|(name, _)| *name == word) {
            return Some(value.clone());
        }
        let near = nearest(word, words.iter().copied());
        self.wrong(item, Fault::UnknownWord { key: item.key.to_owned(), words, near });
        None
    }

    /// Two keys of which only one makes sense.
    pub(crate) fn conflict(&mut self, first: &Item<'d>, second: &Item<'d>, which: Conflict) {
        let keys = [first.key.to_owned(), second.key.to_owned()];
        let error = Problem::error(second.key_span.clone(), Fault::Conflict { which, keys });
        self.report(error.beside(first.key_span.clone(), Beside::Key(first.key.to_owned())));
    }
}
