//! `[covering]` and `[old_roof]`.

use super::card;
use super::card_values::ReadCard;
use super::files::Files;
use super::nearest::nearest;
use super::node::{Item, Table};
use super::reader::Reader;
use super::reported::Reported;
use super::schema::block::BLOCK;
use super::schema::covering::PRICED;
use super::schema::limits;
use super::schema::words::{
    AS_CARD, EDGE_METAL, EXPOSURES, HIPS, OLD_COVERINGS, RAINWATER, USUALLY_STAYS, VALLEYS, things,
};
use super::source_map::SourceMap;
use crate::base::place::Place;
use crate::job::reading::{Conflict, Expected, Fault};
use crate::takeoff::card::{Card, CoveringKind};
use crate::takeoff::goods::Deck;
use crate::takeoff::model::{Covering, Laying, OldRoof, Scope, Stay, Waste, WeightFrom};
use toml::de::DeValue;

/// The card taken where the file names none.
const USUAL_CARD: &str = "strip-shingle";

/// What the roof file says of the deck.
enum DeckChoice {
    /// It has none.
    None,
    /// One of those the card offers.
    Offered(Deck),
}

/// How far pieces stand over an eave without metal, metres (common practice, no source: 12 to 19 mm).
const BARE_EAVE: f64 = 0.015;

/// The lines of the order that are meant by a word: their own names, the card's, or a usual word for them.
fn lines_of(said: &str, card: Option<&str>) -> Option<Vec<String>> {
    if PRICED.contains(&said) || card == Some(said) {
        return Some(vec![said.to_owned()]);
    }
    things(said).map(|items| items.iter().map(|item| (*item).to_owned()).collect())
}

/// Whether a price is of work, not of a line of the order.
fn is_work(key: &str) -> bool {
    ["labour", "access", "disposal"].iter().any(|work| key.starts_with(work))
}

/// What a layer of an old covering weighs a square metre and how thick it lies loose, by its kind; of one not known, as
/// bitumen shingles. Whether it is known.
fn usual_old(kind: &str) -> (f64, f64, bool) {
    let kind = kind.to_lowercase();
    let known = OLD_COVERINGS.iter().find(|(word, ..)| kind.contains(word));
    let (_, weight, loose) = known.unwrap_or(&OLD_COVERINGS[0]);
    (*weight, *loose, known.is_some())
}

/// Names of a job's cards, its blocks' own with them; `None` where one of these is in a file of its own.
fn cards_of_blocks(root: &Table<'_>, usual: &Card) -> Option<Vec<String>> {
    let mut names = vec![usual.name.clone()];
    let Some(Item { value: DeValue::Array(blocks), .. }) = root.get("block") else { return Some(names) };
    for block in blocks {
        let DeValue::Table(entries) = block.get_ref() else { continue };
        match entries.get("covering").map(toml::Spanned::get_ref) {
            Some(DeValue::String(name)) if card::named(name).is_some() => names.push(name.to_string()),
            Some(_) => return None,
            None => {}
        }
    }
    Some(names)
}

/// Without metal the covering itself is the drip (common practice, no source).
fn without_metal(card: &mut Card) {
    let over = |projection: &mut f64| *projection = projection.max(BARE_EAVE);
    match &mut card.covering {
        CoveringKind::Strip(strip) => over(&mut strip.eave_projection),
        CoveringKind::Unit(unit) => over(&mut unit.eave_projection),
        CoveringKind::Sheet(sheet) => over(&mut sheet.eave_projection),
        CoveringKind::Felt(_) => {}
    }
}

