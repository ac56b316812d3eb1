//! Values of keys, each read as the schema says: its kind, its bounds, what holds without it.

use super::node::{Item, Table};
use super::reader::Reader;
use super::reported::Reported;
use crate::base::schema::{Key, Kind, Usual};
use crate::base::units::Pitch;
use crate::job::reading::Expected;

impl<'d> Reader<'d> {
    fn entry(table: &Table<'d>, key: &str) -> Option<&'static Key> {
        let entry = table.shape.key(key);
        debug_assert!(entry.is_some(), "{} has no key {key}", table.shape.name);
        entry
    }

    /// An entry that must be there if the schema says so: `Ok(None)` where it may be absent and is.
    fn item(&mut self, table: &Table<'d>, entry: &'static Key) -> Result<Option<Item<'d>>, Reported> {
        if entry.usual == Usual::Needed {
            return self.required(table, entry.key).map(Some).ok_or(Reported);
        }
        Ok(table.get(entry.key))
    }

    /// A number of any kind: metres, radians, a share, as written.
    pub fn number_of(&mut self, entry: &'static Key, item: &Item<'d>) -> Option<f64> {
        match &entry.kind {
            Kind::Length(bounds) => self.length(item, bounds),
            Kind::Angle(bounds) => self.angle(item, bounds),
            Kind::Share(bounds) => self.share(item, bounds),
            Kind::Number(bounds) => self.number(item, bounds),
            Kind::Bearing => self.bearing(item),
            Kind::RulePitch => self.rule_pitch(item),
            Kind::Pitch => self.pitch(item).map(Pitch::radians),
            other => {
                debug_assert!(false, "`{}` is {other:?}, which is no number", entry.key);
                None
            }
        }
    }

    /// A number, if it is there.
    pub(crate) fn maybe(&mut self, table: &Table<'d>, key: &str) -> Result<Option<f64>, Reported> {
        let Some(entry) = Self::entry(table, key) else { return Ok(None) };
        match self.item(table, entry)? {
            Some(item) => self.number_of(entry, &item).map(Some).ok_or(Reported),
            None => Ok(None),
        }
    }

    /// A number that must be there, or that has a usual value.
    pub fn value(&mut self, table: &Table<'d>, key: &str) -> Option<f64> {
        let read = self.maybe(table, key).ok()?;
        let entry = Self::entry(table, key)?;
        let usual = match (entry.usual, &entry.kind) {
            (Usual::Number(degrees), Kind::Angle(_) | Kind::Bearing | Kind::RulePitch) => Some(degrees.to_radians()),
            (Usual::Number(number), _) => Some(number),
            _ => None,
        };
        debug_assert!(read.or(usual).is_some(), "`{key}` has no usual value");
        read.or(usual)
    }

    /// A whole number, if it is there.
    pub(crate) fn maybe_count(&mut self, table: &Table<'d>, key: &str) -> Result<Option<u32>, Reported> {
        let Some(entry) = Self::entry(table, key) else { return Ok(None) };
        let Kind::Count(bounds) = &entry.kind else {
            debug_assert!(false, "`{key}` is no count");
            return Ok(None);
        };
        match self.item(table, entry)? {
            Some(item) => self.count(&item, bounds).map(Some).ok_or(Reported),
            None => Ok(None),
        }
    }

    /// A whole number that must be there, or that has a usual value.
    pub fn whole(&mut self, table: &Table<'d>, key: &str) -> Option<u32> {
        let read = self.maybe_count(table, key).ok()?;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let usual = match Self::entry(table, key)?.usual {
            Usual::Number(number) => Some(number as u32),
            _ => None,
        };
        debug_assert!(read.or(usual).is_some(), "`{key}` has no usual value");
        read.or(usual)
    }

    /// Lengths or numbers in a list of a fixed length, if it is there.
    pub(crate) fn maybe_list<const N: usize>(
        &mut self,
        table: &Table<'d>,
        key: &str,
    ) -> Result<Option<[f64; N]>, Reported> {
        let Some(entry) = Self::entry(table, key) else { return Ok(None) };
        match self.item(table, entry)? {
            Some(item) => self.numbers(entry, &item).map(Some).ok_or(Reported),
            None => Ok(None),
        }
    }

