//! The goods of a material card: caps, nails, underlay, metal, adhesive, deck, gutters.

use super::card_schema as keys;
use super::measures::Sign;
use super::node::Table;
use super::reader::Reader;
use crate::takeoff::goods::{
    AbutmentFlashing, Adhesive, Caps, Deck, DeckKind, EdgeStrip, Exposure, NailRule, Nails, RainGoods, Underlay,
    ValleyLining,
};

impl<'d> Reader<'d> {
    pub fn caps(&mut self, table: &Table<'d>) -> Option<Caps> {
        let length = self.required_length(table, "length", Sign::Positive);
        let exposure = self.required_length(table, "exposure", Sign::Positive);
        let half_cover = self.required_length(table, "half_cover", Sign::Positive);
        let per_strip = self.optional(table, "per_strip", |reader, item| reader.count(item, 1));
        let pack = self.optional(table, "pack", |reader, item| reader.count(item, 1));
        let weight = self.optional(table, "weight", |reader, item| reader.number(item, Sign::Positive));
        let source = self.source(table);
        Some(Caps {
            length: length?,
            exposure: exposure?,
            half_cover: half_cover?,
            per_strip: per_strip.ok()?,
            pack: pack.ok()?,
            weight: weight.ok()?,
            source: source?,
        })
    }

    pub fn nails(&mut self, table: &Table<'d>) -> Option<Nails> {
        let rules = self.each(table, "rule", &keys::NAIL_RULE, |reader, table| {
            let pitch_from = reader.card_pitch(table, "pitch_from");
            let exposures = [("normal", Exposure::Normal), ("exposed", Exposure::Exposed)];
            let exposure = reader.optional(table, "exposure", |reader, item| reader.choice(item, &exposures));
            let per_piece = reader.required_number(table, "per_piece", Sign::Positive);
            let source = reader.source(table);
            Some(NailRule { pitch_from: pitch_from?, exposure: exposure.ok()?, per_piece: per_piece?, source: source? })
        });
        let per_cap = self.optional(table, "per_cap", |reader, item| reader.count(item, 0));
        let per_starter_metre = self.number_or(table, "per_starter_metre", 4.0);
        let least = self.optional(table, "least", |reader, item| reader.count(item, 0));
        let spare = self.optional(table, "spare", Self::share);
        let pack = self.required_count(table, "pack", 1);
        let pack_name = self.words_or(table, "pack_name", "box");
        let weight = self.required_number(table, "weight", Sign::Positive);
        Some(Nails {
            rules: rules?,
            per_cap: per_cap.ok()?.unwrap_or(2),
            per_starter_metre: per_starter_metre?,
            least: least.ok()?.unwrap_or(2),
            spare: spare.ok()?.unwrap_or(0.05),
            pack: pack?,
            pack_name: pack_name?,
            weight: weight?,
        })
    }

    pub fn underlay(&mut self, table: &Table<'d>) -> Option<Underlay> {
        let width = self.required_length(table, "width", Sign::Positive);
        let length = self.required_length(table, "length", Sign::Positive);
        let laps = self.laps(table);
        let double_below = self.optional(table, "double_below", Self::rule_pitch);
        let end_lap = self.length_or(table, "end_lap", 0.1);
        let over = self.length_or(table, "over", 0.15);
        let upstand = self.length_or(table, "upstand", 0.1);
        let ice_inside = self.optional(table, "ice_inside", |reader, item| reader.length(item, Sign::NotNegative));
        let weight = self.required_number(table, "weight", Sign::Positive);
        Some(Underlay {
            width: width?,
            length: length?,
            laps: laps?,
            double_below: double_below.ok()?,
            end_lap: end_lap?,
            over: over?,
            upstand: upstand?,
            ice_inside: ice_inside.ok()?,
            weight: weight?,
        })
    }

