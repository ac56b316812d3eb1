//! Material cards: files of their own, walked like a roof file, with errors as good.

pub use super::cards::{NAMES, names, text};

use super::bare_unit::BareUnit;
use super::document::parse;
use super::node::{Item, Table};
use super::reader::Reader;
use super::reported::Reported;
use super::schema::cards::CARD;
use super::schema::words::{DIRECTIONS_OF_STRIPS, TABS};
use crate::base::diagnostic::{Diagnostic, OtherFile, Severity};
use crate::base::tolerance::CUT_ALIKE;
use crate::base::units::LengthUnit;
use crate::job::reading::{Conflict, Fault, Problem};
use crate::takeoff::card::{Card, CoveringKind, DeckMin, Felt, MaxRun, MinPitch, PitchLimit, SheetGoods, Strip, Unit};
use crate::takeoff::goods::LapByPitch;
use crate::wording;
use crate::wording::units::Format;
use std::sync::Arc;

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
    let (card, problems) = problems(name, text);
    // Cards state lengths with their units; what is bare is metres.
    let format = Format::default();
    (card, problems.iter().map(|problem| wording::reading::diagnostic(problem, format)).collect())
}

/// The same, with what is wrong as data.
pub(super) fn problems(name: &str, text: &str) -> (Option<Card>, Vec<Problem>) {
    let document = parse(text);
    let mut reader = Reader::new(text, BareUnit::Stated(LengthUnit::Metre));
    let root = Table { shape: &CARD, entries: Some(&document.tree), span: 0..0 };
    reader.check_keys(&root);
    let card = reader.material_card(&root);
    let mut problems = super::problems::together(document.errors, reader.problems, &document.torn);
    let file = Arc::new(OtherFile { name: name.to_owned(), text: text.to_owned() });
    for problem in &mut problems {
        problem.file = Some(Arc::clone(&file));
    }
    let has_errors = problems.iter().any(|problem| problem.severity == Severity::Error);
    debug_assert!(has_errors || card.is_some(), "a card that can't be read says why");
    (card.filter(|_| !has_errors), problems)
}

impl<'d> Reader<'d> {
    pub(super) fn material_card(&mut self, root: &Table<'d>) -> Option<Card> {
        let name = self.required(root, "name").and_then(|item| self.name(&item));
        let title = self.text_at(root, "title");
        let covering = self.covering_kind(root);
        let min_pitch = self.each(root, "min_pitch", |reader, table| {
            let pitch = reader.value(table, "pitch");
            let rafter_to = reader.maybe(table, "rafter_to");
            let source = reader.text_at(table, "source");
            Some(MinPitch { pitch: pitch?, rafter_to: rafter_to.ok()?, source: source? })
        });
        let max_run = self.each(root, "max_run", |reader, table| {
            let (run, source) = (reader.value(table, "run"), reader.text_at(table, "source"));
            Some(MaxRun { run: run?, source: source? })
        });
        let deck_min = self.each(root, "deck_min", |reader, table| {
            let thickness = reader.value(table, "thickness");
            let spacing_to = reader.value(table, "spacing_to");
            let source = reader.text_at(table, "source");
            Some(DeckMin { thickness: thickness?, spacing_to: spacing_to?, source: source? })
        });
        let other_fixing = self.part(root, "other_fixing", |reader, table| {
            let (pitch, source) = (reader.value(table, "pitch"), reader.text_at(table, "source"));
            Some(PitchLimit { pitch: pitch?, source: source? })
        });
        let caps = self.part(root, "caps", Self::caps);
        let nails = self.part(root, "nails", Self::nails);
        let underlay = self.part(root, "underlay", Self::underlay);
        let eave_strip = self.part(root, "eave_strip", Self::edge_strip);
        let verge_strip = self.part(root, "verge_strip", Self::edge_strip);
        let adhesive = self.part(root, "adhesive", Self::adhesive);
        let valley_lining = self.part(root, "valley_lining", Self::valley_lining);
        let abutment_flashing = self.part(root, "abutment_flashing", Self::flashing);
        let deck = self.part(root, "deck", Self::deck);
        let counter_battens = self.part(root, "counter_battens", Self::counter_battens);
        let verge_units = self.part(root, "verge_units", Self::verge_units);
        let fixings = self.each(root, "fixing", Self::fixing);
        let vents = self.part(root, "vents", Self::vents);
        let other_decks = self.each(root, "other_deck", Self::deck);
        let rain_goods = self.part(root, "rain_goods", Self::rain_goods);
        Some(Card {
            name: name?,
            title: title?,
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
            other_decks: other_decks?,
            counter_battens: counter_battens.ok()?,
            verge_units: verge_units.ok()?,
            fixings: fixings?,
            vents: vents.ok()?,
            rain_goods: rain_goods.ok()?,
            own: Vec::new(),
        })
    }

