//! The take-off as JSON: `takeoff --json`, `compare --json`.

use super::layout_json::{self, LayerTwin, LayoutTwin, PlanTwin};
use super::name::NameTwin;
use crate::base::finding::Finding as _;
use crate::job::order::Row;
use crate::job::{Answer, Job};
use crate::roof::Roof;
use crate::takeoff::Finding;
use crate::takeoff::answer::{PartOrder, TakeOff};
use crate::takeoff::by_stage::StageOrder;
use crate::takeoff::caps::CapRun;
use crate::takeoff::deck::DeckCut;
use crate::takeoff::item::Detail;
use crate::takeoff::item::{Item, Pack};
use crate::takeoff::order_line::OrderLine;
use crate::takeoff::parts::laid_together;
use crate::takeoff::reroof::OldRoofAnswer;
use crate::takeoff::scope::NotOrdered;
use crate::takeoff::small::SmallGroup;
use crate::takeoff::thumb::Thumb;
use crate::takeoff::work::{Kind, Step};
use crate::wording::units::Format;
use crate::wording::{self, About, order};
use crate::write::note_json::{NoteTwin, Values, by_name};
use crate::write::offer_json::OfferTwin;
use serde::Serialize;
use std::collections::BTreeMap;

/// The take-off's format and version.
pub const FORMAT: &str = "eavewright-takeoff/1";

/// The comparison's format and version.
pub const COMPARE_FORMAT: &str = "eavewright-compare/1";

/// Twin of [`TakeOff`].
#[derive(Serialize)]
pub struct TakeoffTwin<'a> {
    format: &'static str,
    area: Option<f64>,
    area_sd: Option<f64>,
    area_95: Option<f64>,
    lines: Vec<LineTwin<'a>>,
    /// Where blocks have coverings of their own: each building, or part of one, with its own order.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    parts: Vec<PartTwin<'a>>,
    /// Goods that stand in several lines, for they come in several packs: how much is laid of them in all.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    laid_together: Vec<LaidTwin<'a>>,
    stages: Vec<StageTwin<'a>>,
    small_goods: Vec<SmallTwin<'a>>,
    not_ordered: Vec<NotOrderedTwin<'a>>,
    layout: Vec<LayoutTwin<'a>>,
    underlay: Vec<PlanTwin<'a>>,
    deck: Vec<PlanTwin<'a>>,
    /// Of a felt roof: nailed to the deck.
    #[serde(skip_serializing_if = "Option::is_none")]
    base_layer: Option<LayerTwin<'a>>,
    /// Of a felt roof: bonded to it.
    #[serde(skip_serializing_if = "Option::is_none")]
    cap_sheet: Option<LayerTwin<'a>>,
    caps: Vec<CapTwin>,
    deck_cuts: Vec<CutTwin>,
    weight: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    weight_95: Option<f64>,
    weight_on_deck: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    weight_on_deck_95: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    van_payload: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    van_trips: Option<u32>,
    cost: Option<f64>,
    offer: Option<OfferTwin<'a>>,
    old_roof: Option<OldRoofTwin<'a>>,
    tools: Vec<String>,
    work: Vec<StepTwin<'a>>,
    notes: Vec<NoteTwin>,
}

#[derive(Serialize)]
struct PartTwin<'a> {
    names: &'a [String],
    card: &'a str,
    title: &'a str,
    area: Option<f64>,
    area_95: Option<f64>,
    lines: Vec<LineTwin<'a>>,
}

impl<'a> PartTwin<'a> {
    fn new(part: &'a PartOrder, format: Format) -> Self {
        let kind = order::kind(part.lines.iter().map(|line| &line.item));
        Self {
            names: &part.names,
            card: &part.card,
            title: &part.title,
            area: part.area.value(),
            area_95: part.area.within_95(),
            lines: part.lines.iter().map(|line| LineTwin::new(line, kind, format)).collect(),
        }
    }
}

/// How much of an item is laid in all.
#[derive(Serialize)]
struct LaidTwin<'a> {
    item: &'a str,
    quantity: Option<f64>,
    unit: &'static str,
}

/// What stands in several lines, each together.
fn laid_twins(answer: &TakeOff) -> Vec<LaidTwin<'_>> {
    let several = |item: &Item| answer.lines.iter().filter(|line| line.item == *item).count() > 1;
    laid_together(&answer.lines)
        .iter()
        .filter(|line| several(&line.item))
        .filter_map(|line| {
            let item = answer.lines.iter().find(|own| own.item == line.item)?.item.key();
            Some(LaidTwin { item, quantity: line.quantity.value(), unit: line.unit.word() })
        })
        .collect()
}

/// A line of an order.
#[derive(Serialize)]
pub(super) struct LineTwin<'a> {
    item: &'a str,
    what: String,
    quantity: Option<f64>,
    unit: &'static str,
    packs: Option<u32>,
    pack: Option<String>,
    packs_low: Option<u32>,
    packs_high: Option<u32>,
    rule_of_thumb: Option<f64>,
    weight: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    weight_95: Option<f64>,
    cost: Option<f64>,
    left_over: Option<f64>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    already_there: bool,
    detail: Option<String>,
    /// The numbers of the detail.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    values: BTreeMap<&'static str, Values>,
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    over: Option<OverTwin>,
}

