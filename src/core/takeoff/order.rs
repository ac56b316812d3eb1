//! Lines of what lies under and round the covering: deck, boards, metal, underlay, flashings, rainwater.

use super::card::CoveringKind;
use super::covering::{Laid, margins};
use super::goods::{DeckKind, EdgeStrip};
use super::item::{Detail, Item, Pack, Quantity, Unit};
use super::lines::{Amount, Lines};
use super::outline::CoveredFace;
use super::pieces::PiecePlan;
use super::take_off::TakeoffInput;
use super::{deck, flashing, rain, runs, underlay};
use crate::roof::{EdgeKind, Roof};

/// Lines of deck, fascia and soffit; gives the deck as counted.
pub(super) fn deck_lines(
    input: &TakeoffInput,
    faces: &[CoveredFace],
    laid: &Laid,
    lines: &mut Lines,
) -> deck::DeckCount {
    let card = &input.covering.card;
    let roof = input.roof;
    let mut deck = deck::DeckCount::default();
    if let Some(stock) = &card.deck {
        let gauge = |face: &CoveredFace| match &card.covering {
            CoveringKind::Unit(_) => {
                laid.layouts.iter().find(|layout| layout.face == face.id).map(|layout| layout.gauge)
            }
            _ => None,
        };
        let counted = deck::count(faces, input.openings, stock, gauge);
        // Battens are counted by their length, what covers by its area.
        let (laid, unit, each) = match stock.kind {
            DeckKind::Battens => (counted.area / stock.width, Unit::Metre, stock.length),
            DeckKind::Boards | DeckKind::Sheets => (counted.area, Unit::SquareMetre, stock.width * stock.length),
        };
        let amount = lines.counted(lines.area(laid), unit, counted.boards);
        lines.add(Item::Deck(stock.kind), amount, |line| {
            line.pack = Some(deck::pack(stock));
            line.left_over = Some((f64::from(counted.boards) * each - laid).max(0.0));
            line.weight = Some(f64::from(counted.boards) * stock.width * stock.length * stock.weight);
        });
        deck = counted;
    }
    let Some(goods) = &card.rain_goods else { return deck };
    for (item, kind) in [(Item::FasciaBoard, EdgeKind::Eave), (Item::VergeBoard, EdgeKind::Verge)] {
        let amount = lines.stock(&lengths(roof, kind), goods.board, 0.0);
        let pack = Pack::Board { length: goods.board, width: None };
        lines.add(item, amount, |line| line.pack = Some(pack));
    }
    let soffit = total(roof, EdgeKind::Eave) + total(roof, EdgeKind::Verge);
    let amount = Amount::laid(lines.length(soffit), Unit::Metre);
    lines.add(Item::Soffit, amount, |_| {});
    deck
}

/// Lines of edge metal, underlay and valleys; gives where the underlay lies.
pub(super) fn underlay_lines(
    input: &TakeoffInput,
    faces: &[CoveredFace],
    area: f64,
    lines: &mut Lines,
) -> Vec<PiecePlan> {
    let card = &input.covering.card;
    let roof = input.roof;
    metal_strip(lines, Item::EaveStrip, card.eave_strip.as_ref(), &lengths(roof, EdgeKind::Eave));
    let mut plans = Vec::new();
    if let Some(roll) = &card.underlay {
        let counted = underlay::count(roof, faces, input.openings, roll, input.covering.laying.wall_inside);
        let roll_area = roll.width * roll.length;
        let amount = lines.counted(lines.area(counted.area), Unit::SquareMetre, counted.rolls);
        lines.add(Item::Underlay, amount, |line| {
            line.pack = Some(Pack::Roll(roll_area));
            line.weight = Some(f64::from(counted.rolls) * roll_area * roll.weight);
            line.rule_of_thumb = Some(area / roll_area);
            line.left_over = Some((f64::from(counted.rolls) * roll_area - counted.area).max(0.0));
        });
        if let Some(barrier) = counted.ice_barrier {
            let amount = Amount::laid(lines.area(barrier), Unit::SquareMetre);
            lines.add(Item::IceBarrier, amount, |_| {});
        }
        plans = counted.plans;
    }
    metal_strip(lines, Item::VergeStrip, card.verge_strip.as_ref(), &lengths(roof, EdgeKind::Verge));
    let breaks: Vec<f64> = convex_breaks(roof).iter().map(runs::Run::length).collect();
    metal_strip(lines, Item::BreakStrip, card.eave_strip.as_ref(), &breaks);
    metal_strip(lines, Item::TopStrip, card.verge_strip.as_ref(), &lengths(roof, EdgeKind::Top));
    let valleys = lengths(roof, EdgeKind::Valley);
    let is_felt = matches!(card.covering, CoveringKind::Felt(_));
    if let Some(lining) = card.valley_lining.as_ref().filter(|_| !valleys.is_empty() && !is_felt) {
        let amount = lines.stock(&valleys, lining.piece, lining.lap);
        lines.add(Item::ValleyLining, amount, |line| {
            line.pack = Some(Pack::Piece(lining.piece));
            line.weight = Some(amount.need * lining.piece * lining.weight);
        });
    }
    plans
}

