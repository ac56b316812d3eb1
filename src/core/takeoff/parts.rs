//! A job of several coverings: each building, and each part of one with a covering of its own, is taken off by itself; the
//! order in all is theirs together.
//!
//! An edge between two parts (a valley, a ridge) is lined or capped once, with the part that has its first face. What is
//! counted in pieces is bought for all parts together; rolls, boards and lengths for each by itself.

use super::answer::{PartOrder, TakeOff};
use super::finding::Finding;
use super::item::{Pack, Quantity};
use super::model::Prices;
use super::offer::offer;
use super::order_line::OrderLine;
use super::take_off::{price_findings, priced};
use crate::base::estimate::{Assumption, Estimate, Reason};
use crate::base::finding::Finding as _;
use crate::base::ids::FaceId;
use crate::roof::analysis::opening::CutOpening;
use crate::roof::{EdgeKind, FaceKind, Roof};

/// A part of a roof with its openings, ids as in the whole: other faces count as walls, edges of theirs alone as walls' feet.
#[must_use]
pub fn part(roof: &Roof, openings: &[CutOpening], faces: &[FaceId]) -> (Roof, Vec<CutOpening>) {
    let mut part = roof.clone();
    part.triangles = None;
    for (index, face) in part.faces.iter_mut().enumerate() {
        if !faces.contains(&FaceId::new(index)) {
            face.kind = FaceKind::Wall;
        }
    }
    for edge in &mut part.edges {
        if !edge.faces.iter().any(|face| faces.contains(face)) {
            edge.kind = EdgeKind::Base;
        }
    }
    let openings = openings.iter().filter(|opening| faces.contains(&opening.face)).cloned().collect();
    (part, openings)
}

/// What a part is called, and the take-off of it.
#[derive(Clone, Debug)]
pub struct Taken {
    /// Names of its blocks, or of its faces by points.
    pub names: Vec<String>,
    /// Its card's name and title.
    pub card: [String; 2],
    /// Its take-off.
    pub order: TakeOff,
}

/// Take-offs of parts as one. O(lines²).
#[must_use]
pub fn together(taken: Vec<Taken>, prices: &Prices) -> TakeOff {
    let mut all: Option<TakeOff> = None;
    let mut parts = Vec::new();
    for Taken { names, card: [card, title], order } in taken {
        parts.push(PartOrder { names, card, title, area: order.area, lines: order.lines.clone() });
        match &mut all {
            Some(all) => add(all, order),
            None => all = Some(order),
        }
    }
    let Some(mut all) = all else { return TakeOff::nothing(Estimate::exact(0.0), Vec::new()) };
    // Layouts and counts stay side by side.
    let mut laid: Vec<_> = std::mem::take(&mut all.layouts).into_iter().zip(std::mem::take(&mut all.faces)).collect();
    laid.sort_by_key(|(layout, _)| layout.face);
    (all.layouts, all.faces) = laid.into_iter().unzip();
    for plans in [&mut all.deck_plans, &mut all.underlay_plans, &mut all.felt.base.plans, &mut all.felt.cap.plans] {
        plans.sort_by_key(|plan| plan.face);
    }
    all.lines.sort_by(|a, b| a.stage().cmp(&b.stage()).then_with(|| a.item.cmp(&b.item)));
    for line in &mut all.lines {
        line.cost = Estimate::not_determined(Reason::Absent);
    }
    priced(&mut all.lines, prices);
    all.findings.retain(|finding| !matches!(finding, Finding::PriceNotUsed { .. } | Finding::PriceByPiece { .. }));
    let of_prices = price_findings(&all, prices);
    all.findings.extend(of_prices);
    all.findings.sort_by_key(Finding::severity);
    all.offer = offer(prices, &all.lines, &all.measures);
    all.parts = parts;
    all
}

/// Adds the take-off of a further part.
fn add(all: &mut TakeOff, other: TakeOff) {
    for line in other.lines {
        add_line(&mut all.lines, line);
    }
    all.not_ordered.extend(other.not_ordered);
    let turns = all.layouts.len();
    all.layouts.extend(other.layouts.into_iter().map(|mut layout| {
        layout.details.turn += turns;
        layout
    }));
    all.faces.extend(other.faces);
    all.caps.extend(other.caps);
    all.deck_cuts.extend(other.deck_cuts);
    all.deck_plans.extend(other.deck_plans);
    all.underlay_plans.extend(other.underlay_plans);
    for (own, other) in [(&mut all.felt.base, other.felt.base), (&mut all.felt.cap, other.felt.cap)] {
        own.plans.extend(other.plans);
        own.strips.extend(other.strips);
        own.rolls += other.rolls;
        own.area += other.area;
    }
    all.valleys.join(other.valleys);
    for finding in other.findings {
        if !all.findings.contains(&finding) {
            all.findings.push(finding);
        }
    }
    all.work.extend(other.work);
    match (&mut all.old_roof, other.old_roof) {
        (Some(own), Some(other)) => {
            own.area += other.area;
            own.weight += other.weight;
            own.skip_volume += other.skip_volume;
            own.deck_to_renew += other.deck_to_renew;
        }
        (own @ None, other) => *own = other,
        (Some(_), None) => {}
    }
    for tool in other.tools {
        if !all.tools.contains(&tool) {
            all.tools.push(tool);
        }
    }
    all.measures = std::mem::take(&mut all.measures).and(&other.measures);
    all.area = sum(&all.area, &other.area);
}