impl<'d> Reader<'d> {
    /// Coverings of blocks that have their own: all that the job's says but for the card. Other faults of blocks are told
    /// where blocks are read.
    pub fn block_coverings(
        &mut self,
        root: &Table<'d>,
        usual: Option<&Covering>,
        files: &dyn Files,
    ) -> Option<Vec<(String, Covering)>> {
        let Some(Item { value: DeValue::Array(blocks), .. }) = root.get("block") else { return Some(Vec::new()) };
        let mut found = Vec::new();
        let mut fine = true;
        for block in blocks {
            let DeValue::Table(entries) = block.get_ref() else { continue };
            let table = Table { shape: &BLOCK, entries: Some(entries), span: block.span() };
            let (Some(item), Some(name)) = (table.get("covering"), table.get("name")) else { continue };
            let read = self.card(&item, files);
            fine &= read.is_some();
            let (Some(read), DeValue::String(name), Some(usual)) = (read, name.value, usual) else { continue };
            let mut card = read.card;
            // What is chosen for the whole job holds here where the card offers it.
            let wanted = usual.card.deck.as_ref().map(|deck| deck.name.as_str());
            if let Some(deck) = card.other_decks.iter().find(|deck| Some(deck.name.as_str()) == wanted) {
                card.deck = Some(deck.clone());
            }
            if EDGE_METAL.iter().all(|item| usual.scope.leave_out.iter().any(|left| left == item)) {
                without_metal(&mut card);
            }
            found.push((name.to_string(), Covering { card, ..usual.clone() }));
        }
        fine.then_some(found)
    }

    /// Reads what the roof is covered with; the usual card where nothing is said.
    pub fn covering(&mut self, root: &Table<'d>, map: &mut SourceMap, files: &dyn Files) -> Option<Covering> {
        let table = self.table_at(root, "covering");
        let read = match &table {
            Ok(Some(table)) => {
                map.insert(Place::Covering, table.span.clone());
                let read = self.optional(table, "card", |reader, item| reader.card(item, files));
                let card = read.and_then(|read| {
                    let read = read.or_else(|| ReadCard::named(USUAL_CARD));
                    self.with_own_values(table, read).map(|read| read.map(|read| read.card))
                });
                let waste = self.optional(table, "waste", Self::waste);
                let laying = self.laying(table);
                let mut card = card;
                let scope = self.scope(table, card.as_mut().ok().and_then(Option::as_mut));
                (card, waste, laying, scope)
            }
            _ => (Ok(card::named(USUAL_CARD)), Ok(None), Some(Laying::default()), Some(Scope::default())),
        };
        let (card, waste, laying, scope) = read;
        let card = card.ok().flatten();
        let cards = card.as_ref().and_then(|card| cards_of_blocks(root, card));
        let prices = self.prices(root, cards.as_deref(), files);
        // A roof that has no gutters has none that stay.
        let none = table.as_ref().ok().and_then(Option::as_ref).and_then(|table| table.get("gutters"));
        let none = none.filter(|item| matches!(item.value, DeValue::String(word) if word == "none"));
        let old_roof = self.old_roof(root, none.as_ref());
        table.ok()?;
        Some(Covering {
            card: card?,
            waste: waste.ok()?.unwrap_or(Waste::Layout),
            laying: laying?,
            prices: prices?,
            old_roof: old_roof.ok()?,
            scope: scope?,
        })
    }

    /// What is chosen of the card's goods, and what is not bought.
    fn scope(&mut self, table: &Table<'d>, card: Option<&mut Card>) -> Option<Scope> {
        let name = card.as_ref().map(|card| card.name.clone());
        let left_out = self.things(table, "leave_out", name.as_deref());
        let there = self.things(table, "already_there", name.as_deref());
        let metal = self.word(table, "edge_metal", &AS_CARD);
        let gutters = self.word(table, "gutters", &AS_CARD);
        let deck = self.optional(table, "deck", |reader, item| reader.deck_of(item, card.as_deref()));
        let mut leave_out = left_out?;
        let none = |items: &[&str]| items.iter().map(|item| (*item).to_owned()).collect::<Vec<String>>();
        if metal == Some(false) {
            leave_out.extend(none(&EDGE_METAL));
        }
        if gutters == Some(false) {
            leave_out.extend(none(&RAINWATER));
        }
        let deck = deck.ok()?;
        if let Some(card) = card {
            match deck {
                Some(DeckChoice::Offered(deck)) => card.deck = Some(deck),
                Some(DeckChoice::None) => card.deck = None,
                None => {}
            }
            if metal == Some(false) {
                without_metal(card);
            }
        }
        metal?;
        gutters?;
        Some(Scope { leave_out, already_there: there? })
    }

