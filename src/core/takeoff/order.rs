//! Lines of what lies under and round the covering: deck, boards, metal, underlay, flashings, rainwater.

use super::card::CoveringKind;
use super::covering::{Laid, margins};
use super::goods::Held;
use super::goods::{DeckKind, EdgeStrip, Fix, RainGoods};
use super::input::TakeoffInput;
use super::item::{Detail, Item, Pack, Quantity, Unit};
use super::lines::{Amount, Lines, Offered};
use super::outline::CoveredFace;
use super::pieces::PiecePlan;
use super::thumb::Thumb;
use super::{deck, flashing, rain, runs, underlay};
use crate::base::tolerance;
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
        let battens = |face: &CoveredFace| match &card.covering {
            CoveringKind::Unit(unit) => {
                let layout = laid.layouts.iter().find(|layout| layout.face == face.id)?;
                Some(deck::BattenRows { gauge: layout.gauge, first: deck::first_batten(unit, layout) })
            }
            _ => None,
        };
        let lengths = lines.offered(&Item::Deck(stock.kind), Offered { usual: stock.length, others: &stock.lengths });
        let mut counted = deck::count(faces, input.openings, stock, &lengths, battens);
        if let Some(old) = input.covering.old_roof.as_ref().filter(|_| stock.kind != DeckKind::Battens) {
            counted.take_share(old.deck_share);
        }
        // Battens are counted by their length, what covers by its area.
        let (laid, unit, each) = match stock.kind {
            DeckKind::Battens => (counted.area / stock.width, Unit::Metre, counted.length),
            DeckKind::Boards | DeckKind::Sheets => (counted.area, Unit::SquareMetre, stock.width * counted.length),
        };
        let amount = Amount::packed(lines.area(laid), unit, f64::from(counted.boards));
        lines.add(Item::Deck(stock.kind), amount, |line| {
            line.pack = Some(deck::pack(stock, counted.length));
            line.left_over = Some((f64::from(counted.boards) * each - laid).max(0.0));
            line.weight = Some(f64::from(counted.boards) * stock.width * counted.length * stock.weight);
        });
        deck = counted;
        batten_lines(input, &deck, lines);
    }
    let Some(goods) = &card.rain_goods else { return deck };
    let edges =
        [(Item::FasciaBoard, EdgeKind::Eave), (Item::VergeBoard, EdgeKind::Verge), (Item::TopBoard, EdgeKind::Top)];
    for (item, kind) in edges {
        let offered = Offered { usual: goods.board, others: &goods.board_lengths };
        let (amount, length) = lines.stock(&item, &lengths(roof, kind), offered, 0.0);
        lines.add(item, amount, |line| {
            line.pack = Some(Pack::Board { length, width: None });
            line.weight = Some(amount.need * length * goods.board_weight);
        });
    }
    soffit_line(roof, goods, lines);
    deck
}

/// Battens up the slope, one on every rafter, under those of the deck.
fn batten_lines(input: &TakeoffInput, deck: &deck::DeckCount, lines: &mut Lines) {
    let card = &input.covering.card;
    let (Some(counter), Some(stock)) = (&card.counter_battens, &card.deck) else { return };
    let lengths = deck::up_the_slope(&deck.plans, stock.spacing);
    let offered = Offered { usual: counter.length, others: &[] };
    let (amount, length) = lines.stock(&Item::CounterBatten, &lengths, offered, 0.0);
    lines.add(Item::CounterBatten, amount, |line| {
        line.pack = Some(Pack::Batten(length));
        line.weight = Some(amount.need * length * counter.weight);
    });
    if let Some(fix) = card.fixing(Held::CounterBattens).filter(|_| lines.has(&Item::CounterBatten)) {
        let total: f64 = lengths.iter().sum();
        fix_line(lines, fix, fix.each * total / fix.spacing.unwrap_or(1.0));
    }
}