/// Both as one measure: what is off with one is taken to be off with the other.
fn sum(a: &Estimate, b: &Estimate) -> Estimate {
    let value = a.value().unwrap_or(0.0) + b.value().unwrap_or(0.0);
    match (a.sd(), b.sd()) {
        (Some(a), Some(b)) => Estimate::measured(value, a + b),
        _ => Estimate::taken(value, Assumption::SpreadNotComputed),
    }
}

/// How much is laid of what each line orders, the lines of one item together whatever they come in. O(lines²).
#[must_use]
pub fn laid_together(lines: &[OrderLine]) -> Vec<OrderLine> {
    let mut together: Vec<OrderLine> = Vec::new();
    for line in lines {
        match together.iter_mut().find(|other| other.item == line.item && other.unit == line.unit) {
            Some(own) => own.quantity = both(own.quantity, line.quantity),
            None => together.push(line.clone()),
        }
    }
    together
}

fn both(one: Quantity, other: Quantity) -> Quantity {
    match (one, other) {
        (Quantity::Count(a), Quantity::Count(b)) => Quantity::Count(a + b),
        (Quantity::Measure(a), Quantity::Measure(b)) => Quantity::Measure(sum(&a, &b)),
        (one, _) => one,
    }
}

/// Adds a line to those of the same thing in the same pack.
fn add_line(lines: &mut Vec<OrderLine>, line: OrderLine) {
    let same = |other: &&mut OrderLine| {
        other.item == line.item && other.pack == line.pack && other.unit == line.unit && other.is_there == line.is_there
    };
    let Some(own) = lines.iter_mut().find(same) else {
        lines.push(line);
        return;
    };
    let packs = |a: Option<u32>, b: Option<u32>| a.zip(b).map(|(a, b)| a + b);
    let before = packs(own.packs, line.packs);
    own.quantity = both(own.quantity, line.quantity);
    own.packs_range = match (own.packs_range, line.packs_range) {
        (Some(a), Some(b)) => Some([a[0] + b[0], a[1] + b[1]]),
        (Some([low, high]), None) => line.packs.map(|packs| [low + packs, high + packs]),
        (None, Some([low, high])) => own.packs.map(|packs| [low + packs, high + packs]),
        (None, None) => None,
    };
    own.packs = before;
    let add = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| a + b);
    own.left_over = add(own.left_over, line.left_over);
    own.rule_of_thumb = add(own.rule_of_thumb, line.rule_of_thumb);
    own.weight = sum(&own.weight, &line.weight);
    own.priced = own.priced.zip(line.priced).map(|((a, unit), (b, _))| (a + b, unit));
    // How each comes about is told with its part.
    (own.detail, own.over_area) = (None, None);
    share_packs(own);
}

/// Whole packs once over all parts, of what is counted in pieces: what one leaves over another uses.
fn share_packs(line: &mut OrderLine) {
    let (Some(Pack::Of { pieces, .. } | Pack::Pieces(pieces)), Some(left), Some(packs)) =
        (&line.pack, line.left_over, line.packs)
    else {
        return;
    };
    let size = f64::from((*pieces).max(1));
    // Packs ordered to spare leave more than a pack over at one part alone: they stay.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let spare = ((left / size).floor() as u32).min(1).min(packs.saturating_sub(1));
    if spare == 0 {
        return;
    }
    let share = f64::from(packs - spare) / f64::from(packs);
    line.packs = Some(packs - spare);
    line.packs_range = line.packs_range.map(|range| range.map(|packs| packs.saturating_sub(spare)));
    line.left_over = Some(left - f64::from(spare) * size);
    if let Some(weight) = line.weight.value() {
        line.weight = match line.weight.sd() {
            Some(sd) => Estimate::measured(weight * share, sd * share),
            None => Estimate::taken(weight * share, Assumption::SpreadNotComputed),
        };
    }
}