    /// Lines of the order by their own names or by words for them.
    fn things(&mut self, table: &Table<'d>, key: &str, card: Option<&str>) -> Option<Vec<String>> {
        let Some(item) = table.get(key) else { return Some(Vec::new()) };
        let items = self.list(&item, Expected::OrderLines)?;
        let known: Vec<String> = PRICED.iter().filter(|key| !is_work(key)).map(|key| (*key).to_owned()).collect();
        let mut found = Vec::new();
        let mut fine = true;
        for item in &items {
            let Some(said) = self.text(item, Expected::OrderLine(known.clone()), limits::LINE) else {
                fine = false;
                continue;
            };
            if let Some(lines) = lines_of(said, card) {
                found.extend(lines);
            } else {
                fine = false;
                let near = nearest(said, PRICED.iter().copied()).map(str::to_owned);
                self.wrong(item, Fault::NoSuchLine { name: said.to_owned(), known: known.clone(), near });
            }
        }
        fine.then_some(found)
    }

    /// One of the decks that a card offers, or none.
    fn deck_of(&mut self, item: &Item<'d>, card: Option<&Card>) -> Option<DeckChoice> {
        let offered = || card.iter().flat_map(|card| card.deck.iter().chain(&card.other_decks));
        let known: Vec<String> = offered().map(|deck| deck.name.clone()).chain(["none".to_owned()]).collect();
        let said = self.text(item, Expected::Deck(known.clone()), limits::NAME)?;
        // Without a card, which is wrong itself, no deck is.
        let Some(card) = card else { return Some(DeckChoice::None) };
        if said == "none" {
            return Some(DeckChoice::None);
        }
        if let Some(deck) = offered().find(|deck| deck.name == said) {
            return Some(DeckChoice::Offered(deck.clone()));
        }
        self.wrong(item, Fault::NoSuchDeck { name: said.to_owned(), card: card.name.clone(), known });
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
        let van_payload = self.maybe(table, "van_payload");
        let ceiling = self.maybe(table, "level_ceiling");
        Some(Laying {
            valley: valley?,
            hip: hip?,
            exposure: exposure?,
            spare_packs: spare_packs?,
            wall_inside: wall_inside.ok()?,
            van_payload: van_payload.ok()?,
            ceiling: ceiling.ok()?,
        })
    }

    fn old_roof(&mut self, root: &Table<'d>, no_gutters: Option<&Item<'d>>) -> Result<Option<OldRoof>, Reported> {
        let Some(table) = self.table_at(root, "old_roof")? else { return Ok(None) };
        let kind = self.text_at(&table, "kind");
        let layers = self.whole(&table, "layers");
        let weight = self.maybe(&table, "weight");
        let loose = self.maybe(&table, "loose_thickness");
        let deck_share = self.value(&table, "deck_share");
        let asbestos = self.switch(&table, "asbestos_possible");
        let stays = self.optional(&table, "stays", |reader, item| {
            let items = reader.list(item, Expected::StayList)?;
            let stay = |said: &str| Stay { said: said.to_owned(), items: lines_of(said, None).unwrap_or_default() };
            let words: Vec<Option<Stay>> =
                items.iter().map(|item| reader.text(item, Expected::Stay, limits::LINE).map(stay)).collect();
            words.into_iter().collect::<Option<Vec<Stay>>>()
        });
        let is_gutter = |stay: &Stay| stay.items.iter().any(|item| item == "gutter");
        if let (Ok(Some(read)), Some(none), Some(said)) = (&stays, no_gutters, table.get("stays"))
            && read.iter().any(is_gutter)
        {
            self.conflict(none, &said, Conflict::NoGuttersThatStay);
            return Err(Reported);
        }
        let read = || {
            let kind = kind?;
            let stays = stays.ok()?;
            let weight = weight.ok()?;
            let (usual_weight, usual_loose, is_known) = usual_old(&kind);
            let weight_from = match (weight, is_known) {
                (Some(_), _) => WeightFrom::Stated,
                (None, true) => WeightFrom::Kind,
                (None, false) => WeightFrom::Shingles,
            };
            let usually = USUALLY_STAYS.map(|(said, items)| Stay {
                said: said.to_owned(),
                items: items.iter().map(|item| (*item).to_owned()).collect(),
            });
            Some(OldRoof {
                kind,
                layers: layers?,
                weight: weight.unwrap_or(usual_weight),
                weight_from,
                loose_thickness: loose.ok()?.unwrap_or(usual_loose),
                deck_share: deck_share?,
                asbestos_possible: asbestos?,
                stays_stated: stays.is_some(),
                stays: stays.unwrap_or_else(|| usually.to_vec()),
            })
        };
        read().map(Some).ok_or(Reported)
    }
}
