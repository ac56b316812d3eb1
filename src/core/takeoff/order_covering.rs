//! Lines of the covering itself: starter, pieces, caps, nails, adhesive.

use super::caps::CapRun;
use super::card::{Card, CoveringKind, Felt, SheetGoods, Strip, Unit as Piecewise};
use super::covering::Laid;
use super::felt::{FeltLaid, LayerLaid};
use super::fixings;
use super::goods::Held;
use super::input::TakeoffInput;
use super::item::{Detail, Fixing, Item, OverArea, Pack, Quantity, Unit};
use super::layout::Source;
use super::lines::{Amount, Lines, by_length};
use super::model::Waste;
use super::order::{convex_breaks, fix_line, lengths, total};
use super::outline::CoveredFace;
use super::thumb::{self, ALLOWANCE, Thumb};
use crate::base::tolerance;
use crate::roof::EdgeKind;

pub(super) fn covering_lines(
    input: &TakeoffInput,
    faces: &[CoveredFace],
    laid: &Laid,
    caps: &[CapRun],
    area: f64,
    lines: &mut Lines,
) {
    let card = &input.covering.card;
    let starters: usize = laid.layouts.iter().map(|layout| layout.starter.len()).sum();
    let pieces: usize = laid.layouts.iter().map(super::layout::FaceLayout::new_pieces).sum();
    let cap_count: u32 = caps.iter().map(|run| run.caps).sum();
    if let CoveringKind::Felt(felt) = &card.covering {
        felt_lines(input, faces, felt, &laid.felt, area, lines);
        return;
    }
    match &card.covering {
        CoveringKind::Strip(strip) => {
            let caps = cap_strips(laid, cap_count, card, strip.tab_width());
            let counted = Counted { pieces, starters, caps };
            if starters > 0 {
                lines.add(Item::Starter, Amount::laid(Quantity::count(starters), Unit::Piece), |line| {
                    line.pack = Some(Pack::OutOfStrips);
                });
            }
            // What courses show, in strips; the rest of the roof lies under caps, valley metal and aprons.
            let show =
                |layout: &super::layout::FaceLayout| super::covering::shown(layout) / (strip.width * layout.gauge);
            let shown: f64 = laid.layouts.iter().filter(|layout| layout.gauge > 0.0).map(show).sum();
            strip_line(input, strip, counted, (area, shown), lines);
        }
        CoveringKind::Unit(unit) => {
            unit_line(input, unit, Counted { pieces, starters, caps: 0 }, area, lines);
        }
        CoveringKind::Sheet(sheet) => sheet_line(input, sheet, laid, area, lines),
        CoveringKind::Felt(_) => {}
    }
    // Longer caps than the usual take as much more to hold them.
    let usual = card.caps.as_ref().map_or(0.0, |caps| caps.exposure);
    let held_caps: f64 =
        caps.iter().filter(|_| usual > 0.0).map(|run| f64::from(run.caps) * run.exposure / usual).sum();
    fixing_lines(input, faces, laid, starters, held_caps, area, lines);
    cap_line(input, caps, cap_count, lines);
    verge_line(card, faces, laid, lines);
    if let Some(fix) = card.fixing(Held::Caps).filter(|_| lines.has(&Item::Caps)) {
        fix_line(lines, fix, fix.each * held_caps);
    }
}

/// New pieces of the covering by what they serve.
#[derive(Clone, Copy)]
struct Counted {
    pieces: usize,
    starters: usize,
    caps: u32,
}

impl Counted {
    fn total(self) -> f64 {
        (self.pieces + self.starters) as f64 + f64::from(self.caps)
    }

    fn detail(self) -> Detail {
        let number = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
        Detail::Pieces { courses: number(self.pieces), starter: number(self.starters), caps: self.caps }
    }
}

/// Pieces in all, as counted or by the rule of thumb; the allowance of the rule and whether it is the one ordered by.
fn pieces_to_order(waste: Waste, counted: Counted, area: f64, covers: f64) -> (f64, f64, bool) {
    match waste {
        Waste::Layout => (counted.total(), ALLOWANCE, false),
        Waste::Fraction(fraction) => ((area * (1.0 + fraction) / covers).ceil(), fraction, true),
    }
}

