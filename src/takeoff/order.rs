//! Lines of what lies under and round the covering: deck, boards, metal, underlay, flashings, rainwater.

use super::answer::Stage;
use super::card::CoveringKind;
use super::covering::{Laid, margins};
use super::goods::{DeckKind, EdgeStrip};
use super::lines::{Amount, Lines};
use super::outline::CoveredFace;
use super::pieces::PiecePlan;
use super::take_off::TakeoffInput;
use super::{deck, flashing, rain, runs, underlay};
use crate::base::words::Words;
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
        let piece = deck::pack_name(stock, input.words);
        // Battens are counted by their length, what covers by its area.
        let (laid, unit, each) = match stock.kind {
            DeckKind::Battens => (counted.area / stock.width, "m", stock.length),
            DeckKind::Boards | DeckKind::Sheets => (counted.area, "m²", stock.width * stock.length),
        };
        let amount = lines.counted(laid, unit, counted.boards);
        lines.add("deck-board", deck::what(stock), Stage::Deck, amount, |line| {
            line.pack = Some(piece);
            line.left_over = Some((f64::from(counted.boards) * each - laid).max(0.0));
            line.weight = Some(f64::from(counted.boards) * stock.width * stock.length * stock.weight);
        });
        deck = counted;
    }
    let Some(goods) = &card.rain_goods else { return deck };
    let boards = [
        ("fascia-board", "fascia boards along eaves", EdgeKind::Eave),
        ("verge-board", "boards up the verges", EdgeKind::Verge),
    ];
    for (item, what, kind) in boards {
        let lengths: Vec<f64> = runs::straight(roof, kind).iter().map(runs::Run::length).collect();
        let amount = lines.stock(&lengths, goods.board, 0.0);
        let pack = format!("board of {}", input.words.stock(goods.board));
        lines.add(item, what, Stage::Deck, amount, |line| line.pack = Some(pack));
    }
    let soffit = total(roof, EdgeKind::Eave) + total(roof, EdgeKind::Verge);
    lines.add("soffit", "soffit at eaves and verges", Stage::Deck, Amount::laid(soffit, "m"), |_| {});
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
    let edge_strip = |lines: &mut Lines, item: &'static str, what: &str, kind: EdgeKind| {
        let strip = if kind == EdgeKind::Eave { &card.eave_strip } else { &card.verge_strip };
        let lengths: Vec<f64> = runs::straight(roof, kind).iter().map(runs::Run::length).collect();
        metal_strip(lines, (item, what), strip.as_ref(), &lengths, input.words);
    };
    edge_strip(lines, "edge-strip-eave", "metal at eaves, under the underlay", EdgeKind::Eave);
    let mut plans = Vec::new();
    if let Some(roll) = &card.underlay {
        let counted = underlay::count(roof, faces, input.openings, roll, input.covering.laying.wall_inside);
        let roll_area = roll.width * roll.length;
        let amount = lines.counted(counted.area, "m²", counted.rolls);
        lines.add("underlay", "underlay, laps included", Stage::Underlay, amount, |line| {
            line.pack = Some(format!("roll of {}", input.words.stock_area(roll_area)));
            line.weight = Some(f64::from(counted.rolls) * roll_area * roll.weight);
            line.rule_of_thumb = Some(area / roll_area);
            line.left_over = Some((f64::from(counted.rolls) * roll_area - counted.area).max(0.0));
        });
        if let Some(barrier) = counted.ice_barrier {
            let what = "ice barrier, self-adhesive, from the eave to inside the warm wall";
            lines.add("ice-barrier", what, Stage::Underlay, Amount::laid(barrier, "m²"), |_| {});
        }
        plans = counted.plans;
    }
    edge_strip(lines, "edge-strip-verge", "metal at verges, over the underlay", EdgeKind::Verge);
    break_strip(input, lines);
    let valleys: Vec<f64> = runs::straight(roof, EdgeKind::Valley).iter().map(runs::Run::length).collect();
    if let Some(lining) = card.valley_lining.as_ref().filter(|_| !valleys.is_empty()) {
        let amount = lines.stock(&valleys, lining.piece, lining.lap);
        let what = "lining of valleys, before the courses";
        lines.add("valley-lining", what, Stage::Underlay, amount, |line| {
            line.pack = Some(format!("piece of {}", input.words.stock(lining.piece)));
            line.weight = Some(amount.need * lining.piece * lining.weight);
        });
    }
    plans
}