/// Under eaves, verges and high edges: in pieces where the card says how long they are, else by the metre.
fn soffit_line(roof: &Roof, goods: &RainGoods, lines: &mut Lines) {
    let runs = [EdgeKind::Eave, EdgeKind::Verge, EdgeKind::Top].map(|kind| lengths(roof, kind)).concat();
    let Some(usual) = goods.soffit_piece else {
        let soffit: f64 = runs.iter().sum();
        let amount = Amount::laid(lines.length(soffit), Unit::Metre);
        lines.add(Item::Soffit, amount, |line| line.weight = Some(soffit * goods.soffit_weight));
        return;
    };
    let offered = Offered { usual, others: &goods.soffit_lengths };
    let (amount, length) = lines.stock(&Item::Soffit, &runs, offered, 0.0);
    lines.add(Item::Soffit, amount, |line| {
        line.pack = Some(Pack::Piece(length));
        line.weight = Some(amount.need * length * goods.soffit_weight);
    });
}

/// Lines of edge metal, underlay and valleys; gives where the underlay lies and the length of its rows, metres.
pub(super) fn underlay_lines(
    input: &TakeoffInput,
    faces: &[CoveredFace],
    area: f64,
    lines: &mut Lines,
) -> (Vec<PiecePlan>, f64) {
    let card = &input.covering.card;
    let roof = input.roof;
    metal_strip(lines, Item::EaveStrip, card.eave_strip.as_ref(), &lengths(roof, EdgeKind::Eave));
    let (mut plans, mut rows) = (Vec::new(), 0.0);
    if let Some(roll) = &card.underlay {
        let counted = underlay::count(roof, faces, input.openings, roll, input.covering.laying.wall_inside);
        let roll_area = roll.width * roll.length;
        let amount = Amount::packed(lines.area(counted.area), Unit::SquareMetre, f64::from(counted.rolls));
        lines.add(Item::Underlay, amount, |line| {
            line.pack = Some(Pack::Roll(roll_area));
            line.weight = Some(f64::from(counted.rolls) * roll_area * roll.weight);
            line.by_thumb(Thumb::OneFor(roll_area), area, 1.0);
            line.left_over = Some((f64::from(counted.rolls) * roll_area - counted.area).max(0.0));
        });
        if let Some(barrier) = counted.ice_barrier {
            let amount = Amount::laid(lines.area(barrier), Unit::SquareMetre);
            lines.add(Item::IceBarrier, amount, |line| line.weight = Some(barrier * roll.ice_weight));
        }
        (plans, rows) = (counted.plans, counted.length);
    }
    metal_strip(lines, Item::VergeStrip, card.verge_strip.as_ref(), &lengths(roof, EdgeKind::Verge));
    let breaks: Vec<f64> = convex_breaks(roof).iter().map(runs::SlopeRun::length).collect();
    metal_strip(lines, Item::BreakStrip, card.eave_strip.as_ref(), &breaks);
    metal_strip(lines, Item::TopStrip, card.verge_strip.as_ref(), &lengths(roof, EdgeKind::Top));
    let valleys = lengths(roof, EdgeKind::Valley);
    let is_felt = matches!(card.covering, CoveringKind::Felt(_));
    if let Some(lining) = card.valley_lining.as_ref().filter(|_| !valleys.is_empty() && !is_felt) {
        let offered = Offered { usual: lining.piece, others: &lining.lengths };
        let (amount, length) = lines.stock(&Item::ValleyLining, &valleys, offered, lining.lap);
        lines.add(Item::ValleyLining, amount, |line| {
            line.pack = Some(Pack::Piece(length));
            line.weight = Some(amount.need * length * lining.weight);
        });
    }
    (plans, rows)
}

/// Where a slope turns steeper downwards, the upper one ends like an eave: a new starter, and metal under it. Where it
/// turns flatter, courses and underlay run on down (common practice, no source).
pub(super) fn convex_breaks(roof: &Roof) -> Vec<runs::SlopeRun> {
    let is_convex = |run: &runs::SlopeRun| {
        let folds = run.edges.iter().filter_map(|id| roof.edges[id.index()].dihedral);
        folds.fold(f64::INFINITY, f64::min) < std::f64::consts::PI
    };
    runs::straight(roof, EdgeKind::PitchBreak).into_iter().filter(is_convex).collect()
}

