//! Walks the tree and collects everything that is wrong. A getter that gives `None` has said why.

use super::document::Value;
use super::measures::Told;
use super::nearest::{counted, listed, nearest};
use super::node::{Item, Table, kind_of};
use super::schema::{self, limits};
use crate::base::diagnostic::{Diagnostic, Severity};
use crate::base::schema::{Key, Table as Shape};
use crate::base::units::LengthUnit;
use crate::job::model::Stage;
use crate::wording::units::Words;
use std::ops::Range;
use toml::de::DeValue;

/// What a bare length means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum BareUnit {
    /// As `units` states.
    Stated(LengthUnit),
    /// The file states none.
    Missing,
    /// The file states something that is no unit: told once, bare lengths are let pass.
    Unreadable,
}

/// Gauge of courses where no card states one, metres: the usual strip's.
const USUAL_GAUGE: f64 = 0.143;

/// Collects diagnostics while a file is walked.
pub(super) struct Reader<'d> {
    pub text: &'d str,
    pub units: BareUnit,
    /// Gauge of the covering's courses, metres: what counted courses are multiplied by.
    pub gauge: f64,
    /// Whether numbers were measured.
    pub stage: Stage,
    pub diagnostics: Vec<Diagnostic>,
    /// Keys that a table seems to mean: where the table starts, and the key. They are not missing as well.
    misspelt: Vec<(usize, &'static str)>,
}

impl<'d> Reader<'d> {
    pub fn new(text: &'d str, units: BareUnit) -> Self {
        Self { text, units, gauge: USUAL_GAUGE, stage: Stage::Measured, diagnostics: Vec::new(), misspelt: Vec::new() }
    }

    pub fn report(&mut self, diagnostic: Diagnostic) {
        debug_assert!(super::codes::usual_hint(diagnostic.code).is_some(), "unlisted code {}", diagnostic.code);
        self.diagnostics.push(diagnostic);
    }

    /// How numbers are told: in the units the file states.
    pub fn say(&self) -> Words {
        match self.units {
            BareUnit::Stated(units) => Words::of(units),
            BareUnit::Missing | BareUnit::Unreadable => Words::default(),
        }
    }

    pub fn has_errors(&self) -> bool {
        self.diagnostics.iter().any(|diagnostic| diagnostic.severity == Severity::Error)
    }

    /// A place of the file as written, cut to one short line.
    pub fn written(&self, span: &Range<usize>) -> String {
        let text = self.text.get(span.clone()).unwrap_or("").trim();
        let line = text.lines().next().unwrap_or("");
        let short: String = line.chars().take(60).collect();
        if short.len() < text.len() { format!("{short}…") } else { short }
    }

    pub fn wrong_type(&mut self, item: &Item<'d>, expected: &str) {
        let message = format!("`{}` is {}", item.key, kind_of(item.value));
        let found = self.written(&item.span);
        self.report(Diagnostic::error("wrong-type", item.span.clone(), message).found(found).expected(expected));
    }

