//! `[covering]` and `[old_roof]`.

use super::card;
use super::files::{Files, unread};
use super::measures::Told;
use super::nearest::nearest;
use super::node::{Item, Table};
use super::reader::Reader;
use super::schema::limits;
use super::schema::words::{EXPOSURES, HIPS, VALLEYS};
use super::source_map::SourceMap;
use crate::base::place::Place;
use crate::job::reading::{Expected, Fault, Named, Unread};
use crate::takeoff::card::Card;
use crate::takeoff::model::{Covering, Laying, OldRoof, Waste};
use toml::de::DeValue;

/// The card taken where the file names none.
const USUAL_CARD: &str = "strip-shingle";

impl<'d> Reader<'d> {
    /// Reads what the roof is covered with; the usual card where nothing is said.
    pub fn covering(&mut self, root: &Table<'d>, map: &mut SourceMap, files: &dyn Files) -> Option<Covering> {
        let table = self.table_at(root, "covering");
        let read = match &table {
            Ok(Some(table)) => {
                map.insert(Place::Covering, table.span.clone());
                let card = self.optional(table, "card", |reader, item| reader.card(item, files));
                let waste = self.optional(table, "waste", Self::waste);
                let laying = self.laying(table);
                (card.map(|card| card.or_else(|| card::named(USUAL_CARD))), waste, laying)
            }
            _ => (Ok(card::named(USUAL_CARD)), Ok(None), Some(Laying::default())),
        };
        let (card, waste, laying) = read;
        let card = card.ok().flatten();
        let prices = self.prices(root, card.as_ref(), files);
        let old_roof = self.old_roof(root);
        table.ok()?;
        Some(Covering {
            card: card?,
            waste: waste.ok()?.unwrap_or(Waste::Layout),
            laying: laying?,
            prices: prices?,
            old_roof: old_roof.ok()?,
        })
    }

    /// A card by name or by path.
    fn card(&mut self, item: &Item<'d>, files: &dyn Files) -> Option<Card> {
        let known: Vec<&'static str> = card::names().collect();
        let name = self.words(item, Expected::Card(known.clone()))?;
        if let Some(card) = card::named(name) {
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
                return card;
            }
            Ok(Err(_)) => Unread::NotText,
            Err(error) => unread(&error),
        };
        self.wrong(item, Fault::CardFile { name: name.to_owned(), why, known });
        None
    }

    fn waste(&mut self, item: &Item<'d>) -> Option<Waste> {
        match item.value {
            DeValue::String(text) if text == "layout" => Some(Waste::Layout),
            DeValue::String(text) if !text.contains('%') => {
                self.wrong(item, Fault::WasteWord);
                None
            }
            _ => self.share(item, &limits::SHARE).map(Waste::Fraction),
        }
    }

    fn laying(&mut self, table: &Table<'d>) -> Option<Laying> {
        let valley = self.word(table, "valley", &VALLEYS);
        let hip = self.word(table, "hip", &HIPS);
        let exposure = self.word(table, "exposure", &EXPOSURES);
        let spare_packs = self.whole(table, "spare_packs");
        let wall_inside = self.maybe(table, "wall_inside");
        let ceiling = self.maybe(table, "level_ceiling");
        Some(Laying {
            valley: valley?,
            hip: hip?,
            exposure: exposure?,
            spare_packs: spare_packs?,
            wall_inside: wall_inside.ok()?,
            ceiling: ceiling.ok()?,
        })
    }

    fn old_roof(&mut self, root: &Table<'d>) -> Result<Option<OldRoof>, Told> {
        let Some(table) = self.table_at(root, "old_roof")? else { return Ok(None) };
        let kind = self.text_at(&table, "kind");
        let layers = self.whole(&table, "layers");
        let weight = self.value(&table, "weight");
        let loose = self.value(&table, "loose_thickness");
        let deck_share = self.value(&table, "deck_share");
        let asbestos = self.switch(&table, "asbestos_possible");
        let stays = self.optional(&table, "stays", |reader, item| {
            let items = reader.list(item, Expected::StayList)?;
            let words: Vec<Option<String>> =
                items.iter().map(|item| reader.text(item, Expected::Stay, limits::LINE).map(str::to_owned)).collect();
            words.into_iter().collect()
        });
        let read = || {
            Some(OldRoof {
                kind: kind?,
                layers: layers?,
                weight: weight?,
                loose_thickness: loose?,
                deck_share: deck_share?,
                asbestos_possible: asbestos?,
                stays: stays.ok()?.unwrap_or_default(),
            })
        };
        read().map(Some).ok_or(Told)
    }
}