fn whole(pieces: f64) -> Quantity {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    Quantity::Count(pieces as u32)
}

fn strip_line(input: &TakeoffInput, strip: &Strip, counted: Counted, (area, shown): (f64, f64), lines: &mut Lines) {
    let covers = strip.width * strip.gauge.min(strip.largest_gauge());
    let (total, allowance, by_thumb) = pieces_to_order(input.covering.waste, counted, area, covers);
    let pack = f64::from(strip.pack.max(1));
    let spare = input.covering.laying.spare_packs;
    lines.add(Item::Strips, Amount::packed(whole(total), Unit::Piece, total / pack), |line| {
        let packs = line.packs.unwrap_or(0) + spare;
        let bought = f64::from(packs) * pack;
        line.packs = Some(packs);
        line.pack = Some(Pack::Of { name: strip.pack_name.clone(), pieces: strip.pack });
        line.weight = Some(bought * strip.weight);
        line.by_thumb(Thumb::Allowance { covers: pack * covers, allowance }, area, pack);
        line.left_over = Some(bought - total);
        line.detail = Some(if by_thumb { Detail::Thumb { area, allowance } } else { counted.detail() });
        // What the roof shows, in strips.
        let net = area / covers;
        line.over_area = (!by_thumb && net > 0.0).then(|| over_area(counted, bought - total, net, shown));
    });
}

/// What is bought over the net area, `net` strips of it, of which courses show `shown`. Where caps lie they are bought in
/// place of courses: what they cover is taken off what they take.
fn over_area(counted: Counted, left: f64, net: f64, shown: f64) -> OverArea {
    let mut parts = [f64::from(counted.caps), counted.starters as f64, counted.pieces as f64 - shown, left]
        .map(|strips| strips / net);
    // Projections show beyond the roof itself: they are cuts of a kind.
    let mut hidden = 1.0 - shown / net;
    if hidden < 0.0 {
        parts[2] -= hidden;
    }
    for part in &mut parts {
        let taken = hidden.clamp(0.0, part.max(0.0));
        *part = part.max(0.0) - taken;
        hidden -= taken;
    }
    let [for_caps, for_starter, for_cuts, for_packs] = parts;
    OverArea { total: parts.iter().sum(), for_cuts, for_starter, for_caps, for_packs }
}

fn unit_line(input: &TakeoffInput, unit: &Piecewise, counted: Counted, area: f64, lines: &mut Lines) {
    let covers = (unit.width + unit.joint) * unit.gauge;
    let (total, allowance, by_thumb) = pieces_to_order(input.covering.waste, counted, area, covers);
    let pack = f64::from(unit.pack.max(1));
    let item = Item::Units(input.covering.card.name.clone());
    lines.add(item, Amount::packed(whole(total), Unit::Piece, total / pack), |line| {
        let bought = f64::from(line.packs.unwrap_or(0)) * pack;
        line.pack = Some(Pack::Of { name: unit.pack_name.clone(), pieces: unit.pack });
        line.weight = Some(bought * unit.weight);
        line.by_thumb(Thumb::Allowance { covers: pack * covers, allowance }, area, pack);
        line.left_over = Some(bought - total);
        line.detail = match (by_thumb, counted.starters) {
            (true, _) => Some(Detail::Thumb { area, allowance }),
            (false, 0) => None,
            (false, _) => Some(counted.detail()),
        };
    });
}

