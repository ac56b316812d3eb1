//! Material cards: files of their own, walked like a roof file, with errors as good.

use super::card_schema as keys;
use super::document::parse;
use super::measures::{Sign, Told};
use super::node::{Item, Shape, Table};
use super::reader::{BareUnit, Reader};
use crate::base::diagnostic::{Diagnostic, OtherFile, Severity};
use crate::base::units::LengthUnit;
use crate::takeoff::card::{
    Card, CoveringKind, DeckMin, LapByPitch, MaxRun, MinPitch, PitchLimit, Sheet, Strip, TabShape, Unit,
};
use std::sync::Arc;

/// The cards that come with the tool: name and text.
const EMBEDDED: &[(&str, &str)] = &[
    ("strip-shingle", include_str!("cards/strip-shingle.toml")),
    ("single-tab", include_str!("cards/single-tab.toml")),
    ("slate", include_str!("cards/slate.toml")),
    ("profiled-sheet", include_str!("cards/profiled-sheet.toml")),
];

/// Names of the cards that come with the tool.
pub fn names() -> impl Iterator<Item = &'static str> {
    EMBEDDED.iter().map(|(name, _)| *name)
}

/// The text of a card that comes with the tool: something to copy and change.
#[must_use]
pub fn text(name: &str) -> Option<&'static str> {
    EMBEDDED.iter().find(|(known, _)| *known == name).map(|(_, text)| *text)
}

/// A card that comes with the tool.
#[must_use]
pub fn named(name: &str) -> Option<Card> {
    read(name, text(name)?).0
}

/// Reads a card file. Bare lengths are metres. Diagnostics carry the card's name and text, their spans count in it.
///
/// Gives no card exactly when a diagnostic is an error.
#[must_use]
pub fn read(name: &str, text: &str) -> (Option<Card>, Vec<Diagnostic>) {
    let document = parse(text);
    let mut reader = Reader::new(text, BareUnit::Stated(LengthUnit::Metre));
    let root = Table { what: "the material card", entries: &document.tree, span: 0..0 };
    reader.check_keys(&root, &keys::CARD);
    let card = reader.material_card(&root);
    let mut diagnostics = super::settle(document.errors, reader.diagnostics, &document.torn);
    let file = Arc::new(OtherFile { name: name.to_owned(), text: text.to_owned() });
    for diagnostic in &mut diagnostics {
        diagnostic.file = Some(Arc::clone(&file));
    }
    let has_errors = diagnostics.iter().any(|diagnostic| diagnostic.severity == Severity::Error);
    debug_assert!(has_errors || card.is_some(), "a card that can't be read says why");
    (card.filter(|_| !has_errors), diagnostics)
}