    pub fn edge_strip(&mut self, table: &Table<'d>) -> Option<EdgeStrip> {
        let piece = self.required_length(table, "piece", Sign::Positive);
        let lap = self.length_or(table, "lap", 0.05);
        let weight = self.required_number(table, "weight", Sign::Positive);
        Some(EdgeStrip { piece: piece?, lap: lap?, weight: weight? })
    }

    pub fn adhesive(&mut self, table: &Table<'d>) -> Option<Adhesive> {
        let tube = self.required_number(table, "tube", Sign::Positive);
        let dab = self.required_number(table, "dab", Sign::Positive);
        let per_tab = self.required_number(table, "per_tab", Sign::NotNegative);
        let per_cap = self.required_number(table, "per_cap", Sign::NotNegative);
        let per_starter_metre = self.required_number(table, "per_starter_metre", Sign::NotNegative);
        let per_bedded_metre = self.required_number(table, "per_bedded_metre", Sign::NotNegative);
        let weight = self.required_number(table, "weight", Sign::Positive);
        let source = self.source(table);
        Some(Adhesive {
            tube: tube?,
            dab: dab?,
            per_tab: per_tab?,
            per_cap: per_cap?,
            per_starter_metre: per_starter_metre?,
            per_bedded_metre: per_bedded_metre?,
            weight: weight?,
            source: source?,
        })
    }

    pub fn valley_lining(&mut self, table: &Table<'d>) -> Option<ValleyLining> {
        let width = self.required_length(table, "width", Sign::Positive);
        let piece = self.required_length(table, "piece", Sign::Positive);
        let lap = self.required_length(table, "lap", Sign::NotNegative);
        let clear = self.length_or(table, "clear", 0.075);
        let widen = self.number_or(table, "widen", 0.005);
        let weight = self.required_number(table, "weight", Sign::Positive);
        let source = self.source(table);
        Some(ValleyLining {
            width: width?,
            piece: piece?,
            lap: lap?,
            clear: clear?,
            widen: widen?,
            weight: weight?,
            source: source?,
        })
    }

    pub fn flashing(&mut self, table: &Table<'d>) -> Option<AbutmentFlashing> {
        let piece = self.required_length(table, "piece", Sign::Positive);
        let lap = self.required_length(table, "lap", Sign::NotNegative);
        let upstand = self.required_length(table, "upstand", Sign::NotNegative);
        let cover = self.required_length(table, "cover", Sign::NotNegative);
        let weight = self.required_number(table, "weight", Sign::Positive);
        let source = self.source(table);
        Some(AbutmentFlashing {
            piece: piece?,
            lap: lap?,
            upstand: upstand?,
            cover: cover?,
            weight: weight?,
            source: source?,
        })
    }

    pub fn deck(&mut self, table: &Table<'d>) -> Option<Deck> {
        let kinds = [("boards", DeckKind::Boards), ("sheets", DeckKind::Sheets), ("battens", DeckKind::Battens)];
        let kind = self.required(table, "kind", "\"boards\", \"sheets\" or \"battens\"");
        let kind = kind.and_then(|item| self.choice(&item, &kinds));
        let width = self.required_length(table, "width", Sign::Positive);
        let length = self.required_length(table, "length", Sign::Positive);
        let thickness = self.required_length(table, "thickness", Sign::Positive);
        let spacing = self.required_length(table, "spacing", Sign::Positive);
        let weight = self.required_number(table, "weight", Sign::Positive);
        Some(Deck {
            kind: kind?,
            width: width?,
            length: length?,
            thickness: thickness?,
            spacing: spacing?,
            weight: weight?,
        })
    }

    pub fn rain_goods(&mut self, table: &Table<'d>) -> Option<RainGoods> {
        let gutter_piece = self.required_length(table, "gutter_piece", Sign::Positive);
        let outlet_drains = self.required_number(table, "outlet_drains", Sign::Positive);
        let source = self.source(table);
        let board = self.required_length(table, "board", Sign::Positive);
        Some(RainGoods { gutter_piece: gutter_piece?, outlet_drains: outlet_drains?, source: source?, board: board? })
    }
}
