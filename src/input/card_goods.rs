//! The goods of a material card: caps, nails, underlay, metal, adhesive, deck, gutters.

use super::node::Table;
use super::reader::Reader;
use super::schema::words::{DECKS, EXPOSURES, HELD};
use crate::takeoff::goods::{
    AbutmentFlashing, Adhesive, Caps, CounterBattens, Deck, EdgeStrip, Fix, NailRule, Nails, RainGoods, Underlay,
    ValleyLining, Vents, VergeUnits,
};

impl<'d> Reader<'d> {
    pub fn caps(&mut self, table: &Table<'d>) -> Option<Caps> {
        let length = self.value(table, "length");
        let lengths = self.maybe_lengths(table, "lengths");
        let exposure = self.value(table, "exposure");
        let half_cover = self.value(table, "half_cover");
        let per_strip = self.maybe_count(table, "per_strip");
        let pack = self.maybe_count(table, "pack");
        let weight = self.maybe(table, "weight");
        let source = self.text_at(table, "source");
        Some(Caps {
            length: length?,
            lengths: lengths?,
            exposure: exposure?,
            half_cover: half_cover?,
            per_strip: per_strip.ok()?,
            pack: pack.ok()?,
            weight: weight.ok()?,
            source: source?,
        })
    }

    pub fn nails(&mut self, table: &Table<'d>) -> Option<Nails> {
        let rules = self.each(table, "rule", |reader, table| {
            let pitch_from = reader.value(table, "pitch_from");
            let exposure = reader.maybe_word(table, "exposure", &EXPOSURES);
            let per_piece = reader.value(table, "per_piece");
            let source = reader.text_at(table, "source");
            Some(NailRule { pitch_from: pitch_from?, exposure: exposure.ok()?, per_piece: per_piece?, source: source? })
        });
        let per_cap = self.whole(table, "per_cap");
        let per_starter_metre = self.value(table, "per_starter_metre");
        let least = self.whole(table, "least");
        let spare = self.value(table, "spare");
        let pack = self.whole(table, "pack");
        let pack_name = self.text_at(table, "pack_name");
        let weight = self.value(table, "weight");
        Some(Nails {
            rules: rules?,
            per_cap: per_cap?,
            per_starter_metre: per_starter_metre?,
            least: least?,
            spare: spare?,
            pack: pack?,
            pack_name: pack_name?,
            weight: weight?,
        })
    }

    pub fn fixing(&mut self, table: &Table<'d>) -> Option<Fix> {
        let of = self.word(table, "of", &HELD);
        let each = self.value(table, "each");
        let spacing = self.maybe(table, "spacing");
        let spare = self.value(table, "spare");
        let pack = self.whole(table, "pack");
        let pack_name = self.text_at(table, "pack_name");
        let weight = self.value(table, "weight");
        let source = self.text_at(table, "source");
        Some(Fix {
            of: of?,
            each: each?,
            spacing: spacing.ok()?,
            spare: spare?,
            pack: pack?,
            pack_name: pack_name?,
            weight: weight?,
            source: source?,
        })
    }

    pub(crate) fn counter_battens(&mut self, table: &Table<'d>) -> Option<CounterBattens> {
        let [width, thickness, length, weight] =
            ["width", "thickness", "length", "weight"].map(|key| self.value(table, key));
        Some(CounterBattens { width: width?, thickness: thickness?, length: length?, weight: weight? })
    }

    pub(crate) fn verge_units(&mut self, table: &Table<'d>) -> Option<VergeUnits> {
        let (pack, weight) = (self.whole(table, "pack"), self.value(table, "weight"));
        let source = self.text_at(table, "source");
        Some(VergeUnits { pack: pack?, weight: weight?, source: source? })
    }

    pub fn vents(&mut self, table: &Table<'d>) -> Option<Vents> {
        let [eave, high, weight] = ["eave", "high", "weight"].map(|key| self.value(table, key));
        Some(Vents { eave: eave?, high: high?, weight: weight? })
    }

    pub fn underlay(&mut self, table: &Table<'d>) -> Option<Underlay> {
        let width = self.value(table, "width");
        let length = self.value(table, "length");
        let laps = self.laps(table);
        let double_below = self.maybe(table, "double_below");
        let end_lap = self.value(table, "end_lap");
        let over = self.value(table, "over");
        let upstand = self.value(table, "upstand");
        let ice_inside = self.maybe(table, "ice_inside");
        let ice_weight = self.value(table, "ice_weight");
        let weight = self.value(table, "weight");
        Some(Underlay {
            width: width?,
            length: length?,
            laps: laps?,
            double_below: double_below.ok()?,
            end_lap: end_lap?,
            over: over?,
            upstand: upstand?,
            ice_inside: ice_inside.ok()?,
            ice_weight: ice_weight?,
            weight: weight?,
        })
    }

