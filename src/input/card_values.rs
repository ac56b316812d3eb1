//! A job's card: by name or by path, and single values that the roof file states in place of the card's.

use super::bare_unit::BareUnit;
use super::card;
use super::document::parse;
use super::files::{Files, unread};
use super::nearest::nearest;
use super::node::{Item, Table};
use super::reader::Reader;
use super::reported::Reported;
use super::schema::cards::CARD;
use crate::base::diagnostic::Severity;
use crate::base::schema::{Key, Kind, Table as Shape};
use crate::base::units::LengthUnit;
use crate::job::reading::{Expected, Fault, Named, Unread};
use crate::takeoff::card::{Card, CardValue, OwnValue};
use std::borrow::Cow;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A card with the text it was read from.
pub(super) struct ReadCard {
    pub card: Card,
    text: Cow<'static, str>,
}

impl ReadCard {
    /// A card that comes with the tool.
    pub fn named(name: &str) -> Option<Self> {
        Some(Self { card: card::named(name)?, text: Cow::Borrowed(card::text(name)?) })
    }
}

/// A value that takes the place of a card's: its table, and its key in it; a list of the card has none.
struct Replaced {
    table: &'static Key,
    key: Option<&'static Key>,
}

impl<'d> Reader<'d> {
    /// A card by name or by path.
    pub(super) fn card(&mut self, item: &Item<'d>, files: &dyn Files) -> Option<ReadCard> {
        let known: Vec<&'static str> = card::names().collect();
        let name = self.words(item, Expected::Card(known.clone()))?;
        if let Some(card) = ReadCard::named(name) {
            return Some(card);
        }
        let is_path = name.contains(['/', '\\', '.']);
        if !is_path {
            let near = nearest(name, card::names()).map(str::to_owned);
            let known = known.into_iter().map(str::to_owned).collect();
            self.wrong(item, Fault::UnknownName { of: Named::Card, name: name.to_owned(), known, near });
            return None;
        }
        let why = match files.read(name).map(String::from_utf8) {
            Ok(Ok(text)) => {
                let (card, problems) = card::problems(name, &text);
                self.problems.extend(problems);
                return card.map(|card| ReadCard { card, text: Cow::Owned(text) });
            }
            Ok(Err(_)) => Unread::NotText,
            Err(error) => unread(&error),
        };
        self.wrong(item, Fault::CardFile { name: name.to_owned(), why, known });
        None
    }

    /// The card with the values of `card_values` in place of its own.
    pub(super) fn with_own_values(
        &mut self,
        covering: &Table<'d>,
        read: Option<ReadCard>,
    ) -> Result<Option<ReadCard>, Reported> {
        match (covering.get("card_values"), read) {
            (Some(item), Some(read)) => self.own_values(&item, read).map(Some).ok_or(Reported),
            (_, read) => Ok(read),
        }
    }

    fn own_values(&mut self, item: &Item<'d>, read: ReadCard) -> Option<ReadCard> {
        let values = self.table(item, &CARD)?;
        // Both texts are read as one, the card's first: what is wrong then tells by its place which of them it is in.
        let joined = format!("{}\n{}", read.text, self.text);
        let from = read.text.len() + 1;
        let mut tree = parse(&joined[..from]).tree;
        let card_tree = tree.clone();
        let before = self.problems.len();
        let replaced = self.replace(&values, &read.card.name, from, &mut tree);
        if self.problems.len() > before {
            return None;
        }
        let mut reader = Reader::new(&joined, BareUnit::Stated(LengthUnit::Metre));
        reader.joined = Some((from, self.units));
        let card = reader.material_card(&Table { shape: &CARD, entries: Some(&tree), span: 0..0 });
        let own = replaced.iter().map(|replaced| reader.own_value(replaced, &tree, &card_tree)).collect();
        let here = |span: &Range<usize>| span.start.checked_sub(from).map(|start| start..span.end - from);
        for mut problem in reader.problems {
            // What of the card no longer goes with a value is told at the values.
            if let Some(span) = here(&problem.span) {
                problem.span = span;
            } else {
                problem.span = item.key_span.clone();
                problem.written = Some(self.written(&item.key_span));
            }
            problem.beside = problem.beside.into_iter().filter_map(|(span, what)| Some((here(&span)?, what))).collect();
            self.problems.push(problem);
        }
        let is_fine = self.problems[before..].iter().all(|problem| problem.severity != Severity::Error);
        let card = card.filter(|_| is_fine)?;
        Some(ReadCard { card: Card { own, ..card }, text: read.text })
    }

