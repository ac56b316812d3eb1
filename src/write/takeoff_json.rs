//! The take-off as JSON: `takeoff --json`, `compare --json`.

use super::layout_json::{self, LayoutTwin, PlanTwin};
use crate::takeoff::answer::{Line, TakeOff};
use crate::takeoff::caps::CapRun;
use crate::takeoff::compare::Row;
use crate::takeoff::deck::DeckCut;
use crate::takeoff::offer::{Offer, OfferLine};
use crate::takeoff::reroof::OldRoofAnswer;
use crate::write::note_json::NoteTwin;
use serde::Serialize;

/// The take-off's format and version.
pub const FORMAT: &str = "eavewright-takeoff/1";

/// The comparison's format and version.
pub const COMPARE_FORMAT: &str = "eavewright-compare/1";

/// Twin of [`TakeOff`].
#[derive(Serialize)]
pub struct TakeoffTwin<'a> {
    format: &'static str,
    area: f64,
    area_sd: Option<f64>,
    lines: Vec<LineTwin<'a>>,
    layout: Vec<LayoutTwin<'a>>,
    underlay: Vec<PlanTwin<'a>>,
    deck: Vec<PlanTwin<'a>>,
    caps: Vec<CapTwin>,
    deck_cuts: Vec<CutTwin>,
    weight: f64,
    weight_on_deck: f64,
    cost: Option<f64>,
    offer: Option<OfferTwin<'a>>,
    old_roof: Option<OldRoofTwin<'a>>,
    tools: &'a [&'static str],
    notes: Vec<NoteTwin>,
}

#[derive(Serialize)]
struct LineTwin<'a> {
    item: &'a str,
    what: &'a str,
    quantity: Option<f64>,
    unit: &'static str,
    packs: Option<u32>,
    pack: Option<&'a str>,
    packs_low: Option<u32>,
    packs_high: Option<u32>,
    rule_of_thumb: Option<f64>,
    weight: Option<f64>,
    cost: Option<f64>,
    left_over: Option<f64>,
    detail: Option<&'a str>,
}

#[derive(Serialize)]
struct CapTwin {
    kind: &'static str,
    from: [f64; 3],
    to: [f64; 3],
    length: f64,
    caps: u32,
    doubled: u32,
    closing: u32,
    exposure: f64,
    last_covers: f64,
    why: &'static str,
    edges: Vec<usize>,
}

#[derive(Serialize)]
struct CutTwin {
    length: f64,
    count: usize,
}

#[derive(Serialize)]
struct OfferTwin<'a> {
    currency: Option<&'a str>,
    material: Vec<OfferLineTwin<'a>>,
    work: Vec<OfferLineTwin<'a>>,
    net: f64,
    margin: f64,
    tax: f64,
    total: f64,
    unpriced: &'a [String],
}

#[derive(Serialize)]
struct OfferLineTwin<'a> {
    what: &'a str,
    quantity: f64,
    unit: &'static str,
    price: f64,
    sum: f64,
}

#[derive(Serialize)]
struct OldRoofTwin<'a> {
    kind: &'a str,
    layers: u32,
    area: f64,
    weight: f64,
    skip_volume: f64,
    deck_to_renew: f64,
    stays: &'a [String],
}

/// Twin of a comparison.
#[derive(Serialize)]
pub struct CompareTwin {
    format: &'static str,
    rows: Vec<RowTwin>,
}

#[derive(Serialize)]
struct RowTwin {
    pitch: f64,
    area: Option<f64>,
    ridge_height: Option<f64>,
    rafter: Option<f64>,
    packs: Option<u32>,
    weight: Option<f64>,
    cost: Option<f64>,
    suitable: Option<bool>,
    snow_mu1: f64,
    snow_mu2: Option<f64>,
    rain_area: Option<f64>,
    notes: Vec<NoteTwin>,
}