fn metal_strip(lines: &mut Lines, item: Item, strip: Option<&EdgeStrip>, lengths: &[f64]) {
    let Some(strip) = strip.filter(|_| !lengths.is_empty()) else { return };
    let offered = Offered { usual: strip.piece, others: &strip.lengths };
    let (amount, length) = lines.stock(&item, lengths, offered, strip.lap);
    lines.add(item, amount, |line| {
        line.pack = Some(Pack::Strip(length));
        line.weight = Some(amount.need * length * strip.weight);
    });
}

pub(super) fn flashing_lines(input: &TakeoffInput, faces: &[CoveredFace], laid: &Laid, lines: &mut Lines) {
    let card = &input.covering.card;
    let Some(metal) = &card.abutment_flashing else { return };
    let has_courses = !matches!(card.covering, CoveringKind::Sheet(_));
    let laid_on = |face: &CoveredFace| laid.layouts.iter().find(|layout| layout.face == face.id);
    let gauge = |face: &CoveredFace| laid_on(face).map(|layout| layout.gauge).filter(|_| has_courses);
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
        let offered = Offered { usual: metal.piece, others: &metal.lengths };
        let (amount, length) = lines.stock(&item, lengths, offered, metal.lap);
        lines.add(item, amount, |line| {
            line.pack = Some(Pack::Piece(length));
            line.weight = Some(amount.need * length * metal.weight);
        });
    }
    let pieces =
        [(Item::StepFlashing, counted.steps), (Item::KickOut, counted.kick_outs), (Item::Saddle, counted.saddles)];
    for (item, count) in pieces.into_iter().filter(|(_, count)| *count > 0) {
        let detail = (item == Item::StepFlashing).then_some(Detail::StepPieces { least: counted.step_length });
        let each = if item == Item::Saddle { metal.saddle_weight } else { metal.step_weight };
        lines.add(item, Amount::laid(Quantity::Count(count), Unit::Piece), |line| {
            line.detail = detail;
            line.weight = Some(f64::from(count) * each);
        });
    }
}

pub(super) fn rain_lines(input: &TakeoffInput, lines: &mut Lines) {
    let Some(goods) = &input.covering.card.rain_goods else { return };
    let runs = rain::runs(input.roof, input.drainage);
    let stretches: Vec<f64> = runs.iter().flat_map(|run| &run.stretches).map(|stretch| stretch.length).collect();
    let offered = Offered { usual: goods.gutter_piece, others: &goods.gutter_lengths };
    let (amount, length) = lines.stock(&Item::Gutter, &stretches, offered, 0.0);
    lines.add(Item::Gutter, amount, |line| {
        line.pack = Some(Pack::Piece(length));
        line.weight = Some(amount.need * length * goods.gutter_weight);
    });
    if runs.is_empty() {
        return;
    }
    let outlets = |run: &rain::GutterRun| run.outlets(goods.outlet_drains);
    let pipes: Vec<f64> =
        runs.iter().flat_map(|run| std::iter::repeat_n(run.height(), outlets(run) as usize)).collect();
    let count = u32::try_from(pipes.len()).unwrap_or(u32::MAX);
    let each = |spacing: f64| Some(Detail::Spacing { spacing });
    let brackets = stretches.iter().map(|length| rain::brackets(*length, goods.bracket_spacing)).sum();
    let clips = pipes.iter().map(|length| rain::clips(*length, goods.clip_spacing)).sum();
    let fittings = [
        (Item::GutterBracket, brackets, each(goods.bracket_spacing)),
        (Item::GutterCorner, runs.iter().map(|run| run.corners).sum(), None),
        (Item::StopEnd, runs.iter().map(|run| run.ends).sum(), None),
        (Item::GutterOutlet, count, None),
    ];
    let fitting = |(item, count, detail): (Item, u32, Option<Detail>), lines: &mut Lines| {
        lines.add(item, Amount::laid(Quantity::Count(count), Unit::Piece), |line| {
            line.detail = detail;
            line.weight = Some(f64::from(count) * goods.fitting_weight);
        });
    };
    for one in fittings {
        fitting(one, lines);
    }
    let offered = Offered { usual: goods.pipe_piece, others: &goods.pipe_lengths };
    let (amount, length) = lines.stock(&Item::Downpipe, &pipes, offered, 0.0);
    lines.add(Item::Downpipe, amount, |line| {
        line.pack = Some(Pack::Piece(length));
        line.weight = Some(amount.need * length * goods.pipe_weight);
        line.detail = Some(Detail::Outlets { count, drains: goods.outlet_drains, source: goods.source.clone() });
    });
    // Two bring each pipe from the gutter to the wall; the shoe at its foot is the drain's.
    fitting((Item::PipeBend, 2 * count, None), lines);
    fitting((Item::PipeClip, clips, each(goods.clip_spacing)), lines);
}