    /// Exactly one of `[strip]`, `[unit]`, `[sheet]`, `[felt]`.
    fn covering_kind(&mut self, root: &Table<'d>) -> Option<CoveringKind> {
        type Read<'d> = fn(&mut Reader<'d>, &Table<'d>) -> Option<CoveringKind>;
        let kinds: [(&str, Read<'d>); 4] = [
            ("strip", |reader, table| reader.strip(table).map(CoveringKind::Strip)),
            ("unit", |reader, table| reader.unit(table).map(CoveringKind::Unit)),
            ("sheet", |reader, table| reader.sheet(table).map(CoveringKind::Sheet)),
            ("felt", |reader, table| reader.felt(table).map(CoveringKind::Felt)),
        ];
        let mut given = kinds.iter().filter_map(|(key, read)| Some((root.get(key)?, read)));
        let Some((first, read)) = given.next() else {
            self.report(Problem::error(root.span.clone(), Fault::NoCovering));
            return None;
        };
        if let Some((second, _)) = given.next() {
            self.conflict(&first, &second, Conflict::TwoCoverings);
            return None;
        }
        let table = self.table_at(root, first.key).ok()??;
        read(self, &table)
    }

    fn strip(&mut self, table: &Table<'d>) -> Option<Strip> {
        let width = self.value(table, "width");
        let height = self.value(table, "height");
        let tab_count = self.whole(table, "tabs");
        let tab = self.word(table, "tab", &TABS);
        let cutout = self.value(table, "cutout");
        let gauge = self.value(table, "gauge");
        let head_lap = self.value(table, "head_lap");
        let gauge_shrink = self.value(table, "gauge_shrink");
        let eave_projection = self.value(table, "eave_projection");
        let verge_projection = self.value(table, "verge_projection");
        let pack = self.whole(table, "pack");
        let pack_name = self.text_at(table, "pack_name");
        let weight = self.value(table, "weight");
        let verge_starter = self.switch(table, "verge_starter");
        let peel = self.switch(table, "peel");
        let bend_above = self.maybe(table, "bend_above");
        let thickness = self.maybe(table, "thickness");
        if let (Some(height), Some(cutout), Some(gauge), Some(head_lap)) = (height, cutout, gauge, head_lap) {
            self.check_gauge(table, gauge, cutout.min((height - head_lap) / 2.0))?;
        }
        Some(Strip {
            width: width?,
            height: height?,
            tabs: tab_count?,
            tab: tab?,
            cutout: cutout?,
            gauge: gauge?,
            head_lap: head_lap?,
            gauge_shrink: gauge_shrink?,
            eave_projection: eave_projection?,
            verge_projection: verge_projection?,
            pack: pack?,
            pack_name: pack_name?,
            weight: weight?,
            verge_starter: verge_starter?,
            peel: peel?,
            bend_above: bend_above.ok()?,
            thickness: thickness.ok()?,
        })
    }

    /// The gauge a strip allows: `P = (l - R) / 2` (DTU 40.14 art. 4.1), and no deeper than its cutouts.
    fn check_gauge(&mut self, table: &Table<'d>, gauge: f64, largest: f64) -> Option<()> {
        // Cards state whole millimetres, and (336 - 50) / 2 is one of them.
        if gauge <= largest + CUT_ALIKE {
            return Some(());
        }
        let item = table.get("gauge")?;
        self.wrong(&item, Fault::CardGauge { most: largest });
        None
    }

    fn unit(&mut self, table: &Table<'d>) -> Option<Unit> {
        let width = self.value(table, "width");
        let height = self.value(table, "height");
        let joint = self.value(table, "joint");
        let gauge = self.value(table, "gauge");
        let gauge_shrink = self.value(table, "gauge_shrink");
        let laps = self.laps(table);
        let layers = self.whole(table, "layers");
        let bond = self.value(table, "bond");
        let eave_projection = self.value(table, "eave_projection");
        let verge_projection = self.value(table, "verge_projection");
        let min_cut = self.value(table, "min_cut");
        let pack = self.whole(table, "pack");
        let pack_name = self.text_at(table, "pack_name");
        let weight = self.value(table, "weight");
        let starter = self.switch(table, "starter");
        let nib = self.maybe(table, "nib");
        let thickness = self.maybe(table, "thickness");
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
            starter: starter?,
            nib: nib.ok()?,
            thickness: thickness.ok()?,
        })
    }

    fn sheet(&mut self, table: &Table<'d>) -> Option<SheetGoods> {
        let cover_width = self.value(table, "cover_width");
        let max_length = self.value(table, "max_length");
        let min_length = self.value(table, "min_length");
        let length_step = self.value(table, "length_step");
        let laps = self.laps(table);
        let eave_projection = self.value(table, "eave_projection");
        let verge_projection = self.value(table, "verge_projection");
        let weight = self.value(table, "weight");
        let thickness = self.maybe(table, "thickness");
        Some(SheetGoods {
            cover_width: cover_width?,
            max_length: max_length?,
            min_length: min_length?,
            length_step: length_step?,
            laps: laps?,
            eave_projection: eave_projection?,
            verge_projection: verge_projection?,
            weight: weight?,
            thickness: thickness.ok()?,
        })
    }

    fn felt(&mut self, table: &Table<'d>) -> Option<Felt> {
        let direction = self.word(table, "direction", &DIRECTIONS_OF_STRIPS);
        let width = self.value(table, "width");
        let side_lap = self.value(table, "side_lap");
        let end_lap = self.value(table, "end_lap");
        let stagger = self.value(table, "stagger");
        let over = self.value(table, "over");
        let upstand = self.value(table, "upstand");
        let shortest = self.value(table, "shortest");
        let eave_projection = self.value(table, "eave_projection");
        let verge_projection = self.value(table, "verge_projection");
        let base_length = self.value(table, "base_length");
        let base_weight = self.value(table, "base_weight");
        let cap_length = self.value(table, "cap_length");
        let cap_weight = self.value(table, "cap_weight");
        let adhesive = self.value(table, "adhesive");
        let tin = self.value(table, "tin");
        let flange = self.value(table, "flange");
        let primer = self.value(table, "primer");
        let primer_tin = self.value(table, "primer_tin");
        let base_thickness = self.maybe(table, "base_thickness");
        let cap_thickness = self.maybe(table, "cap_thickness");
        if let (Some(width), Some(lap)) = (width, side_lap) {
            self.check_side_lap(table, width, lap)?;
        }
        Some(Felt {
            direction: direction?,
            width: width?,
            side_lap: side_lap?,
            end_lap: end_lap?,
            stagger: stagger?,
            over: over?,
            upstand: upstand?,
            shortest: shortest?,
            eave_projection: eave_projection?,
            verge_projection: verge_projection?,
            base_length: base_length?,
            base_weight: base_weight?,
            cap_length: cap_length?,
            cap_weight: cap_weight?,
            adhesive: adhesive?,
            tin: tin?,
            flange: flange?,
            primer: primer?,
            primer_tin: primer_tin?,
            base_thickness: base_thickness.ok()?,
            cap_thickness: cap_thickness.ok()?,
        })
    }

    /// The base layer begins with half a width: its laps stand apart from those of the cap sheet only if a lap is at most a
    /// quarter of the width.
    fn check_side_lap(&mut self, table: &Table<'d>, width: f64, lap: f64) -> Option<()> {
        if lap <= width / 4.0 {
            return Some(());
        }
        let item = table.get("side_lap")?;
        self.wrong(&item, Fault::CardLap { most: width / 4.0 });
        None
    }

    /// `[[….lap]]`.
    pub fn laps(&mut self, table: &Table<'d>) -> Option<Vec<LapByPitch>> {
        self.each(table, "lap", |reader, table| {
            let pitch_from = reader.value(table, "pitch_from");
            let lap = reader.value(table, "lap");
            let source = reader.text_at(table, "source");
            Some(LapByPitch { pitch_from: pitch_from?, lap: lap?, source: source? })
        })
    }

    /// Every table of a list; `None` when one of them is wrong.
    pub fn each<T>(
        &mut self,
        parent: &Table<'d>,
        key: &str,
        mut read: impl FnMut(&mut Self, &Table<'d>) -> Option<T>,
    ) -> Option<Vec<T>> {
        let before = self.problems.len();
        let tables = self.tables(parent, key);
        let read: Vec<Option<T>> = tables.iter().map(|table| read(self, table)).collect();
        let fine = self.problems.len() == before || !parent.has(key) || read.iter().all(Option::is_some);
        if fine { read.into_iter().collect() } else { None }
    }

    /// An optional table.
    fn part<T>(
        &mut self,
        root: &Table<'d>,
        key: &str,
        read: impl FnOnce(&mut Self, &Table<'d>) -> Option<T>,
    ) -> Result<Option<T>, Reported> {
        match self.table_at(root, key)? {
            Some(table) => read(self, &table).map(Some).ok_or(Reported),
            None => Ok(None),
        }
    }

    /// A pitch from which on a rule holds, radians; 0 is allowed: it holds from level on.
    pub(crate) fn rule_pitch(&mut self, item: &Item<'d>) -> Option<f64> {
        if let toml::de::DeValue::Integer(number) = item.value
            && number.as_str() == "0"
        {
            return Some(0.0);
        }
        self.pitch(item).map(crate::base::units::Pitch::radians)
    }
}