    /// Lengths in a list of any number of them; none where it is not there.
    pub(crate) fn maybe_lengths(&mut self, table: &Table<'d>, key: &str) -> Option<Vec<f64>> {
        let entry = Self::entry(table, key)?;
        let Kind::AnyLengths(bounds) = &entry.kind else {
            debug_assert!(false, "`{key}` is no list of lengths");
            return Some(Vec::new());
        };
        let Some(item) = self.item(table, entry).ok()? else { return Some(Vec::new()) };
        let items = self.list(&item, Expected::Lengths)?;
        let read: Vec<Option<f64>> = items.iter().map(|item| self.length(item, bounds)).collect();
        read.into_iter().collect()
    }

    /// Lengths or numbers of an entry's kind, so many.
    pub fn numbers<const N: usize>(&mut self, entry: &Key, item: &Item<'d>) -> Option<[f64; N]> {
        let items: [Item<'d>; N] = self.exactly(item, Expected::About(entry.about))?;
        let read = items.map(|item| match &entry.kind {
            Kind::Lengths(_, bounds) | Kind::Point(_, bounds) | Kind::Outline(bounds) => self.length(&item, bounds),
            Kind::Numbers(_, bounds) | Kind::Pixels(bounds) => self.number(&item, bounds),
            other => {
                debug_assert!(false, "`{}` is {other:?}, which is no list of numbers", entry.key);
                None
            }
        });
        if read.iter().any(Option::is_none) { None } else { Some(read.map(Option::unwrap_or_default)) }
    }

    /// True or false; as the schema says where it is absent.
    pub(crate) fn switch(&mut self, table: &Table<'d>, key: &str) -> Option<bool> {
        let entry = Self::entry(table, key)?;
        match self.item(table, entry).ok()? {
            Some(item) => self.flag(&item),
            None => Some(entry.usual == Usual::Flag(true)),
        }
    }

    /// One of the words of the schema, if it is there; `pairs` says what each is read as.
    pub(crate) fn maybe_word<T: Clone>(
        &mut self,
        table: &Table<'d>,
        key: &str,
        pairs: &[(&'static str, T)],
    ) -> Result<Option<T>, Reported> {
        let Some(entry) = Self::entry(table, key) else { return Ok(None) };
        let is_same = |words: &[&str]| words.iter().eq(pairs.iter().map(|(word, _)| word));
        debug_assert!(matches!(&entry.kind, Kind::Choice(words) if is_same(words)), "words of `{key}`");
        let given = match self.item(table, entry)? {
            Some(item) => Some(self.choice(&item, pairs).ok_or(Reported)?),
            None => None,
        };
        let usual = |(word, _): &&(&'static str, T)| entry.usual == Usual::Word(word);
        Ok(given.or_else(|| pairs.iter().find(usual).map(|(_, value)| value.clone())))
    }

    /// One of the words of the schema, which must be there or has a usual one.
    pub fn word<T: Clone>(&mut self, table: &Table<'d>, key: &str, pairs: &[(&'static str, T)]) -> Option<T> {
        let read = self.maybe_word(table, key, pairs).ok()?;
        debug_assert!(read.is_some(), "`{key}` has no usual word");
        read
    }

    /// Text for people, if it is there or has a usual one.
    pub(crate) fn maybe_text(&mut self, table: &Table<'d>, key: &str) -> Result<Option<String>, Reported> {
        let Some(entry) = Self::entry(table, key) else { return Ok(None) };
        let Kind::Text(most) = entry.kind else {
            debug_assert!(false, "`{key}` is no text");
            return Ok(None);
        };
        match (self.item(table, entry)?, entry.usual) {
            (Some(item), _) => {
                self.text(&item, Expected::About(entry.about), most).map(|text| Some(text.to_owned())).ok_or(Reported)
            }
            (None, Usual::Word(word)) => Ok(Some(word.to_owned())),
            (None, _) => Ok(None),
        }
    }

    /// Text for people that must be there or has a usual one.
    pub(crate) fn text_at(&mut self, table: &Table<'d>, key: &str) -> Option<String> {
        let read = self.maybe_text(table, key).ok()?;
        debug_assert!(read.is_some(), "`{key}` has no usual text");
        read
    }
}