/// Lines of what holds the deck, the underlay and metal, each where that is laid.
pub(super) fn held_lines(input: &TakeoffInput, deck: &deck::DeckCount, rows: f64, lines: &mut Lines) {
    let card = &input.covering.card;
    let roof = input.roof;
    if let (Some(fix), Some(stock)) = (card.fixing(Held::Deck), &card.deck)
        && lines.has(&Item::Deck(stock.kind))
    {
        fix_line(lines, fix, deck.fixings(stock, fix));
    }
    if let Some(fix) = card.fixing(Held::Underlay).filter(|_| lines.has(&Item::Underlay)) {
        fix_line(lines, fix, fix.each * rows / fix.spacing.unwrap_or(1.0));
    }
    let breaks: f64 = convex_breaks(roof).iter().map(runs::SlopeRun::length).sum();
    let metal = [
        (Item::EaveStrip, total(roof, EdgeKind::Eave)),
        (Item::VergeStrip, total(roof, EdgeKind::Verge)),
        (Item::BreakStrip, breaks),
        (Item::TopStrip, total(roof, EdgeKind::Top)),
    ];
    let length: f64 = metal.iter().filter(|(item, _)| lines.has(item)).map(|(_, length)| length).sum();
    if let Some(fix) = card.fixing(Held::Metal).filter(|_| length > 0.0) {
        fix_line(lines, fix, fix.each * length / fix.spacing.unwrap_or(1.0));
    }
}

/// Adds what holds something, so many of it and the allowance for loss.
pub(super) fn fix_line(lines: &mut Lines, fix: &Fix, count: f64) {
    let count = (count * (1.0 + fix.spare) - tolerance::SMALLEST).ceil().max(0.0);
    let pack = f64::from(fix.pack.max(1));
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let quantity = Quantity::Count(count as u32);
    lines.add(Item::Holds(fix.of), Amount::packed(quantity, Unit::Piece, count / pack), |line| {
        line.pack = Some(Pack::Of { name: fix.pack_name.clone(), pieces: fix.pack });
        let ordered = f64::from(line.packs.unwrap_or(0)) * pack;
        line.weight = Some(ordered * fix.weight);
        line.left_over = Some(ordered - count);
        line.detail = fix.spacing.map(|spacing| Detail::Spacing { spacing });
    });
}

/// Vents over a ceiling: half of the free area at the eaves, half high up, so that no less comes in than goes out.
pub(super) fn vent_lines(input: &TakeoffInput, lines: &mut Lines) {
    let (Some(vents), Some(ceiling)) = (&input.covering.card.vents, input.covering.laying.ceiling) else { return };
    let asked = super::advice::vent_area(ceiling)[1] / 2.0;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let count = |area: f64, each: f64| (area / each - tolerance::RELATIVE).ceil().max(1.0) as u32;
    let high = count(asked, vents.high);
    let low = count(asked.max(f64::from(high) * vents.high), vents.eave);
    for (item, count, each) in [(Item::EaveVent, low, vents.eave), (Item::HighVent, high, vents.high)] {
        lines.add(item, Amount::laid(Quantity::Count(count), Unit::Piece), |line| {
            line.detail = Some(Detail::FreeArea { asked, each });
            line.weight = Some(f64::from(count) * vents.weight);
        });
    }
}

pub(super) fn total(roof: &Roof, kind: EdgeKind) -> f64 {
    lengths(roof, kind).iter().sum()
}

pub(super) fn lengths(roof: &Roof, kind: EdgeKind) -> Vec<f64> {
    runs::straight(roof, kind).iter().map(runs::SlopeRun::length).collect()
}
