//! `[offer]` and `[[as_laid]]`.

use super::nearest::nearest;
use super::node::{Item, Table};
use super::reader::Reader;
use super::reported::Reported;
use super::schema::covering::PRICED;
use super::schema::limits;
use crate::job::offer::{AsLaid, OfferDetails};
use crate::job::reading::{Expected, Fault};
use crate::takeoff::card::Card;

/// What an offer may leave to others beside lines of the order.
const WORK: [&str; 2] = ["labour", "disposal"];

impl<'d> Reader<'d> {
    /// `[offer]`, and which lines of the order it leaves to others.
    pub fn offer(&mut self, root: &Table<'d>, cards: &[&Card]) -> Result<(OfferDetails, Vec<String>), Reported> {
        let Some(table) = self.table_at(root, "offer")? else { return Ok((OfferDetails::default(), Vec::new())) };
        let firm = self.texts(&table, "firm");
        let client = self.texts(&table, "client");
        let site = self.maybe_text(&table, "site");
        let number = self.maybe_text(&table, "number");
        let date = self.optional(&table, "date", Self::date);
        let valid_until = self.optional(&table, "valid_until", Self::date);
        let also = self.texts(&table, "also");
        let excluded = self.texts(&table, "excluded");
        let left_out = self.optional(&table, "left_out", |reader, item| reader.lines_of_order(item, cards));
        let terms = self.texts(&table, "terms");
        let details = OfferDetails {
            firm: firm?,
            client: client?,
            site: site?,
            number: number?,
            date: date?,
            valid_until: valid_until?,
            also: also?,
            excluded: excluded?,
            terms: terms?,
        };
        Ok((details, left_out?.unwrap_or_default()))
    }

    /// Lines of text for people; none where the key is absent.
    fn texts(&mut self, table: &Table<'d>, key: &str) -> Result<Vec<String>, Reported> {
        let about = table.shape.key(key).map_or("", |key| key.about);
        let read = self.optional(table, key, |reader, item| {
            let items = reader.list(item, Expected::ListOf(about))?;
            let texts =
                items.iter().map(|item| reader.text(item, Expected::About(about), limits::LINE).map(str::to_owned));
            let texts: Vec<Option<String>> = texts.collect();
            texts.into_iter().collect()
        });
        Ok(read?.unwrap_or_default())
    }

    /// Names of lines of the order.
    fn lines_of_order(&mut self, item: &Item<'d>, cards: &[&Card]) -> Option<Vec<String>> {
        let items = self.list(item, Expected::OrderLines)?;
        let is_work_key =
            |key: &&&str| key.contains("labour-") || key.contains("disposal") || key.starts_with("access");
        let goods = PRICED.iter().filter(|key| !is_work_key(key)).copied();
        let known: Vec<&str> = goods.chain(cards.iter().map(|card| card.name.as_str())).chain(WORK).collect();
        let read: Vec<Option<String>> = items.iter().map(|item| self.line_of_order(item, &known)).collect();
        read.into_iter().collect()
    }

    fn line_of_order(&mut self, item: &Item<'d>, known: &[&str]) -> Option<String> {
        let lines: Vec<String> = known.iter().map(|&line| line.to_owned()).collect();
        let name = self.words(item, Expected::OrderLine(lines.clone()))?;
        if known.contains(&name) {
            return Some(name.to_owned());
        }
        let near = nearest(name, known.iter().copied()).map(str::to_owned);
        self.wrong(item, Fault::NoSuchLine { name: name.to_owned(), known: lines, near });
        None
    }

    /// Every `[[as_laid]]`.
    pub fn as_laid(&mut self, root: &Table<'d>) -> Option<Vec<AsLaid>> {
        self.each(root, "as_laid", |reader, table| {
            let what = reader.text_at(table, "what");
            let batch = reader.text_at(table, "batch");
            let date = reader.optional(table, "date", Self::date);
            let note = reader.maybe_text(table, "note");
            Some(AsLaid { what: what?, batch: batch?, date: date.ok()?, note: note.ok()? })
        })
    }
}