impl<'d> Reader<'d> {
    fn material_card(&mut self, root: &Table<'d>) -> Option<Card> {
        let name = self.required(root, "name", "the name it is asked for by").and_then(|item| self.name(&item));
        let title = self.required(root, "title", "one line for people");
        let title = title.and_then(|item| self.words(&item, "one line for people"));
        let covering = self.covering_kind(root);
        let min_pitch = self.each(root, "min_pitch", &keys::MIN_PITCH, |reader, table| {
            let pitch = reader.card_pitch(table, "pitch");
            let rafter_to = reader.optional(table, "rafter_to", |reader, item| reader.length(item, Sign::Positive));
            let source = reader.source(table);
            Some(MinPitch { pitch: pitch?, rafter_to: rafter_to.ok()?, source: source? })
        });
        let max_run = self.each(root, "max_run", &keys::MAX_RUN, |reader, table| {
            let (run, source) = (reader.required_length(table, "run", Sign::Positive), reader.source(table));
            Some(MaxRun { run: run?, source: source? })
        });
        let deck_min = self.each(root, "deck_min", &keys::DECK_MIN, |reader, table| {
            let thickness = reader.required_length(table, "thickness", Sign::Positive);
            let spacing_to = reader.required_length(table, "spacing_to", Sign::Positive);
            let source = reader.source(table);
            Some(DeckMin { thickness: thickness?, spacing_to: spacing_to?, source: source? })
        });
        let other_fixing = self.part(root, "other_fixing", &keys::OTHER_FIXING, |reader, table| {
            let (pitch, source) = (reader.card_pitch(table, "pitch"), reader.source(table));
            Some(PitchLimit { pitch: pitch?, source: source? })
        });
        let caps = self.part(root, "caps", &keys::CAPS, Self::caps);
        let nails = self.part(root, "nails", &keys::NAILS, Self::nails);
        let underlay = self.part(root, "underlay", &keys::UNDERLAY, Self::underlay);
        let eave_strip = self.part(root, "eave_strip", &keys::EAVE_STRIP, Self::edge_strip);
        let verge_strip = self.part(root, "verge_strip", &keys::VERGE_STRIP, Self::edge_strip);
        let adhesive = self.part(root, "adhesive", &keys::ADHESIVE, Self::adhesive);
        let valley_lining = self.part(root, "valley_lining", &keys::VALLEY_LINING, Self::valley_lining);
        let abutment_flashing = self.part(root, "abutment_flashing", &keys::ABUTMENT_FLASHING, Self::flashing);
        let deck = self.part(root, "deck", &keys::DECK, Self::deck);
        let rain_goods = self.part(root, "rain_goods", &keys::RAIN_GOODS, Self::rain_goods);
        Some(Card {
            name: name?,
            title: title?.to_owned(),
            covering: covering?,
            min_pitch: min_pitch?,
            max_run: max_run?,
            deck_min: deck_min?,
            other_fixing: other_fixing.ok()?,
            caps: caps.ok()?,
            nails: nails.ok()?,
            underlay: underlay.ok()?,
            eave_strip: eave_strip.ok()?,
            verge_strip: verge_strip.ok()?,
            adhesive: adhesive.ok()?,
            valley_lining: valley_lining.ok()?,
            abutment_flashing: abutment_flashing.ok()?,
            deck: deck.ok()?,
            rain_goods: rain_goods.ok()?,
        })
    }

    /// Exactly one of `[strip]`, `[unit]`, `[sheet]`.
    fn covering_kind(&mut self, root: &Table<'d>) -> Option<CoveringKind> {
        let kinds = ["strip", "unit", "sheet"];
        let mut given = kinds.iter().filter_map(|key| root.get(key));
        let Some(first) = given.next() else {
            let error =
                Diagnostic::error("missing-key", root.span.clone(), "the card does not say what lies on the roof");
            self.report(error.expected("one of [strip], [unit], [sheet]"));
            return None;
        };
        if let Some(second) = given.next() {
            let message = format!("the card describes two coverings: [{}] and [{}]", first.key, second.key);
            self.conflict(&first, &second, message, "one of [strip], [unit], [sheet]");
            return None;
        }
        match first.key {
            "strip" => {
                let table = self.table(&first, &keys::STRIP)?;
                self.strip(&table).map(CoveringKind::Strip)
            }
            "unit" => {
                let table = self.table(&first, &keys::UNIT)?;
                self.unit(&table).map(CoveringKind::Unit)
            }
            _ => {
                let table = self.table(&first, &keys::SHEET)?;
                self.sheet(&table).map(CoveringKind::Sheet)
            }
        }
    }