    /// Puts values into a card's tree, their places moved on by `from`.
    fn replace<'c>(&mut self, values: &Table<'d>, card: &str, from: usize, tree: &mut DeTable<'c>) -> Vec<Replaced>
    where
        'd: 'c,
    {
        let mut replaced = Vec::new();
        for item in values.items() {
            let Some(key) = CARD.key(item.key) else { continue };
            let Some(shape) = key.table() else {
                self.wrong(&item, Fault::CardValueFixed { key: item.key.to_owned() });
                continue;
            };
            let there = tree.get_mut(item.key).map(Spanned::get_mut);
            match (&key.kind, there) {
                (Kind::Tables(_), _) => {
                    tree.insert(spanned(item.key, &item.key_span, from), moved(item.value, &item.span, from));
                    replaced.push(Replaced { table: key, key: None });
                }
                (_, Some(DeValue::Table(inner))) => {
                    let Some(table) = self.table(&item, shape) else { continue };
                    for value in table.items() {
                        let Some(own) = shape.key(value.key) else { continue };
                        inner.insert(spanned(value.key, &value.key_span, from), moved(value.value, &value.span, from));
                        replaced.push(Replaced { table: key, key: Some(own) });
                    }
                }
                _ => {
                    let is_table = |key: &&Key| matches!(key.kind, Kind::Table(_)) && tree.contains_key(key.key);
                    let there = CARD.keys.iter().filter(is_table).filter_map(Key::table).map(|table| table.header);
                    let there = there.collect();
                    self.wrong(&item, Fault::NotOnThisCard { table: shape.header, card: card.to_owned(), there });
                }
            }
        }
        replaced
    }

    /// What holds and what the card says, as they are told.
    fn own_value(&mut self, replaced: &Replaced, own: &'d DeTable<'d>, card: &'d DeTable<'d>) -> OwnValue {
        let of = replaced
            .table
            .table()
            .map_or("", |table: &Shape| if replaced.key.is_some() { table.one } else { table.many });
        let root = |entries| Table { shape: &CARD, entries: Some(entries), span: 0..0 };
        let [own, card] = [own, card].map(|entries| self.told(replaced, &root(entries)));
        let label = replaced.key.map_or("", |key| key.label);
        OwnValue { of, label, own: own.unwrap_or(CardValue::Entries(0)), card }
    }

    fn told(&mut self, replaced: &Replaced, root: &Table<'d>) -> Option<CardValue> {
        let item = root.get(replaced.table.key)?;
        let (DeValue::Table(entries), Some(key)) = (item.value, replaced.key) else {
            let DeValue::Array(entries) = item.value else { return None };
            return Some(CardValue::Entries(entries.len()));
        };
        let shape = replaced.table.table()?;
        let item = Table { shape, entries: Some(entries), span: item.span }.get(key.key)?;
        if let DeValue::Array(entries) = item.value {
            return Some(CardValue::Entries(entries.len()));
        }
        // What is wrong with it has been told.
        let known = self.problems.len();
        let value = match &key.kind {
            Kind::Length(_) => self.number_of(key, &item).map(CardValue::Length),
            Kind::Angle(_) | Kind::RulePitch | Kind::Pitch | Kind::Bearing => {
                self.number_of(key, &item).map(CardValue::Angle)
            }
            Kind::Share(_) => self.number_of(key, &item).map(CardValue::Share),
            Kind::Number(_) => self.number_of(key, &item).map(CardValue::Number),
            Kind::Count(bounds) => self.count(&item, bounds).map(|count| CardValue::Number(f64::from(count))),
            _ => Some(CardValue::Words(self.written(&item.span).trim_matches('"').to_owned())),
        };
        self.problems.truncate(known);
        value
    }
}

fn spanned<'d>(key: &'d str, span: &Range<usize>, from: usize) -> Spanned<Cow<'d, str>> {
    Spanned::new(span.start + from..span.end + from, Cow::Borrowed(key))
}

/// A value whose places, and those within it, lie further on.
fn moved<'d>(value: &DeValue<'d>, span: &Range<usize>, from: usize) -> Spanned<DeValue<'d>> {
    let value = match value {
        DeValue::Array(items) => {
            DeValue::Array(items.iter().map(|item| moved(item.get_ref(), &item.span(), from)).collect())
        }
        DeValue::Table(entries) => DeValue::Table(
            entries
                .iter()
                .map(|(key, value)| {
                    let at = key.span();
                    let key = Spanned::new(at.start + from..at.end + from, key.get_ref().clone());
                    (key, moved(value.get_ref(), &value.span(), from))
                })
                .collect(),
        ),
        other => other.clone(),
    };
    Spanned::new(span.start + from..span.end + from, value)
}