fn sheet_line(input: &TakeoffInput, sheet: &SheetGoods, laid: &Laid, area: f64, lines: &mut Lines) {
    let pieces = laid.layouts.iter().flat_map(|layout| layout.courses.iter().flat_map(|course| &course.pieces));
    let (new, from_rests): (Vec<_>, Vec<_>) = pieces.partition(|piece| piece.source == Source::New);
    let lengths: Vec<f64> = new.into_iter().map(|piece| super::sheet::ordered_length(piece, sheet)).collect();
    let sheet_area = lengths.iter().sum::<f64>() * sheet.cover_width;
    let count = u32::try_from(lengths.len()).unwrap_or(u32::MAX);
    let amount = Amount::packed(Quantity::Count(count), Unit::Piece, f64::from(count));
    lines.add(Item::Sheets(input.covering.card.name.clone()), amount, |line| {
        line.pack = Some(Pack::CutToLength);
        line.weight = Some(sheet_area * sheet.weight);
        line.priced = Some((sheet_area, Unit::SquareMetre));
        // The rule of thumb knows no lengths: it is told in area.
        line.detail = Some(Detail::Lengths {
            lengths: by_length(&lengths),
            area: sheet_area,
            by_thumb: area * (1.0 + ALLOWANCE),
            allowance: ALLOWANCE,
            from_rests: u32::try_from(from_rests.len()).unwrap_or(u32::MAX),
        });
    });
}

/// Both layers, what nails the one and bonds the other.
fn felt_lines(input: &TakeoffInput, faces: &[CoveredFace], felt: &Felt, laid: &FeltLaid, area: f64, lines: &mut Lines) {
    let card = &input.covering.card;
    let layers = [
        (Item::BaseLayer, &laid.base, felt.base_length, felt.base_weight),
        (Item::CapSheet(card.name.clone()), &laid.cap, felt.cap_length, felt.cap_weight),
    ];
    for (item, layer, length, weight) in layers {
        let at_openings = matches!(item, Item::CapSheet(_));
        let roll = felt.width * length;
        let amount = Amount::packed(lines.area(layer.area), Unit::SquareMetre, f64::from(layer.rolls));
        lines.add(item, amount, |line| {
            line.pack = Some(Pack::Roll(roll));
            line.weight = Some(f64::from(layer.rolls) * roll * weight);
            line.left_over = Some((f64::from(layer.rolls) * roll - layer.area).max(0.0));
            let strips = strips_area(layer);
            line.detail = (strips > 0.0).then_some(Detail::Rolls { rows: layer.area - strips, strips, at_openings });
            // The net area with the usual allowance, as for other coverings.
            line.by_thumb(Thumb::Allowance { covers: roll, allowance: ALLOWANCE }, area, 1.0);
        });
    }
    if let Some(nails) = &card.nails {
        let mut count = 0.0;
        for (face, plan) in
            faces.iter().filter_map(|face| Some((face, laid.base.plans.iter().find(|plan| plan.face == face.id)?)))
        {
            let rule = fixings::nail_rule(nails, face.pitch, input.covering.laying.exposure);
            count += (rule.map_or(0.0, |rule| rule.per_piece) * plan.region.area()).ceil();
        }
        let count = (count * (1.0 + nails.spare)).ceil();
        let pack = f64::from(nails.pack.max(1));
        lines.add(Item::Fixings(Fixing::FeltNails), Amount::packed(whole(count), Unit::Piece, count / pack), |line| {
            line.pack = Some(Pack::Of { name: nails.pack_name.clone(), pieces: nails.pack });
            let ordered = f64::from(line.packs.unwrap_or(0)) * pack;
            line.weight = Some(ordered * nails.weight);
            line.left_over = Some(ordered - count);
        });
    }
    let spread = laid.cap.area * felt.adhesive;
    let amount = Amount::packed(lines.area(spread), Unit::Kilogram, spread / felt.tin);
    lines.add(Item::Adhesive, amount, |line| {
        line.pack = Some(Pack::Tin(felt.tin));
        let ordered = f64::from(line.packs.unwrap_or(0)) * felt.tin;
        line.weight = Some(ordered);
        line.left_over = Some(ordered - spread);
        line.detail = Some(Detail::Spread { on_metal: false, each: felt.adhesive, area: laid.cap.area });
    });
    let flanges = felt.flange * metal_at_edges(input);
    let spread = flanges * felt.primer;
    if spread > 0.0 {
        let amount = Amount::packed(lines.area(spread), Unit::Kilogram, spread / felt.primer_tin);
        lines.add(Item::Primer, amount, |line| {
            line.pack = Some(Pack::Tin(felt.primer_tin));
            let ordered = f64::from(line.packs.unwrap_or(0)) * felt.primer_tin;
            line.weight = Some(ordered);
            line.left_over = Some(ordered - spread);
            line.detail = Some(Detail::Spread { on_metal: true, each: felt.primer, area: flanges });
        });
    }
}

