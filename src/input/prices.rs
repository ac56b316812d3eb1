//! `[prices]`, and price files that jobs share.

use super::bare_unit::BareUnit;
use super::card;
use super::document::parse;
use super::files::{Files, unread};
use super::nearest::nearest;
use super::node::{Item, Table};
use super::reader::Reader;
use super::reported::Reported;
use super::schema::covering::{PRICE_PER, PRICED, PRICES};
use super::schema::words::PER;
use crate::base::diagnostic::{Diagnostic, OtherFile, Severity};
use crate::base::order::SortByNumber as _;
use crate::base::schema::Kind;
use crate::base::units::LengthUnit;
use crate::job::reading::{Conflict, Expected, Fault, Problem, Unread};
use crate::takeoff::prices::{Hours, ItemPrice, Operation, Prices};
use crate::wording;
use crate::wording::units::Format;
use std::sync::Arc;
use toml::de::DeValue;

/// Whether a key is the line of a card's own covering: of the job's cards; where several jobs share the file, or a card is
/// not known, of any that the tool has or that looks like no other key.
fn is_card(key: &str, cards: Option<&[String]>) -> bool {
    match cards {
        Some(cards) => cards.iter().any(|card| card == key),
        None => card::names().any(|known| known == key) || nearest(key, PRICED.iter().copied()).is_none(),
    }
}

/// Reads a price file. Diagnostics carry its name and text, their spans count in it. Gives no prices exactly when one of
/// them is an error.
#[must_use]
pub fn read(name: &str, text: &str) -> (Option<Prices>, Vec<Diagnostic>) {
    let (prices, problems) = problems(name, text);
    let format = Format::default();
    (prices, problems.iter().map(|problem| wording::reading::diagnostic(problem, format)).collect())
}

/// The same, with what is wrong as data.
fn problems(name: &str, text: &str) -> (Option<Prices>, Vec<Problem>) {
    let document = parse(text);
    let mut reader = Reader::new(text, BareUnit::Stated(LengthUnit::Metre));
    let root = Table { shape: &PRICES, entries: Some(&document.tree), span: 0..0 };
    if let Some(item) = root.get("file") {
        reader.report(Problem::warning(item.key_span, Fault::FurtherPriceFile));
    }
    let prices = reader.price_table(&root, None);
    let mut problems = super::problems::together(document.errors, reader.problems, &document.torn);
    let file = Arc::new(OtherFile { name: name.to_owned(), text: text.to_owned() });
    for problem in &mut problems {
        problem.file = Some(Arc::clone(&file));
    }
    let has_errors = problems.iter().any(|problem| problem.severity == Severity::Error);
    (prices.filter(|_| !has_errors), problems)
}

impl<'d> Reader<'d> {
    /// `[prices]`: the file it names first, then its own.
    pub fn prices(&mut self, root: &Table<'d>, cards: Option<&[String]>, files: &dyn Files) -> Option<Prices> {
        let Some(item) = root.get("prices") else { return Some(Prices::default()) };
        let DeValue::Table(entries) = item.value else {
            self.wrong_type(&item, Expected::PriceTable);
            return None;
        };
        let table = Table { shape: &PRICES, entries: Some(entries), span: item.span.clone() };
        let shared = self.optional(&table, "file", |reader, item| reader.shared_prices(item, files));
        let own = self.price_table(&table, cards)?;
        let shared = shared.ok()?.unwrap_or_default();
        let mut items = shared.items;
        items.extend(own.items);
        // One of the two holds; the job's own goes before the file's.
        let (markup, margin) = match (own.markup, own.margin) {
            (None, None) => (shared.markup, shared.margin),
            own => own,
        };
        Some(Prices {
            currency: own.currency.or(shared.currency),
            dated: own.dated.or(shared.dated),
            items,
            pitch_bands: if own.pitch_bands.is_empty() { shared.pitch_bands } else { own.pitch_bands },
            hours: own.hours.or(shared.hours),
            markup,
            margin,
            tax: own.tax.or(shared.tax),
            left_out: Vec::new(),
        })
    }