    pub(crate) fn edge_strip(&mut self, table: &Table<'d>) -> Option<EdgeStrip> {
        let piece = self.value(table, "piece");
        let lap = self.value(table, "lap");
        let weight = self.value(table, "weight");
        let lengths = self.maybe_lengths(table, "lengths");
        Some(EdgeStrip { piece: piece?, lengths: lengths?, lap: lap?, weight: weight? })
    }

    pub fn adhesive(&mut self, table: &Table<'d>) -> Option<Adhesive> {
        let tube = self.value(table, "tube");
        let dab = self.value(table, "dab");
        let per_tab = self.value(table, "per_tab");
        let per_cap = self.value(table, "per_cap");
        let per_starter_metre = self.value(table, "per_starter_metre");
        let per_bedded_metre = self.value(table, "per_bedded_metre");
        let weight = self.value(table, "weight");
        let source = self.text_at(table, "source");
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
        let width = self.value(table, "width");
        let piece = self.value(table, "piece");
        let lap = self.value(table, "lap");
        let clear = self.value(table, "clear");
        let widen = self.value(table, "widen");
        let weight = self.value(table, "weight");
        let source = self.text_at(table, "source");
        let lengths = self.maybe_lengths(table, "lengths");
        Some(ValleyLining {
            width: width?,
            piece: piece?,
            lengths: lengths?,
            lap: lap?,
            clear: clear?,
            widen: widen?,
            weight: weight?,
            source: source?,
        })
    }

    pub fn flashing(&mut self, table: &Table<'d>) -> Option<AbutmentFlashing> {
        let piece = self.value(table, "piece");
        let lap = self.value(table, "lap");
        let upstand = self.value(table, "upstand");
        let cover = self.value(table, "cover");
        let weight = self.value(table, "weight");
        let [step_weight, saddle_weight] = ["step_weight", "saddle_weight"].map(|key| self.value(table, key));
        let source = self.text_at(table, "source");
        let lengths = self.maybe_lengths(table, "lengths");
        Some(AbutmentFlashing {
            piece: piece?,
            lengths: lengths?,
            lap: lap?,
            upstand: upstand?,
            cover: cover?,
            weight: weight?,
            step_weight: step_weight?,
            saddle_weight: saddle_weight?,
            source: source?,
        })
    }

    pub fn deck(&mut self, table: &Table<'d>) -> Option<Deck> {
        let kind = self.word(table, "kind", &DECKS);
        let name = self.maybe_text(table, "name");
        let lengths = self.maybe_lengths(table, "lengths");
        let width = self.value(table, "width");
        let length = self.value(table, "length");
        let thickness = self.value(table, "thickness");
        let spacing = self.value(table, "spacing");
        let weight = self.value(table, "weight");
        let kind = kind?;
        let usual = || DECKS.iter().find(|(_, known)| *known == kind).map_or(DECKS[0].0, |(word, _)| word);
        Some(Deck {
            name: name.ok()?.unwrap_or_else(|| usual().to_owned()),
            kind,
            width: width?,
            length: length?,
            lengths: lengths?,
            thickness: thickness?,
            spacing: spacing?,
            weight: weight?,
        })
    }

    pub fn rain_goods(&mut self, table: &Table<'d>) -> Option<RainGoods> {
        let gutter_piece = self.value(table, "gutter_piece");
        let outlet_drains = self.value(table, "outlet_drains");
        let source = self.text_at(table, "source");
        let board = self.value(table, "board");
        let gutter_weight = self.value(table, "gutter_weight");
        let bracket_spacing = self.value(table, "bracket_spacing");
        let pipe_piece = self.value(table, "pipe_piece");
        let pipe_weight = self.value(table, "pipe_weight");
        let clip_spacing = self.value(table, "clip_spacing");
        let fitting_weight = self.value(table, "fitting_weight");
        let board_weight = self.value(table, "board_weight");
        let soffit_weight = self.value(table, "soffit_weight");
        let soffit_piece = self.maybe(table, "soffit_piece");
        let [gutters, boards, soffits, pipes] = ["gutter_lengths", "board_lengths", "soffit_lengths", "pipe_lengths"]
            .map(|key| self.maybe_lengths(table, key));
        Some(RainGoods {
            gutter_piece: gutter_piece?,
            gutter_lengths: gutters?,
            outlet_drains: outlet_drains?,
            source: source?,
            board: board?,
            board_lengths: boards?,
            soffit_piece: soffit_piece.ok()?,
            soffit_lengths: soffits?,
            gutter_weight: gutter_weight?,
            bracket_spacing: bracket_spacing?,
            pipe_piece: pipe_piece?,
            pipe_lengths: pipes?,
            pipe_weight: pipe_weight?,
            clip_spacing: clip_spacing?,
            fitting_weight: fitting_weight?,
            board_weight: board_weight?,
            soffit_weight: soffit_weight?,
        })
    }
}