/// Metal at edges that lies between the layers, laps not counted.
fn metal_at_edges(input: &TakeoffInput) -> f64 {
    let card = &input.covering.card;
    let sum = |kind: EdgeKind| lengths(input.roof, kind).iter().sum::<f64>();
    let breaks = || convex_breaks(input.roof).iter().map(super::runs::SlopeRun::length).sum::<f64>();
    let eaves = card.eave_strip.as_ref().map_or(0.0, |_| sum(EdgeKind::Eave) + breaks());
    let verges = card.verge_strip.as_ref().map_or(0.0, |_| sum(EdgeKind::Verge) + sum(EdgeKind::Top));
    eaves + verges
}

fn strips_area(layer: &LayerLaid) -> f64 {
    let rows: f64 = layer
        .plans
        .iter()
        .flat_map(|plan| &plan.pieces)
        .map(|piece| (piece.u[1] - piece.u[0]) * (piece.v[1] - piece.v[0]))
        .sum();
    // What rounding leaves of no strips is none.
    if layer.strips.is_empty() { 0.0 } else { layer.area - rows }
}

/// Strips for caps: whole tabs of offcuts that no course used first, then new strips, rounded once over the whole roof.
fn cap_strips(laid: &Laid, caps: u32, card: &Card, tab: f64) -> u32 {
    let Some(per_strip) = card.caps.as_ref().and_then(|caps| caps.per_strip).filter(|count| *count > 0) else {
        return 0;
    };
    let offcuts = laid.layouts.iter().flat_map(|layout| &layout.offcuts_left);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let tabs: u32 = offcuts.map(|length| ((length + tolerance::SMALLEST) / tab).floor() as u32).sum();
    caps.saturating_sub(tabs).div_ceil(per_strip)
}

fn cap_line(input: &TakeoffInput, runs: &[CapRun], count: u32, lines: &mut Lines) {
    let Some(caps) = input.covering.card.caps.as_ref().filter(|_| count > 0) else { return };
    match (caps.per_strip, caps.pack) {
        (None, Some(pack)) => {
            let need = f64::from(count) / f64::from(pack.max(1));
            let amount = Amount::packed(Quantity::Count(count), Unit::Piece, need);
            lines.add(Item::Caps, amount, |line| {
                // As long as the one chosen that shows so much.
                let length = runs.first().map_or(caps.length, |run| caps.length + (run.exposure - caps.exposure));
                line.pack = Some(if pack == 1 { Pack::Piece(length) } else { Pack::Pieces(pack) });
                let ordered = f64::from(line.packs.unwrap_or(0) * pack);
                line.weight = caps.weight.map(|weight| ordered * weight * length / caps.length);
                line.left_over = Some(ordered - f64::from(count));
            });
        }
        _ => lines.add(Item::Caps, Amount::laid(Quantity::Count(count), Unit::Piece), |line| {
            line.pack = caps.per_strip.map(|_| Pack::OutOfStrips);
        }),
    }
}

/// Pieces that close the verges.
fn verge_line(card: &Card, faces: &[CoveredFace], laid: &Laid, lines: &mut Lines) {
    let Some(units) = &card.verge_units else { return };
    let laid_on = |face: &CoveredFace| laid.layouts.iter().find(|layout| layout.face == face.id);
    let count: u32 = faces.iter().filter_map(|face| Some(super::caps::verge_units(face, laid_on(face)?))).sum();
    let pack = f64::from(units.pack.max(1));
    let amount = Amount::packed(Quantity::Count(count), Unit::Piece, f64::from(count) / pack);
    lines.add(Item::VergeUnit, amount, |line| {
        line.pack = Some(Pack::Pieces(units.pack));
        let ordered = f64::from(line.packs.unwrap_or(0)) * pack;
        line.weight = Some(ordered * units.weight);
        line.left_over = Some(ordered - f64::from(count));
    });
}