/// Where a slope turns steeper downwards, the upper one ends like an eave: a new starter, and metal under it. Where it
/// turns flatter, courses and underlay run on down (common practice, no source).
pub(super) fn convex_breaks(roof: &Roof) -> Vec<runs::Run> {
    let is_convex = |run: &runs::Run| {
        let folds = run.edges.iter().filter_map(|id| roof.edges[id.index()].dihedral);
        folds.fold(f64::INFINITY, f64::min) < std::f64::consts::PI
    };
    runs::straight(roof, EdgeKind::PitchBreak).into_iter().filter(is_convex).collect()
}

fn metal_strip(lines: &mut Lines, item: Item, strip: Option<&EdgeStrip>, lengths: &[f64]) {
    let Some(strip) = strip.filter(|_| !lengths.is_empty()) else { return };
    let amount = lines.stock(lengths, strip.piece, strip.lap);
    lines.add(item, amount, |line| {
        line.pack = Some(Pack::Strip(strip.piece));
        line.weight = Some(amount.need * strip.piece * strip.weight);
    });
}

pub(super) fn flashing_lines(input: &TakeoffInput, faces: &[CoveredFace], laid: &Laid, lines: &mut Lines) {
    let card = &input.covering.card;
    let Some(metal) = &card.abutment_flashing else { return };
    let gauge = |face: &CoveredFace| laid.layouts.iter().find(|layout| layout.face == face.id).map_or(0.0, |l| l.gauge);
    let counted = if let CoveringKind::Felt(_) = card.covering {
        flashing::without_courses(faces)
    } else {
        flashing::count(faces, input.openings, gauge, margins(card).eave)
    };
    for (item, lengths) in
        [(Item::WallFlashing, &counted.wall_lengths), (Item::OpeningFlashing, &counted.opening_lengths)]
    {
        if lengths.is_empty() {
            continue;
        }
        let amount = lines.stock(lengths, metal.piece, metal.lap);
        lines.add(item, amount, |line| {
            line.pack = Some(Pack::Piece(metal.piece));
            line.weight = Some(amount.need * metal.piece * metal.weight);
        });
    }
    let pieces =
        [(Item::StepFlashing, counted.steps), (Item::KickOut, counted.kick_outs), (Item::Saddle, counted.saddles)];
    for (item, count) in pieces.into_iter().filter(|(_, count)| *count > 0) {
        let detail = (item == Item::StepFlashing).then_some(Detail::StepPieces { least: counted.step_length });
        lines.add(item, Amount::laid(Quantity::Count(count), Unit::Piece), |line| line.detail = detail);
    }
}

pub(super) fn rain_lines(input: &TakeoffInput, lines: &mut Lines) {
    let Some(goods) = &input.covering.card.rain_goods else { return };
    let gutters = rain::gutters(input.roof, input.drainage);
    let lengths: Vec<f64> = gutters.iter().map(|gutter| gutter.length).collect();
    let amount = lines.stock(&lengths, goods.gutter_piece, 0.0);
    lines.add(Item::Gutter, amount, |line| line.pack = Some(Pack::Piece(goods.gutter_piece)));
    let outlets = |gutter: &rain::Gutter| gutter.outlets(goods.outlet_drains);
    let count: u32 = gutters.iter().map(outlets).sum();
    // From the eave to the ground: datum is where heights are measured from.
    let length: f64 =
        gutters.iter().map(|gutter| f64::from(outlets(gutter)) * gutter.from.z.min(gutter.to.z).max(0.0)).sum();
    if count > 0 {
        let amount = Amount::laid(lines.length(length), Unit::Metre);
        lines.add(Item::Downpipe, amount, |line| {
            line.detail = Some(Detail::Outlets { count, drains: goods.outlet_drains, source: goods.source.clone() });
        });
    }
}

pub(super) fn total(roof: &Roof, kind: EdgeKind) -> f64 {
    lengths(roof, kind).iter().sum()
}

fn lengths(roof: &Roof, kind: EdgeKind) -> Vec<f64> {
    runs::straight(roof, kind).iter().map(runs::Run::length).collect()
}