/// Where a slope turns steeper downwards, the upper one ends like an eave: a new starter, and metal under it. Where it
/// turns flatter, courses and underlay run on down (common practice, no source).
fn break_strip(input: &TakeoffInput, lines: &mut Lines) {
    let (roof, card) = (input.roof, &input.covering.card);
    let is_convex = |run: &runs::Run| {
        let folds = run.edges.iter().filter_map(|id| roof.edges[id.index()].dihedral);
        folds.fold(f64::INFINITY, f64::min) < std::f64::consts::PI
    };
    let breaks = runs::straight(roof, EdgeKind::PitchBreak);
    let lengths: Vec<f64> = breaks.iter().filter(|run| is_convex(run)).map(runs::Run::length).collect();
    let what = "metal at breaks of slope, under the starter above";
    metal_strip(lines, ("edge-strip-break", what), card.eave_strip.as_ref(), &lengths, input.words);
}

fn metal_strip(lines: &mut Lines, (item, what): (&str, &str), strip: Option<&EdgeStrip>, lengths: &[f64], say: Words) {
    let Some(strip) = strip else { return };
    let amount = lines.stock(lengths, strip.piece, strip.lap);
    lines.add(item, what, Stage::Underlay, amount, |line| {
        line.pack = Some(format!("strip of {}", say.stock(strip.piece)));
        line.weight = Some(amount.need * strip.piece * strip.weight);
    });
}

pub(super) fn flashing_lines(input: &TakeoffInput, faces: &[CoveredFace], laid: &Laid, lines: &mut Lines) {
    let card = &input.covering.card;
    let Some(metal) = &card.abutment_flashing else { return };
    let gauge = laid.layouts.first().map_or(0.0, |layout| layout.gauge);
    let counted = flashing::count(faces, input.openings, gauge, margins(card).eave);
    let stock = |lines: &mut Lines, item: &'static str, what: &str, lengths: &[f64]| {
        if lengths.is_empty() {
            return;
        }
        let amount = lines.stock(lengths, metal.piece, metal.lap);
        lines.add(item, what, Stage::Finish, amount, |line| {
            line.pack = Some(format!("piece of {}", input.words.stock(metal.piece)));
            line.weight = Some(amount.need * metal.piece * metal.weight);
        });
    };
    stock(lines, "abutment-flashing", "metal along walls", &counted.wall_lengths);
    stock(lines, "opening-flashing", "metal at openings, aprons below and pieces above", &counted.opening_lengths);
    let pieces = [
        ("step-flashing", "step pieces, one a course, up walls and openings", counted.steps),
        ("kick-out", "kick-outs, where a side wall ends at an eave", counted.kick_outs),
        ("saddle", "saddles behind wide chimneys", counted.saddles),
    ];
    for (item, what, count) in pieces.into_iter().filter(|(_, _, count)| *count > 0) {
        lines.add(item, what, Stage::Finish, Amount::laid(f64::from(count), "piece"), |line| {
            if item == "step-flashing" {
                line.detail = Some(format!("each at least {} long", input.words.fine(gauge + 0.05)));
            }
        });
    }
}

pub(super) fn rain_lines(input: &TakeoffInput, lines: &mut Lines) {
    let Some(goods) = &input.covering.card.rain_goods else { return };
    let gutters = rain::gutters(input.roof, input.drainage);
    let lengths: Vec<f64> = gutters.iter().map(|gutter| gutter.length).collect();
    let amount = lines.stock(&lengths, goods.gutter_piece, 0.0);
    lines.add("gutter", "gutters along eaves", Stage::Rain, amount, |line| {
        line.pack = Some(format!("piece of {}", input.words.stock(goods.gutter_piece)));
    });
    let outlet = |gutter: &rain::Gutter| (gutter.area / goods.outlet_drains).ceil().max(1.0);
    let pipes: f64 = gutters.iter().map(outlet).sum();
    // From the eave to the ground: datum is where heights are measured from.
    let length: f64 = gutters.iter().map(|gutter| outlet(gutter) * gutter.from.z.min(gutter.to.z).max(0.0)).sum();
    if pipes > 0.0 {
        lines.add("downpipe", "downpipes, from eaves to datum", Stage::Rain, Amount::laid(length, "m"), |line| {
            line.detail = Some(format!(
                "{pipes:.0} outlet{}, one for every {} that an eave drains (EN 12056-3 area; {})",
                if pipes > 1.0 { "s" } else { "" },
                input.words.stock_area(goods.outlet_drains),
                goods.source
            ));
        });
    }
}

pub(super) fn total(roof: &Roof, kind: EdgeKind) -> f64 {
    runs::straight(roof, kind).iter().map(runs::Run::length).sum()
}