fn fixing_lines(
    input: &TakeoffInput,
    faces: &[CoveredFace],
    laid: &Laid,
    starters: usize,
    caps: f64,
    area: f64,
    lines: &mut Lines,
) {
    let card = &input.covering.card;
    let starter_length: f64 = laid.layouts.iter().flat_map(|layout| &layout.starter).map(fixings::kept).sum();
    if let Some(nails) = &card.nails {
        let mut count = 0.0;
        for (face, layout) in faces.iter().zip(&laid.layouts) {
            let rule = fixings::nail_rule(nails, face.pitch, input.covering.laying.exposure);
            let each = rule.map_or(0.0, |rule| rule.per_piece);
            count += match &card.covering {
                CoveringKind::Strip(strip) => fixings::nails_on(layout, strip.width, each, nails.least),
                CoveringKind::Unit(_) => {
                    let counts = layout.counts();
                    each * (counts.whole + counts.cut + counts.from_offcuts) as f64
                }
                CoveringKind::Sheet(_) | CoveringKind::Felt(_) => (each * face.region.area()).ceil(),
            };
        }
        count += match &card.covering {
            CoveringKind::Strip(_) => (starter_length * nails.per_starter_metre).ceil(),
            CoveringKind::Unit(_) => starters as f64 * f64::from(nails.per_cap),
            CoveringKind::Sheet(_) | CoveringKind::Felt(_) => 0.0,
        };
        let of_caps = card.fixing(Held::Caps).filter(|_| caps > 0.0);
        if of_caps.is_none() {
            count += caps * f64::from(nails.per_cap);
        }
        let count = (count * (1.0 + nails.spare)).ceil();
        let pack = f64::from(nails.pack.max(1));
        let amount = Amount::packed(whole(count), Unit::Piece, count / pack);
        lines.add(Item::Fixings(fixing(&card.covering)), amount, |line| {
            line.pack = Some(Pack::Of { name: nails.pack_name.clone(), pieces: nails.pack });
            let ordered = f64::from(line.packs.unwrap_or(0)) * pack;
            line.weight = Some(ordered * nails.weight);
            line.left_over = Some(ordered - count);
            if let CoveringKind::Strip(_) = card.covering {
                line.by_thumb(Thumb::OnArea(thumb::NAILS), area, pack);
            }
        });
    }
    if let (Some(adhesive), CoveringKind::Strip(strip)) = (&card.adhesive, &card.covering) {
        let tabs: f64 = laid.layouts.iter().map(|layout| fixings::tabs_on(layout, strip.tab_width())).sum();
        let bedded = total(input.roof, EdgeKind::Valley) * 2.0 + total(input.roof, EdgeKind::Abutment);
        let dabs = tabs * adhesive.per_tab
            + caps * adhesive.per_cap
            + starter_length * adhesive.per_starter_metre
            + bedded * adhesive.per_bedded_metre;
        let tubes = fixings::tubes(dabs, adhesive);
        let amount = Amount::packed(whole(tubes.ceil()), Unit::Tube, tubes);
        lines.add(Item::Adhesive, amount, |line| {
            line.pack = Some(Pack::Tube(adhesive.tube));
            line.weight = Some(f64::from(line.packs.unwrap_or(0)) * adhesive.weight);
            line.left_over = Some((f64::from(line.packs.unwrap_or(0)) - tubes).max(0.0));
            line.by_thumb(Thumb::OneFor(thumb::AREA_A_TUBE), area, 1.0);
        });
    }
}

fn fixing(kind: &CoveringKind) -> Fixing {
    match kind {
        CoveringKind::Strip(_) => Fixing::Nails,
        CoveringKind::Unit(_) => Fixing::NailsOrHooks,
        CoveringKind::Sheet(_) => Fixing::Screws,
        CoveringKind::Felt(_) => Fixing::FeltNails,
    }
}