    fn strip(&mut self, table: &Table<'d>) -> Option<Strip> {
        let tabs = [
            ("rectangular", TabShape::Rectangular),
            ("rounded", TabShape::Rounded),
            ("triangular", TabShape::Triangular),
        ];
        let width = self.required_length(table, "width", Sign::Positive);
        let height = self.required_length(table, "height", Sign::Positive);
        let tab_count = self.required_count(table, "tabs", 2);
        let tab = self.optional(table, "tab", |reader, item| reader.choice(item, &tabs));
        let cutout = self.required_length(table, "cutout", Sign::Positive);
        let gauge = self.required_length(table, "gauge", Sign::Positive);
        let head_lap = self.required_length(table, "head_lap", Sign::NotNegative);
        let gauge_shrink = self.length_or(table, "gauge_shrink", 0.005);
        let eave_projection = self.length_or(table, "eave_projection", 0.008);
        let verge_projection = self.length_or(table, "verge_projection", 0.008);
        let pack = self.required_count(table, "pack", 1);
        let pack_name = self.words_or(table, "pack_name", "bundle");
        let weight = self.required_number(table, "weight", Sign::Positive);
        let verge_starter = self.optional(table, "verge_starter", Self::flag);
        let peel = self.optional(table, "peel", Self::flag);
        let bend_above = self.optional(table, "bend_above", |reader, item| reader.number(item, Sign::Any));
        if let (Some(height), Some(cutout), Some(gauge), Some(head_lap)) = (height, cutout, gauge, head_lap) {
            self.check_gauge(table, gauge, cutout.min((height - head_lap) / 2.0))?;
        }
        Some(Strip {
            width: width?,
            height: height?,
            tabs: tab_count?,
            tab: tab.ok()?.unwrap_or(TabShape::Rectangular),
            cutout: cutout?,
            gauge: gauge?,
            head_lap: head_lap?,
            gauge_shrink: gauge_shrink?,
            eave_projection: eave_projection?,
            verge_projection: verge_projection?,
            pack: pack?,
            pack_name: pack_name?,
            weight: weight?,
            verge_starter: verge_starter.ok()?.unwrap_or(false),
            peel: peel.ok()?.unwrap_or(false),
            bend_above: bend_above.ok()?,
        })
    }

    /// The gauge a strip allows: `P = (l - R) / 2` (DTU 40.14 art. 4.1), and no deeper than its cutouts.
    fn check_gauge(&mut self, table: &Table<'d>, gauge: f64, largest: f64) -> Option<()> {
        // A tenth of a millimetre: cards state whole ones, and (336 - 50) / 2 is one of them.
        if gauge <= largest + 1e-4 {
            return Some(());
        }
        let item = table.get("gauge")?;
        let found = self.written(&item.span);
        let error = Diagnostic::error("card-gauge", item.span, "the gauge leaves too little lap");
        self.report(error.found(found).expected(format!(
            "at most {:.1} mm: the cutout's depth, and half of height less head lap",
            1000.0 * largest
        )));
        None
    }

    fn unit(&mut self, table: &Table<'d>) -> Option<Unit> {
        let width = self.required_length(table, "width", Sign::Positive);
        let height = self.required_length(table, "height", Sign::Positive);
        let joint = self.length_or(table, "joint", 0.0);
        let gauge = self.required_length(table, "gauge", Sign::Positive);
        let gauge_shrink = self.length_or(table, "gauge_shrink", 0.0);
        let laps = self.laps(table);
        let layers = self.required_count(table, "layers", 1);
        let bond = self.required_number(table, "bond", Sign::NotNegative);
        let eave_projection = self.required_length(table, "eave_projection", Sign::NotNegative);
        let verge_projection = self.required_length(table, "verge_projection", Sign::NotNegative);
        let min_cut = self.required_length(table, "min_cut", Sign::NotNegative);
        let pack = self.required_count(table, "pack", 1);
        let pack_name = self.words_or(table, "pack_name", "pack");
        let weight = self.required_number(table, "weight", Sign::Positive);
        let starter = self.optional(table, "starter", Self::flag);
        Some(Unit {
            width: width?,
            height: height?,
            joint: joint?,
            gauge: gauge?,
            gauge_shrink: gauge_shrink?,
            laps: laps?,
            layers: layers?,
            bond: bond?,
            eave_projection: eave_projection?,
            verge_projection: verge_projection?,
            min_cut: min_cut?,
            pack: pack?,
            pack_name: pack_name?,
            weight: weight?,
            starter: starter.ok()?.unwrap_or(true),
        })
    }

    fn sheet(&mut self, table: &Table<'d>) -> Option<Sheet> {
        let cover_width = self.required_length(table, "cover_width", Sign::Positive);
        let max_length = self.required_length(table, "max_length", Sign::Positive);
        let min_length = self.required_length(table, "min_length", Sign::Positive);
        let length_step = self.length_or(table, "length_step", 0.01);
        let laps = self.laps(table);
        let eave_projection = self.required_length(table, "eave_projection", Sign::NotNegative);
        let verge_projection = self.required_length(table, "verge_projection", Sign::NotNegative);
        let weight = self.required_number(table, "weight", Sign::Positive);
        Some(Sheet {
            cover_width: cover_width?,
            max_length: max_length?,
            min_length: min_length?,
            length_step: length_step?,
            laps: laps?,
            eave_projection: eave_projection?,
            verge_projection: verge_projection?,
            weight: weight?,
        })
    }

