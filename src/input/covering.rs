//! `[covering]`, `[prices]` and `[old_roof]`.

use super::card;
use super::files::{Files, reason};
use super::measures::{Sign, Told};
use super::nearest::{listed, nearest};
use super::node::{Item, Table};
use super::reader::Reader;
use super::schema;
use super::source_map::SourceMap;
use crate::base::diagnostic::Diagnostic;
use crate::base::place::Place;
use crate::takeoff::card::Card;
use crate::takeoff::goods::Exposure;
use crate::takeoff::model::{Covering, HipMethod, Laying, OldRoof, Prices, ValleyMethod, Waste};
use toml::de::DeValue;

/// The card taken where the file names none.
const USUAL_CARD: &str = "strip-shingle";

/// Whether a key is the covering's own line. Where the card is not known any name may be.
fn is_card(key: &str, card: Option<&Card>) -> bool {
    card.map_or_else(|| nearest(key, PRICED.iter().copied()).is_none(), |card| card.name == key)
}

/// Take-off lines a price may be given for, beside the card's own name, and what labour and disposal cost.
pub const PRICED: &[&str] = &[
    "strip-shingle",
    "starter",
    "ridge-hip-cap",
    "nail",
    "underlay",
    "ice-barrier",
    "edge-strip-eave",
    "edge-strip-verge",
    "edge-strip-break",
    "valley-lining",
    "abutment-flashing",
    "opening-flashing",
    "step-flashing",
    "kick-out",
    "saddle",
    "adhesive",
    "deck-board",
    "gutter",
    "downpipe",
    "fascia-board",
    "verge-board",
    "soffit",
    "labour-m2",
    "labour-hip-m",
    "labour-valley-m",
    "labour-verge-m",
    "labour-ridge-m",
    "labour-eave-m",
    "disposal-t",
];

impl<'d> Reader<'d> {
    /// Reads what the roof is covered with; the usual card where nothing is said.
    pub fn covering(&mut self, root: &Table<'d>, map: &mut SourceMap, files: &dyn Files) -> Option<Covering> {
        let table = match root.get("covering") {
            None => Ok(None),
            Some(item) => self.table(&item, &schema::COVERING).map(Some).ok_or(Told),
        };
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
        let prices = self.prices(root, card.as_ref());
        let old_roof = match root.get("old_roof") {
            None => Ok(None),
            Some(item) => self.old_roof(&item).map(Some).ok_or(Told),
        };
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
        let expected = format!("{}, or the path of a card file", listed(card::names(), 12));
        let name = self.words(item, &expected)?;
        if let Some(card) = card::named(name) {
            return Some(card);
        }
        let found = self.written(&item.span);
        let is_path = name.contains(['/', '\\', '.']);
        if !is_path {
            let message = format!("there is no material card {name:?}");
            let mut error =
                Diagnostic::error("unknown-card", item.span.clone(), message).found(found).expected(expected);
            if let Some(near) = nearest(name, card::names()) {
                error = error.hint(format!("did you mean {near:?}?"));
            }
            self.report(error);
            return None;
        }
        let problem = match files.read(name).map(String::from_utf8) {
            Ok(Ok(text)) => {
                let (card, diagnostics) = card::read(name, &text);
                self.diagnostics.extend(diagnostics);
                return card;
            }
            Ok(Err(_)) => "is not UTF-8 text".to_owned(),
            Err(error) => reason(&error),
        };
        let error = Diagnostic::error("card-file", item.span.clone(), format!("card file {name:?} {problem}"));
        self.report(
            error
                .found(found)
                .expected(expected)
                .hint("paths are taken from the roof file's folder and stay within it: copy the file there"),
        );
        None
    }

    fn waste(&mut self, item: &Item<'d>) -> Option<Waste> {
        match item.value {
            DeValue::String(text) if text == "layout" => Some(Waste::Layout),
            DeValue::String(text) if !text.contains('%') => {
                let found = self.written(&item.span);
                let error =
                    Diagnostic::error("unknown-word", item.span.clone(), "`waste` is neither word nor percentage");
                self.report(error.found(found).expected("\"layout\", or a percentage such as \"15 %\""));
                None
            }
            _ => self.share(item).map(Waste::Fraction),
        }
    }