    /// A table of a given shape; tells of keys it does not know.
    pub fn table(&mut self, item: &Item<'d>, shape: &'static Shape) -> Option<Table<'d>> {
        let DeValue::Table(entries) = item.value else {
            self.wrong_type(item, &format!("a table: {}", shape.header));
            return None;
        };
        let table = Table { shape, entries: Some(entries), span: item.span.clone() };
        if shape.names.is_none() {
            self.check_keys(&table);
        }
        Some(table)
    }

    /// Tells of keys that a table does not know.
    pub fn check_keys(&mut self, table: &Table<'d>) {
        for item in table.items() {
            if !table.shape.knows(item.key) {
                self.unknown_key(table, &item);
            }
        }
    }

    /// Tells of a key that a table does not know: the nearest it does, or where the key belongs.
    pub fn unknown_key(&mut self, table: &Table<'d>, item: &Item<'d>) {
        let shape = table.shape;
        let message = format!("unknown key `{}` in {}", item.key, shape.header);
        let mut error = Diagnostic::error("unknown-key", item.key_span.clone(), message).found(item.key);
        error = match nearest(item.key, shape.keys.iter().map(|key| key.key)) {
            Some(near) => {
                self.misspelt.push((table.span.start, near));
                error.expected(format!("`{near}`")).hint(format!("did you mean `{near}`?"))
            }
            None => {
                let known: Vec<String> = shape.keys.iter().map(|key| format!("`{}`", key.key)).collect();
                let error = error.expected(format!("one of {}", known.join(", ")));
                let all = schema::roof_file().with_inner();
                match all.iter().find(|other| other.knows(item.key) && !std::ptr::eq(**other, shape)) {
                    Some(other) => error.hint(format!("`{}` belongs to {}", item.key, other.header)),
                    None => error,
                }
            }
        };
        self.report(error);
    }

    /// Whether a table has one of some keys, if only misspelt.
    pub fn seems_to_have(&self, table: &Table<'d>, keys: &[&str]) -> bool {
        let meant = |key: &&str| self.misspelt.contains(&(table.span.start, key));
        keys.iter().any(|key| table.has(key) || meant(key))
    }

    /// The keys of a table as messages show them.
    pub fn keys_of(table: &Table<'d>) -> String {
        let keys: Vec<String> = table.items().iter().map(|item| format!("`{}`", item.key)).collect();
        if keys.is_empty() { "nothing".to_owned() } else { format!("{} alone", keys.join(", ")) }
    }

    /// The entry of a key that must be there.
    pub fn required(&mut self, table: &Table<'d>, key: &str) -> Option<Item<'d>> {
        let about = table.shape.key(key).map_or("", |key| key.about);
        self.required_as(table, key, about)
    }

    /// The entry of a key that must be there, with what is expected in words for this very place.
    pub fn required_as(&mut self, table: &Table<'d>, key: &str, expected: &str) -> Option<Item<'d>> {
        debug_assert!(table.shape.knows(key), "{} has no key {key}", table.shape.name);
        let item = table.get(key);
        if item.is_none() && !self.seems_to_have(table, &[key]) {
            let message = format!("{} has no `{key}`", table.shape.header);
            let found = Self::keys_of(table);
            let error = Diagnostic::error("missing-key", table.span.clone(), message);
            self.report(error.found(found).expected(format!("`{key}`: {expected}")));
        }
        item
    }

    /// The table under a key; `Ok(None)` where the key is absent.
    pub fn table_at(&mut self, parent: &Table<'d>, key: &str) -> Result<Option<Table<'d>>, Told> {
        let shape = parent.shape.key(key).and_then(Key::table);
        debug_assert!(shape.is_some(), "{} has no table {key}", parent.shape.name);
        let (Some(item), Some(shape)) = (parent.get(key), shape) else { return Ok(None) };
        self.table(&item, shape).map(Some).ok_or(Told)
    }

    /// The tables of a `[[list]]`; none where the key is absent.
    pub fn tables(&mut self, parent: &Table<'d>, key: &str) -> Vec<Table<'d>> {
        let shape = parent.shape.key(key).and_then(Key::table);
        debug_assert!(shape.is_some(), "{} has no tables {key}", parent.shape.name);
        let (Some(item), Some(shape)) = (parent.get(key), shape) else { return Vec::new() };
        let DeValue::Array(values) = item.value else {
            let message = format!("`{key}` is {}", kind_of(item.value));
            let found = self.written(&item.span);
            let mut error = Diagnostic::error("wrong-type", item.span.clone(), message)
                .found(found)
                .expected(format!("a list of tables: {}", shape.header));
            if matches!(item.value, DeValue::Table(_)) && shape.header.starts_with("[[") {
                error = error.hint(format!("there may be several: write {} in double brackets", shape.header));
            }
            self.report(error);
            return Vec::new();
        };
        values.iter().filter_map(|value| self.table(&item.element(value), shape)).collect()
    }

    /// The elements of a list.
    pub fn list(&mut self, item: &Item<'d>, expected: &str) -> Option<Vec<Item<'d>>> {
        let DeValue::Array(values) = item.value else {
            self.wrong_type(item, expected);
            return None;
        };
        Some(values.iter().map(|value: &'d Value<'d>| item.element(value)).collect())
    }

    /// A list of exactly `N` elements.
    pub fn exactly<const N: usize>(&mut self, item: &Item<'d>, expected: &str) -> Option<[Item<'d>; N]> {
        let items = self.list(item, expected)?;
        let count = items.len();
        let array = <[Item<'d>; N]>::try_from(items).ok();
        if array.is_none() {
            let message = format!("`{}` has {}", item.key, counted(count, "element"));
            let found = self.written(&item.span);
            self.report(Diagnostic::error("wrong-count", item.span.clone(), message).found(found).expected(expected));
        }
        array
    }

    /// Text that says something.
    pub fn words(&mut self, item: &Item<'d>, expected: &str) -> Option<&'d str> {
        let DeValue::String(text) = item.value else {
            self.wrong_type(item, expected);
            return None;
        };
        if text.trim().is_empty() {
            let message = format!("`{}` is empty", item.key);
            let error = Diagnostic::error("empty", item.span.clone(), message);
            let found = self.written(&item.span);
            self.report(error.found(found).expected(expected));
            return None;
        }
        Some(text.as_ref())
    }

    /// Text of at most so many letters.
    pub fn text(&mut self, item: &Item<'d>, expected: &str, most: usize) -> Option<&'d str> {
        let text = self.words(item, expected)?;
        let letters = text.chars().count();
        if letters <= most {
            return Some(text);
        }
        let message = format!("`{}` has {letters} letters", item.key);
        let found = self.written(&item.span);
        let error = Diagnostic::error("too-long", item.span.clone(), message);
        self.report(error.found(found).expected(format!("{expected}, at most {most} letters")));
        None
    }

    /// A name: text without spaces at its ends.
    pub fn name(&mut self, item: &Item<'d>) -> Option<String> {
        let name = self.text(item, "a name in quotes", limits::NAME)?;
        if name.trim() != name || name.contains(char::is_control) {
            let message = format!("`{}` is a name with stray spaces or control characters", item.key);
            let found = self.written(&item.span);
            let error = Diagnostic::error("bad-name", item.span.clone(), message);
            self.report(error.found(found).expected(format!("{:?}", name.trim())));
            return None;
        }
        Some(name.to_owned())
    }

    /// True or false.
    pub fn flag(&mut self, item: &Item<'d>) -> Option<bool> {
        let DeValue::Boolean(flag) = item.value else {
            self.wrong_type(item, "true or false, without quotes");
            return None;
        };
        Some(*flag)
    }

    /// One of several words.
    pub fn choice<T: Clone>(&mut self, item: &Item<'d>, choices: &[(&'static str, T)]) -> Option<T> {
        let names = || choices.iter().map(|(name, _)| *name);
        let expected = format!("one of {}", listed(names(), usize::MAX));
        let word = self.words(item, &expected)?;
        if let Some((_, value)) = choices.iter().find(|(name, _)| *name == word) {
            return Some(value.clone());
        }
        let message = format!("`{}` is not one of the words it may be", item.key);
        let found = self.written(&item.span);
        let mut error = Diagnostic::error("unknown-word", item.span.clone(), message).found(found).expected(expected);
        if let Some(near) = nearest(word, names()) {
            error = error.hint(format!("did you mean {near:?}?"));
        }
        self.report(error);
        None
    }

    /// Two keys of which only one makes sense.
    pub fn conflict(&mut self, first: &Item<'d>, second: &Item<'d>, message: String, expected: &str) {
        let found = format!("`{}` and `{}`", first.key, second.key);
        let error = Diagnostic::error("conflicting-keys", second.key_span.clone(), message);
        self.report(error.found(found).expected(expected).label(first.key_span.clone(), format!("`{}`", first.key)));
    }
}