#[derive(Serialize)]
struct NotOrderedTwin<'a> {
    item: &'a str,
    what: String,
    quantity: Option<f64>,
    unit: &'static str,
    why: &'static str,
}

/// Lines that a short list tells in one row.
#[derive(Serialize)]
struct SmallTwin<'a> {
    of: &'static str,
    items: Vec<&'a str>,
    weight: Option<f64>,
    cost: Option<f64>,
}

#[derive(Serialize)]
struct OverTwin {
    bought_over_area: f64,
    for_cuts: f64,
    for_starter: f64,
    for_caps: f64,
    for_packs: f64,
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
    /// The pitches the roof has now, degrees.
    present_pitches: Vec<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    currency: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    planning_height: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    headroom: Option<f64>,
    rows: Vec<RowTwin>,
}

#[derive(Serialize)]
struct RowTwin {
    pitch: f64,
    present: bool,
    area: Option<f64>,
    ridge_height: Option<f64>,
    rafter: Option<f64>,
    packs: Option<u32>,
    weight: Option<f64>,
    underlay_layers: Option<u32>,
    underlay_packs: Option<u32>,
    cost: Option<f64>,
    work: Option<f64>,
    price: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    headroom_area: Option<f64>,
    suitable: Option<bool>,
    snow_mu1: f64,
    snow_mu2: Option<f64>,
    rain_area: Option<f64>,
    notes: Vec<NoteTwin>,
}

impl<'a> TakeoffTwin<'a> {
    /// The twin of a take-off of `roof`, its sentences in the units of `format`; with `rows` every row and piece of the courses.
    /// Numbers that are not worked out are null.
    #[must_use]
    pub fn new(answer: &'a TakeOff, roof: &'a Roof, format: Format, rows: bool) -> Self {
        Self {
            format: FORMAT,
            area: answer.area.value(),
            area_sd: answer.area.sd(),
            area_95: answer.area.within_95(),
            lines: answer.lines.iter().map(|line| LineTwin::new(line, order::kind_of(answer), format)).collect(),
            parts: answer.parts.iter().map(|part| PartTwin::new(part, format)).collect(),
            laid_together: laid_twins(answer),
            stages: answer.by_stage().iter().map(StageTwin::from).collect(),
            small_goods: answer.small_goods().iter().map(SmallTwin::from).collect(),
            not_ordered: answer.not_ordered.iter().map(|spared| NotOrderedTwin::new(spared, answer)).collect(),
            layout: layout_json::layouts(answer, roof, rows),
            underlay: layout_json::plans(&answer.underlay_plans, roof, rows),
            deck: layout_json::plans(&answer.deck_plans, roof, rows),
            base_layer: layout_json::layer(&answer.felt.base, roof, rows),
            cap_sheet: layout_json::layer(&answer.felt.cap, roof, rows),
            caps: answer.caps.iter().map(CapTwin::from).collect(),
            deck_cuts: answer.deck_cuts.iter().map(CutTwin::from).collect(),
            weight: answer.weight().value(),
            weight_95: answer.weight().within_95(),
            weight_on_deck: answer.weight_on_deck().value(),
            weight_on_deck_95: answer.weight_on_deck().within_95(),
            van_payload: answer.van_payload,
            van_trips: answer.van_trips(),
            cost: answer.cost().value(),
            offer: answer.offer.as_ref().map(|offer| OfferTwin::new(offer, format)),
            old_roof: answer.old_roof.as_ref().map(OldRoofTwin::from),
            tools: answer.tools.iter().map(|tool| order::tools(&[*tool], format)).collect(),
            work: answer.work.iter().map(|step| StepTwin::new(step, roof, format)).collect(),
            notes: notes(&answer.findings, roof, format),
        }
    }

    /// With what casts doubt on the roof itself among the notes, in one order with those of the take-off: who orders by it
    /// needs to know.
    #[must_use]
    pub fn with_doubts(mut self, job: &Job, solved: &Answer) -> Self {
        let doubts = NoteTwin::all(&About::of(job, &solved.roof), &solved.findings).into_iter();
        self.notes.splice(0..0, doubts.filter(|note| note.weight().comes_first()));
        self.notes.sort_by_key(NoteTwin::weight);
        self
    }
}

/// A step of work.
#[derive(Serialize)]
pub(super) struct StepTwin<'a> {
    step: &'static str,
    uses: Vec<&'a str>,
    faces: Vec<NameTwin<'a>>,
    edges: Vec<usize>,
    values: BTreeMap<&'static str, Values>,
    message: String,
    cautions: Vec<String>,
}

impl<'a> StepTwin<'a> {
    pub fn new(step: &'a Step, roof: &'a Roof, format: Format) -> Self {
        Self {
            step: step.task.word(),
            uses: step.uses.iter().map(Item::key).collect(),
            faces: step.faces.iter().map(|&face| NameTwin::of(roof, face)).collect(),
            edges: step.edges.iter().map(|edge| edge.index()).collect(),
            values: by_name(&step.values()),
            message: wording::work::message(step, format),
            cautions: step.cautions.iter().map(|&caution| wording::work::caution(caution, format)).collect(),
        }
    }
}