    /// `[[….lap]]`.
    pub fn laps(&mut self, table: &Table<'d>) -> Option<Vec<LapByPitch>> {
        self.each(table, "lap", &keys::LAP, |reader, table| {
            let pitch_from = reader.card_pitch(table, "pitch_from");
            let lap = reader.required_length(table, "lap", Sign::NotNegative);
            let source = reader.source(table);
            Some(LapByPitch { pitch_from: pitch_from?, lap: lap?, source: source? })
        })
    }

    /// Every table of a list; `None` when one of them is wrong.
    pub fn each<T>(
        &mut self,
        parent: &Table<'d>,
        key: &str,
        shape: &'static Shape,
        mut read: impl FnMut(&mut Self, &Table<'d>) -> Option<T>,
    ) -> Option<Vec<T>> {
        let before = self.diagnostics.len();
        let tables = self.tables(parent, key, shape);
        let read: Vec<Option<T>> = tables.iter().map(|table| read(self, table)).collect();
        let fine = self.diagnostics.len() == before || !parent.has(key) || read.iter().all(Option::is_some);
        if fine { read.into_iter().collect() } else { None }
    }

    /// An optional table.
    fn part<T>(
        &mut self,
        root: &Table<'d>,
        key: &str,
        shape: &'static Shape,
        read: impl FnOnce(&mut Self, &Table<'d>) -> Option<T>,
    ) -> Result<Option<T>, Told> {
        let Some(item) = root.get(key) else { return Ok(None) };
        let table = self.table(&item, shape).ok_or(Told)?;
        read(self, &table).map(Some).ok_or(Told)
    }

    /// A pitch of a rule, radians; 0 is allowed: it holds from level on.
    pub fn card_pitch(&mut self, table: &Table<'d>, key: &str) -> Option<f64> {
        let item = self.required(table, key, "a pitch such as 20, \"4:12\" or \"20 %\"")?;
        self.rule_pitch(&item)
    }

    pub fn rule_pitch(&mut self, item: &Item<'d>) -> Option<f64> {
        if let toml::de::DeValue::Integer(number) = item.value
            && number.as_str() == "0"
        {
            return Some(0.0);
        }
        self.pitch(item).map(crate::base::units::Pitch::radians)
    }

    /// Where a rule comes from.
    pub fn source(&mut self, table: &Table<'d>) -> Option<String> {
        let item = self.required(table, "source", "where the rule comes from, or \"common practice\"")?;
        self.words(&item, "where the rule comes from").map(str::to_owned)
    }

    pub fn required_count(&mut self, table: &Table<'d>, key: &str, least: u32) -> Option<u32> {
        let item = self.required(table, key, "a whole number")?;
        self.count(&item, least)
    }

    pub fn required_number(&mut self, table: &Table<'d>, key: &str, sign: Sign) -> Option<f64> {
        let item = self.required(table, key, "a number")?;
        self.number(&item, sign)
    }

    pub fn length_or(&mut self, table: &Table<'d>, key: &str, usual: f64) -> Option<f64> {
        let read = self.optional(table, key, |reader, item| reader.length(item, Sign::NotNegative));
        Some(read.ok()?.unwrap_or(usual))
    }

    pub fn number_or(&mut self, table: &Table<'d>, key: &str, usual: f64) -> Option<f64> {
        let read = self.optional(table, key, |reader, item| reader.number(item, Sign::NotNegative));
        Some(read.ok()?.unwrap_or(usual))
    }

    pub fn words_or(&mut self, table: &Table<'d>, key: &str, usual: &str) -> Option<String> {
        let read = self.optional(table, key, |reader, item| reader.words(item, "a word"));
        Some(read.ok()?.unwrap_or(usual).to_owned())
    }
}