    fn shared_prices(&mut self, item: &Item<'d>, files: &dyn Files) -> Option<Prices> {
        let name = self.words(item, Expected::PriceFile)?;
        let why = match files.read(name).map(String::from_utf8) {
            Ok(Ok(text)) => {
                let (prices, problems) = problems(name, &text);
                self.problems.extend(problems);
                return prices;
            }
            Ok(Err(_)) => Unread::NotText,
            Err(error) => unread(&error),
        };
        self.wrong(item, Fault::PriceFile { name: name.to_owned(), why });
        None
    }

    fn price_table(&mut self, table: &Table<'d>, cards: Option<&[String]>) -> Option<Prices> {
        let mut prices = Prices::default();
        let mut fine = true;
        for item in table.items() {
            let entry = PRICES.key(item.key).or_else(|| {
                let own = PRICES.names.filter(|_| is_card(item.key, cards));
                own.map(|own| own.values)
            });
            let Some(entry) = entry else {
                self.unknown_key(table, &item);
                fine = false;
                continue;
            };
            if let Kind::Price(_, bounds) = &entry.kind {
                let read = match item.value {
                    DeValue::Table(_) => self.price_by_unit(&item),
                    _ => self.number(&item, bounds).map(|each| ItemPrice::new(item.key, each)),
                };
                fine &= read.is_some();
                prices.items.extend(read);
            }
        }
        let currency = self.maybe_text(table, "currency");
        let dated = self.optional(table, "dated", Self::date);
        let markup = self.maybe(table, "markup");
        let margin = self.maybe(table, "margin");
        if let (Some(markup), Some(margin)) = (table.get("markup"), table.get("margin")) {
            self.conflict(&markup, &margin, Conflict::MarkupAndMargin);
            fine = false;
        }
        let tax = self.maybe(table, "tax");
        let bands = if table.has("pitch_band") { self.pitch_bands(table) } else { Some(Vec::new()) };
        let hours = self.hours(table);
        if let (Some(hours), Some(by_area)) =
            (table.get("hours"), table.items().into_iter().find(|item| item.key.starts_with("labour-")))
        {
            self.conflict(&hours, &by_area, Conflict::HoursAndLabour);
            fine = false;
        }
        prices.currency = currency.ok()?;
        prices.dated = dated.ok()?;
        prices.markup = markup.ok()?;
        prices.margin = margin.ok()?;
        prices.tax = tax.ok()?;
        prices.pitch_bands = bands?;
        prices.hours = hours.ok()?;
        fine.then_some(prices)
    }

    /// `{ each = 4.20, per = "m²" }`.
    fn price_by_unit(&mut self, item: &Item<'d>) -> Option<ItemPrice> {
        let table = self.table(item, &PRICE_PER)?;
        let each = self.value(&table, "each");
        let per = self.word(&table, "per", &PER);
        Some(ItemPrice { item: item.key.to_owned(), each: each?, per: Some(per?) })
    }

    fn hours(&mut self, prices: &Table<'d>) -> Result<Option<Hours>, Reported> {
        let Some(table) = self.table_at(prices, "hours")? else { return Ok(None) };
        let each = self.value(&table, "each");
        let mut rates = Vec::new();
        let mut fine = true;
        for operation in Operation::ALL.into_iter().filter(|operation| table.has(operation.key())) {
            match self.value(&table, operation.key()) {
                Some(hours) => rates.push((operation, hours)),
                None => fine = false,
            }
        }
        let hours = each.filter(|_| fine).map(|each| Hours { each, rates });
        hours.map(Some).ok_or(Reported)
    }

    fn pitch_bands(&mut self, table: &Table<'d>) -> Option<Vec<(f64, f64)>> {
        let tables = self.tables(table, "pitch_band");
        let mut bands = Vec::new();
        let mut fine = !tables.is_empty();
        for band in &tables {
            let from = self.value(band, "pitch_from");
            let factor = self.value(band, "factor");
            match (from, factor) {
                (Some(from), Some(factor)) => bands.push((from, factor)),
                _ => fine = false,
            }
        }
        bands.sort_by_number(|a| a.0);
        fine.then_some(bands)
    }
}