fn notes(findings: &[Finding], roof: &Roof, format: Format) -> Vec<NoteTwin> {
    findings.iter().map(|found| NoteTwin::of(found, wording::takeoff::finding(found, roof, format), roof)).collect()
}

impl<'a> LineTwin<'a> {
    pub fn new(line: &'a OrderLine, kind: Kind, format: Format) -> Self {
        let mut values = line.detail.as_ref().map(Detail::values).unwrap_or_default();
        values.extend(line.thumb.map(Thumb::values).unwrap_or_default());
        if let Some(Pack::Of { pieces, .. }) = &line.pack {
            values.push(("pieces", f64::from(*pieces)));
        }
        Self {
            item: line.item.key(),
            what: order::what(&line.item, kind),
            quantity: line.quantity.value(),
            unit: line.unit.word(),
            packs: line.packs,
            pack: line.pack.is_some().then(|| order::pack(line, format)),
            packs_low: line.packs_range.map(|range| range[0]),
            packs_high: line.packs_range.map(|range| range[1]),
            rule_of_thumb: line.rule_of_thumb,
            weight: line.weight.value(),
            weight_95: line.weight.within_95(),
            cost: line.cost.value(),
            left_over: line.left_over,
            already_there: line.is_there,
            detail: order::detail(line, format),
            values: by_name(&values),
            over: line.over_area.map(|over| OverTwin {
                bought_over_area: over.total,
                for_cuts: over.for_cuts,
                for_starter: over.for_starter,
                for_caps: over.for_caps,
                for_packs: over.for_packs,
            }),
        }
    }
}

/// A part of the work with what it takes of the order.
#[derive(Serialize)]
struct StageTwin<'a> {
    stage: &'static str,
    items: Vec<&'a str>,
    cost: Option<f64>,
}

impl<'a> From<&StageOrder<'a>> for StageTwin<'a> {
    fn from(of: &StageOrder<'a>) -> Self {
        Self {
            stage: of.stage.word(),
            items: of.lines.iter().map(|line| line.item.key()).collect(),
            cost: of.cost.value(),
        }
    }
}

impl<'a> From<&SmallGroup<'a>> for SmallTwin<'a> {
    fn from(group: &SmallGroup<'a>) -> Self {
        Self {
            of: group.of.word(),
            items: group.lines.iter().map(|line| line.item.key()).collect(),
            weight: group.weight.value(),
            cost: group.cost,
        }
    }
}

impl<'a> NotOrderedTwin<'a> {
    fn new(spared: &'a NotOrdered, answer: &TakeOff) -> Self {
        Self {
            item: spared.item.key(),
            what: order::what(&spared.item, order::kind_of(answer)),
            quantity: spared.quantity.value(),
            unit: spared.unit.word(),
            why: spared.why.word(),
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

fn row_notes(row: &Row, job: &Job, format: Format) -> Vec<NoteTwin> {
    let describe = |found: &Finding| match found {
        Finding::PitchNotSolved => wording::compare::why_not(row, job, format).join("; "),
        _ => wording::takeoff::finding(found, &row.roof, format),
    };
    let values = |found: &Finding| match found {
        Finding::PitchNotSolved => row
            .why_none
            .iter()
            .flat_map(|failure| &failure.faults)
            .flat_map(crate::base::finding::Finding::values)
            .collect(),
        _ => found.values(),
    };
    let note = |found: &Finding| NoteTwin::of(found, describe(found), &row.roof).with_values(&values(found));
    row.findings.iter().map(note).collect()
}

impl CompareTwin {
    /// The twin of a comparison of `job`, its sentences in the units of `format`.
    #[must_use]
    pub fn new(rows: &[Row], job: &Job, format: Format) -> Self {
        let twin = |row: &Row| RowTwin {
            pitch: row.pitch.degrees(),
            present: row.is_present,
            area: row.area.value(),
            ridge_height: row.ridge_height.value(),
            rafter: row.rafter.value(),
            packs: row.packs,
            weight: row.weight.value(),
            underlay_layers: row.underlay_layers,
            underlay_packs: row.underlay_packs,
            cost: row.cost.value(),
            work: row.work.value(),
            price: row.price.value(),
            headroom_area: row.headroom_area.value(),
            suitable: row.suitable,
            snow_mu1: row.snow_mu1,
            snow_mu2: row.snow_mu2,
            rain_area: row.rain_area.value(),
            notes: row_notes(row, job, format),
        };
        let present = rows.first().map(|row| row.present.as_slice()).unwrap_or_default();
        Self {
            format: COMPARE_FORMAT,
            present_pitches: present.iter().map(|pitch| pitch.to_degrees()).collect(),
            currency: job.covering.prices.currency.clone(),
            planning_height: job.limits.planning_height,
            headroom: job.limits.headroom.map(|room| room.height),
            rows: rows.iter().map(twin).collect(),
        }
    }
}