    fn laying(&mut self, table: &Table<'d>) -> Option<Laying> {
        let usual = Laying::default();
        let valleys = [("open", ValleyMethod::Open), ("closed", ValleyMethod::Closed), ("woven", ValleyMethod::Woven)];
        let hips = [("trimmed", HipMethod::Trimmed), ("over", HipMethod::Over)];
        let exposures = [("normal", Exposure::Normal), ("exposed", Exposure::Exposed)];
        let valley = self.optional(table, "valley", |reader, item| reader.choice(item, &valleys));
        let hip = self.optional(table, "hip", |reader, item| reader.choice(item, &hips));
        let exposure = self.optional(table, "exposure", |reader, item| reader.choice(item, &exposures));
        let spare_packs = self.optional(table, "spare_packs", |reader, item| reader.count(item, 0));
        let wall_inside = self.optional(table, "wall_inside", |reader, item| reader.length(item, Sign::NotNegative));
        let ceiling = self.optional(table, "level_ceiling", |reader, item| reader.number(item, Sign::Positive));
        Some(Laying {
            valley: valley.ok()?.unwrap_or(usual.valley),
            hip: hip.ok()?.unwrap_or(usual.hip),
            exposure: exposure.ok()?.unwrap_or(usual.exposure),
            spare_packs: spare_packs.ok()?.unwrap_or(usual.spare_packs),
            wall_inside: wall_inside.ok()?,
            ceiling: ceiling.ok()?,
        })
    }

    fn prices(&mut self, root: &Table<'d>, card: Option<&Card>) -> Option<Prices> {
        let mut prices = Prices::default();
        let Some(item) = root.get("prices") else { return Some(prices) };
        let DeValue::Table(entries) = item.value else {
            self.wrong_type(&item, "a table: [prices], then `strip-shingle = 31.50` a line");
            return None;
        };
        let table = Table { what: "[prices]", entries, span: item.span.clone() };
        let mut fine = true;
        for item in table.items() {
            let read = match item.key {
                "currency" => self.words(&item, "a currency such as \"EUR\"").map(|text| {
                    prices.currency = Some(text.to_owned());
                }),
                "margin" => self.share(&item).map(|share| prices.margin = Some(share)),
                "tax" => self.share(&item).map(|share| prices.tax = Some(share)),
                "pitch_band" => self.pitch_bands(&table).map(|bands| prices.pitch_bands = bands),
                key if PRICED.contains(&key) || is_card(key, card) => {
                    self.number(&item, Sign::NotNegative).map(|price| prices.items.push((key.to_owned(), price)))
                }
                key => {
                    self.unpriced(&item, key);
                    None
                }
            };
            fine &= read.is_some();
        }
        fine.then_some(prices)
    }

    fn unpriced(&mut self, item: &Item<'d>, key: &str) {
        let known = || PRICED.iter().copied().chain(["currency", "margin", "tax", "pitch_band"]);
        let message = format!("unknown key `{key}` in [prices]");
        let mut error = Diagnostic::error("unknown-key", item.key_span.clone(), message).found(key);
        error = match nearest(key, known()) {
            Some(near) => error.expected(format!("`{near}`")).hint(format!("did you mean `{near}`?")),
            None => error.expected(format!("a line of the take-off: {}", listed(known(), usize::MAX))),
        };
        self.report(error);
    }

    fn pitch_bands(&mut self, table: &Table<'d>) -> Option<Vec<(f64, f64)>> {
        let tables = self.tables(table, "pitch_band", &schema::PITCH_BAND);
        let mut bands = Vec::new();
        let mut fine = !tables.is_empty();
        for band in &tables {
            let from = self.required(band, "pitch_from", "the pitch it holds from");
            let from = from.and_then(|item| self.rule_pitch(&item));
            let factor = self.required(band, "factor", "labour times this");
            let factor = factor.and_then(|item| self.number(&item, Sign::Positive));
            match (from, factor) {
                (Some(from), Some(factor)) => bands.push((from, factor)),
                _ => fine = false,
            }
        }
        bands.sort_by(|a, b| a.0.total_cmp(&b.0));
        fine.then_some(bands)
    }

    fn old_roof(&mut self, item: &Item<'d>) -> Option<OldRoof> {
        let table = self.table(item, &schema::OLD_ROOF)?;
        let kind = self.required(&table, "kind", "what lies there now: \"bitumen shingles\"");
        let kind = kind.and_then(|item| self.words(&item, "what lies there now"));
        let layers = self.optional(&table, "layers", |reader, item| reader.count(item, 1));
        let weight = self.required(&table, "weight", "kilograms a square metre of one layer");
        let weight = weight.and_then(|item| self.number(&item, Sign::Positive));
        let loose = self.required_length(&table, "loose_thickness", Sign::Positive);
        let deck_share = self.optional(&table, "deck_share", Self::share);
        let asbestos = self.optional(&table, "asbestos_possible", Self::flag);
        let stays = self.optional(&table, "stays", |reader, item| {
            let items = reader.list(item, "a list of things that stay: [\"gutters\"]")?;
            let words: Vec<Option<String>> =
                items.iter().map(|item| reader.words(item, "a thing that stays").map(str::to_owned)).collect();
            words.into_iter().collect()
        });
        Some(OldRoof {
            kind: kind?.to_owned(),
            layers: layers.ok()?.unwrap_or(1),
            weight: weight?,
            loose_thickness: loose?,
            deck_share: deck_share.ok()?.unwrap_or(0.0),
            // Not known means possible.
            asbestos_possible: asbestos.ok()?.unwrap_or(true),
            stays: stays.ok()?.unwrap_or_default(),
        })
    }
}