impl<'a> TakeoffTwin<'a> {
    /// The twin of a take-off; with `rows` every row and piece of the courses. Numbers that are not worked out are null.
    #[must_use]
    pub fn new(answer: &'a TakeOff, rows: bool) -> Self {
        Self {
            format: FORMAT,
            area: answer.area,
            area_sd: answer.area_sd,
            lines: answer.lines.iter().map(LineTwin::from).collect(),
            layout: layout_json::layouts(answer, rows),
            underlay: layout_json::plans(answer, &answer.underlay_plans, rows),
            deck: layout_json::plans(answer, &answer.deck_plans, rows),
            caps: answer.caps.iter().map(CapTwin::from).collect(),
            deck_cuts: answer.deck_cuts.iter().map(CutTwin::from).collect(),
            weight: answer.weight(),
            weight_on_deck: answer.weight_on_deck(),
            cost: answer.cost(),
            offer: answer.offer.as_ref().map(OfferTwin::from),
            old_roof: answer.old_roof.as_ref().map(OldRoofTwin::from),
            tools: &answer.tools,
            notes: answer.notes.iter().map(NoteTwin::from).collect(),
        }
    }
}

impl<'a> From<&'a Line> for LineTwin<'a> {
    fn from(line: &'a Line) -> Self {
        Self {
            item: &line.item,
            what: &line.what,
            quantity: line.quantity,
            unit: line.unit,
            packs: line.packs,
            pack: line.pack.as_deref(),
            packs_low: line.packs_range.map(|range| range[0]),
            packs_high: line.packs_range.map(|range| range[1]),
            rule_of_thumb: line.rule_of_thumb,
            weight: line.weight,
            cost: line.cost,
            left_over: line.left_over,
            detail: line.detail.as_deref(),
        }
    }
}

impl From<&CapRun> for CapTwin {
    fn from(run: &CapRun) -> Self {
        Self {
            kind: run.kind.word(),
            from: run.from.coords.into(),
            to: run.to.coords.into(),
            length: run.length,
            caps: run.caps,
            doubled: run.doubled,
            closing: run.closing,
            exposure: run.exposure,
            last_covers: run.last_covers,
            why: run.why.word(),
            edges: run.edges.iter().map(|edge| edge.index()).collect(),
        }
    }
}

impl From<&DeckCut> for CutTwin {
    fn from(cut: &DeckCut) -> Self {
        Self { length: cut.length, count: cut.count }
    }
}

impl<'a> From<&'a Offer> for OfferTwin<'a> {
    fn from(offer: &'a Offer) -> Self {
        Self {
            currency: offer.currency.as_deref(),
            material: offer.material.iter().map(OfferLineTwin::from).collect(),
            work: offer.work.iter().map(OfferLineTwin::from).collect(),
            net: offer.net,
            margin: offer.margin,
            tax: offer.tax,
            total: offer.total,
            unpriced: &offer.unpriced,
        }
    }
}

impl<'a> From<&'a OfferLine> for OfferLineTwin<'a> {
    fn from(line: &'a OfferLine) -> Self {
        Self { what: &line.what, quantity: line.quantity, unit: line.unit, price: line.price, sum: line.sum }
    }
}

impl<'a> From<&'a OldRoofAnswer> for OldRoofTwin<'a> {
    fn from(old: &'a OldRoofAnswer) -> Self {
        Self {
            kind: &old.kind,
            layers: old.layers,
            area: old.area,
            weight: old.weight,
            skip_volume: old.skip_volume,
            deck_to_renew: old.deck_to_renew,
            stays: &old.stays,
        }
    }
}

impl CompareTwin {
    /// The twin of a comparison.
    #[must_use]
    pub fn new(rows: &[Row]) -> Self {
        let twin = |row: &Row| RowTwin {
            pitch: row.pitch.degrees(),
            area: row.area,
            ridge_height: row.ridge_height,
            rafter: row.rafter,
            packs: row.packs,
            weight: row.weight,
            cost: row.cost,
            suitable: row.suitable,
            snow_mu1: row.snow_mu1,
            snow_mu2: row.snow_mu2,
            rain_area: row.rain_area,
            notes: row.notes.iter().map(NoteTwin::from).collect(),
        };
        Self { format: COMPARE_FORMAT, rows: rows.iter().map(twin).collect() }
    }
}
