//! The take-off: the stages of this module run in order over one roof.

use super::answer::{Stage, TakeOff};
use super::caps::{self, CapRun};
use super::card::{Card, CoveringKind};
use super::covering::{self, Laid, margins};
use super::lines::{Amount, Lines};
use super::model::{Covering, Waste};
use super::offer::{Measures, offer};
use super::outline::{CoveredFace, cover};
use super::{advice, deck, fixings, flashing, rain, reroof, runs, underlay};
use crate::roof::opening::CutOpening;
use crate::roof::{EdgeKind, Roof};
use nalgebra::Vector2;

/// What the take-off needs.
#[derive(Clone, Copy, Debug)]
pub struct TakeoffInput<'a> {
    /// The solved roof.
    pub roof: &'a Roof,
    /// Openings cut from its faces.
    pub openings: &'a [CutOpening],
    /// What it is covered with.
    pub covering: &'a Covering,
    /// Bearing the prevailing wind comes from, radians clockwise from north.
    pub wind_from: Option<f64>,
    /// Bearing of the drawing's +y axis, radians clockwise from north.
    pub north: f64,
    /// Standard deviation of the whole roof area, square metres, where the survey gives one.
    pub area_sd: Option<f64>,
}

/// 95 % of a normal distribution lie within this many standard deviations.
const NINETY_FIVE: f64 = 1.959_963_984_540_054;

/// Whole allowance on the area by the rule of thumb (common practice, no source).
pub(super) const THUMB: f64 = 0.15;

/// Stock rests of metal shorter than this are scrap (common practice, no source).
const SHORTEST_METAL: f64 = 0.300;

/// Takes a roof off: lays every face, counts everything that goes with it, and says what to mind. Pure and deterministic.
/// Linear in pieces for a given number of tabs.
#[must_use]
pub fn take_off(input: &TakeoffInput) -> TakeOff {
    let (roof, covering) = (input.roof, input.covering);
    let card = &covering.card;
    let margins = margins(card);
    let faces: Vec<CoveredFace> =
        roof.roof_faces().filter_map(|(id, _)| cover(roof, id, input.openings, &covering.laying, &margins)).collect();
    let laid = covering::lay_all(roof, &faces, card);
    let area = net_area(input);
    let relative = input.area_sd.filter(|_| area > 0.0).map(|sd| NINETY_FIVE * sd / area);
    let mut lines = Lines::new(&covering.prices, relative);
    let caps = cap_runs(input, &faces);
    let deck_cuts = deck_lines(input, &faces, &mut lines);
    underlay_lines(input, &faces, area, &mut lines);
    covering_lines(input, &faces, &laid, &caps, area, &mut lines);
    flashing_lines(input, &faces, &laid, &mut lines);
    rain_lines(input, &faces, &mut lines);
    let (old_roof, mut notes) = match &covering.old_roof {
        Some(old) => {
            let (answer, notes) = reroof::strip_off(old, area);
            (Some(answer), notes)
        }
        None => (None, Vec::new()),
    };
    notes.splice(0..0, laid.notes.iter().cloned());
    notes.extend(advice::advise(roof, &faces, covering, &laid));
    let mut answer = TakeOff {
        lines: lines.finish(),
        layouts: laid.layouts,
        faces: laid.counts,
        caps,
        deck_cuts,
        notes,
        tools: tools(card),
        area,
        area_sd: input.area_sd,
        ..TakeOff::default()
    };
    let waste = old_roof.as_ref().map_or(0.0, |old| old.weight / 1000.0);
    answer.offer = offer(&covering.prices, &ordered(&answer), &measures(input, &faces, waste));
    answer.old_roof = old_roof;
    answer
}

/// The item of the covering's own line: `strip-shingle` for strips of any name, else the card's name.
#[must_use]
pub fn covering_item(card: &Card) -> &str {
    match card.covering {
        CoveringKind::Strip(_) => "strip-shingle",
        _ => &card.name,
    }
}

/// Roof area less openings, square metres.
fn net_area(input: &TakeoffInput) -> f64 {
    let gross: f64 = input.roof.roof_faces().map(|(_, face)| input.roof.area(face).0).sum();
    gross - input.openings.iter().map(|opening| opening.area).sum::<f64>()
}

fn total(roof: &Roof, kind: EdgeKind) -> f64 {
    runs::straight(roof, kind).iter().map(runs::Run::length).sum()
}

fn ordered(answer: &TakeOff) -> Vec<(String, String, f64, &'static str)> {
    let priced = answer.lines.iter().filter(|line| line.packs.is_some() || line.pack.is_none());
    priced
        .filter_map(|line| {
            let (quantity, unit) = match line.packs {
                Some(packs) => (f64::from(packs), "pack"),
                None => (line.quantity?, line.unit),
            };
            Some((line.item.clone(), line.what.clone(), quantity, unit))
        })
        .collect()
}

fn measures(input: &TakeoffInput, faces: &[CoveredFace], waste: f64) -> Measures {
    let roof = input.roof;
    let cut = |face: &CoveredFace| -> f64 {
        input.openings.iter().filter(|opening| opening.face == face.id).map(|opening| opening.area).sum()
    };
    Measures {
        areas: faces.iter().map(|face| (face.pitch, roof.area(&roof.faces[face.id.index()]).0 - cut(face))).collect(),
        hip: total(roof, EdgeKind::Hip),
        valley: total(roof, EdgeKind::Valley),
        verge: total(roof, EdgeKind::Verge),
        ridge: total(roof, EdgeKind::Ridge),
        eave: total(roof, EdgeKind::Eave),
        waste,
    }
}

fn cap_runs(input: &TakeoffInput, faces: &[CoveredFace]) -> Vec<CapRun> {
    let card = &input.covering.card;
    let Some(caps) = &card.caps else { return Vec::new() };
    // The last cap of those cut from strips shows its tab alone; one made as a cap shows all of it.
    let last = match (&card.covering, caps.per_strip) {
        (CoveringKind::Strip(strip), Some(_)) => strip.cutout,
        _ => caps.length,
    };
    let towards = input.wind_from.map(|bearing| {
        let from_y = bearing - input.north;
        Vector2::new(from_y.sin(), from_y.cos())
    });
    caps::lines(input.roof, faces, towards, last, caps.exposure)
}

fn deck_lines(input: &TakeoffInput, faces: &[CoveredFace], lines: &mut Lines) -> Vec<deck::DeckCut> {
    let card = &input.covering.card;
    let roof = input.roof;
    let mut cuts = Vec::new();
    if let Some(stock) = &card.deck {
        let gauge = match &card.covering {
            CoveringKind::Unit(unit) => Some(unit.gauge),
            _ => None,
        };
        let counted = deck::count(faces, input.openings, stock, gauge);
        let piece = deck::pack_name(stock);
        lines.add(
            "deck-board",
            deck::what(stock),
            Stage::Deck,
            Amount { quantity: counted.area, unit: "m²", need: f64::from(counted.boards), is_length: false },
            |line| {
                line.pack = Some(piece);
                line.weight = Some(f64::from(counted.boards) * stock.width * stock.length * stock.weight);
            },
        );
        cuts = counted.cuts;
    }
    let Some(goods) = &card.rain_goods else { return cuts };
    let boards = [
        ("fascia", "fascia boards along eaves", EdgeKind::Eave),
        ("verge-board", "boards up the verges", EdgeKind::Verge),
    ];
    for (item, what, kind) in boards {
        let lengths: Vec<f64> = runs::straight(roof, kind).iter().map(runs::Run::length).collect();
        let count = runs::pieces(&lengths, goods.board, 0.0, SHORTEST_METAL);
        let pack = format!("board of {} m", goods.board);
        lines.add(item, what, Stage::Deck, Amount::stock(lengths.iter().sum(), count), |line| line.pack = Some(pack));
    }
    let soffit = total(roof, EdgeKind::Eave) + total(roof, EdgeKind::Verge);
    lines.add("soffit", "soffit along eaves and verges", Stage::Deck, Amount::laid(soffit, "m"), |_| {});
    cuts
}

fn underlay_lines(input: &TakeoffInput, faces: &[CoveredFace], area: f64, lines: &mut Lines) {
    let card = &input.covering.card;
    let roof = input.roof;
    let edge_strip = |lines: &mut Lines, item: &'static str, what: &str, kind: EdgeKind| {
        let strip = if kind == EdgeKind::Eave { &card.eave_strip } else { &card.verge_strip };
        let Some(strip) = strip else { return };
        let lengths: Vec<f64> = runs::straight(roof, kind).iter().map(runs::Run::length).collect();
        let count = runs::pieces(&lengths, strip.piece, strip.lap, SHORTEST_METAL);
        lines.add(item, what, Stage::Underlay, Amount::stock(lengths.iter().sum(), count), |line| {
            line.pack = Some(format!("strip of {} m", strip.piece));
            line.weight = Some(f64::from(count) * strip.piece * strip.weight);
        });
    };
    edge_strip(lines, "edge-strip-eave", "metal at eaves, under the underlay", EdgeKind::Eave);
    if let Some(roll) = &card.underlay {
        let counted = underlay::count(roof, faces, input.openings, roll, input.covering.laying.wall_inside);
        let roll_area = roll.width * roll.length;
        let amount = Amount { quantity: counted.area, unit: "m²", need: f64::from(counted.rolls), is_length: false };
        lines.add("underlay", "underlay, laps included", Stage::Underlay, amount, |line| {
            line.pack = Some(format!("roll of {roll_area} m²"));
            line.weight = Some(f64::from(counted.rolls) * roll_area * roll.weight);
            line.rule_of_thumb = Some(area / roll_area);
            line.left_over = Some((f64::from(counted.rolls) * roll_area - counted.area).max(0.0));
        });
        if let Some(barrier) = counted.ice_barrier {
            let what = "self-adhesive barrier from the eave to inside the warm wall";
            lines.add("ice-barrier", what, Stage::Underlay, Amount::laid(barrier, "m²"), |_| {});
        }
    }
    edge_strip(lines, "edge-strip-verge", "metal at verges, over the underlay", EdgeKind::Verge);
    let valleys: Vec<f64> = runs::straight(roof, EdgeKind::Valley).iter().map(runs::Run::length).collect();
    if let Some(lining) = card.valley_lining.as_ref().filter(|_| !valleys.is_empty()) {
        let count = runs::pieces(&valleys, lining.piece, lining.lap, SHORTEST_METAL);
        let what = "lining of valleys, before the courses";
        lines.add("valley-lining", what, Stage::Underlay, Amount::stock(valleys.iter().sum(), count), |line| {
            line.pack = Some(format!("piece of {} m", lining.piece));
            line.weight = Some(f64::from(count) * lining.piece * lining.weight);
        });
    }
}

fn covering_lines(
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
    let thumb = match input.covering.waste {
        Waste::Layout => None,
        Waste::Fraction(fraction) => Some(fraction),
    };
    match &card.covering {
        CoveringKind::Strip(strip) => {
            let cap_strips = cap_strips(laid, cap_count, card, strip.tab_width());
            let counted = (pieces + starters) as f64 + f64::from(cap_strips);
            let covers = strip.width * strip.gauge.min(strip.largest_gauge());
            let total = thumb.map_or(counted, |fraction| (area * (1.0 + fraction) / covers).ceil());
            let pack = f64::from(strip.pack.max(1));
            let spare = input.covering.laying.spare_packs;
            if starters > 0 {
                let amount = Amount::laid(starters as f64, "piece");
                lines.add("starter", "starter along eaves, cut from strips", Stage::Covering, amount, |line| {
                    line.pack = Some("out of the strip-shingle packs".into());
                });
            }
            lines.add(
                "strip-shingle",
                "covering: strips for courses, starter and caps",
                Stage::Covering,
                Amount { quantity: total, unit: "piece", need: total / pack, is_length: false },
                |line| {
                    let packs = line.packs.unwrap_or(0) + spare;
                    line.packs = Some(packs);
                    line.packs_range = line.packs_range.map(|[low, high]| [low + spare, high + spare]);
                    line.pack = Some(format!("{} of {}", strip.pack_name, strip.pack));
                    line.weight = Some(f64::from(packs) * pack * strip.weight);
                    line.rule_of_thumb = Some(area * (1.0 + thumb.unwrap_or(THUMB)) / (pack * covers));
                    line.left_over = Some(f64::from(packs) * pack - total);
                    line.detail = Some(match thumb {
                        None => format!("{pieces} for courses, {starters} for the starter, {cap_strips} for caps"),
                        Some(fraction) => format!("rule of thumb: {area:.2} m² and {:.0} %", fraction * 100.0),
                    });
                },
            );
        }
        CoveringKind::Unit(unit) => {
            let starters = starters as f64;
            let counted = pieces as f64 + starters;
            let covers = (unit.width + unit.joint) * unit.gauge;
            let total = thumb.map_or(counted, |fraction| (area * (1.0 + fraction) / covers).ceil());
            let pack = f64::from(unit.pack.max(1));
            let amount = Amount { quantity: total, unit: "piece", need: total / pack, is_length: false };
            lines.add(&card.name, "covering", Stage::Covering, amount, |line| {
                line.pack = Some(format!("{} of {}", unit.pack_name, unit.pack));
                line.weight = Some(f64::from(line.packs.unwrap_or(0)) * pack * unit.weight);
                line.rule_of_thumb = Some(area * (1.0 + thumb.unwrap_or(THUMB)) / (pack * covers));
                line.left_over = Some(f64::from(line.packs.unwrap_or(0)) * pack - total);
                if starters > 0.0 {
                    line.detail = Some(format!("{pieces} for courses, {starters} for the under-eave course"));
                }
            });
        }
        CoveringKind::Sheet(sheet) => {
            let lengths: Vec<f64> = laid
                .layouts
                .iter()
                .flat_map(|layout| layout.courses.iter().flat_map(|course| &course.pieces))
                .map(|piece| super::sheet::ordered_length(piece, sheet))
                .collect();
            let sheet_area = lengths.iter().sum::<f64>() * sheet.cover_width;
            let amount = Amount::stock_of(lengths.len() as f64, "piece", lengths.len());
            lines.add(&card.name, "covering: sheets cut to length", Stage::Covering, amount, |line| {
                line.pack = Some("sheet cut to length".into());
                line.weight = Some(sheet_area * sheet.weight);
                line.rule_of_thumb = Some(area * (1.0 + THUMB) / (sheet.cover_width * sheet.max_length));
                line.detail = Some(super::lines::length_list(&lengths));
            });
        }
    }
    fixing_lines(input, faces, laid, starters, cap_count, area, lines);
    cap_line(input, cap_count, lines);
}

/// Strips for caps: whole tabs of offcuts that no course used first, then new strips, rounded once over the whole roof.
fn cap_strips(laid: &Laid, caps: u32, card: &Card, tab: f64) -> u32 {
    let Some(per_strip) = card.caps.as_ref().and_then(|caps| caps.per_strip).filter(|count| *count > 0) else {
        return 0;
    };
    let offcuts = laid.layouts.iter().flat_map(|layout| &layout.offcuts_left);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let tabs: u32 = offcuts.map(|length| ((length + crate::base::tolerance::SMALLEST) / tab).floor() as u32).sum();
    caps.saturating_sub(tabs).div_ceil(per_strip)
}

fn cap_line(input: &TakeoffInput, count: u32, lines: &mut Lines) {
    let Some(caps) = input.covering.card.caps.as_ref().filter(|_| count > 0) else { return };
    let what = "caps along ridges and hips";
    match (caps.per_strip, caps.pack) {
        (None, Some(pack)) => {
            let need = f64::from(count) / f64::from(pack.max(1));
            let amount = Amount { quantity: f64::from(count), unit: "piece", need, is_length: true };
            lines.add("ridge-hip-cap", what, Stage::Finish, amount, |line| {
                line.pack = Some(format!("pack of {pack}"));
                let ordered = f64::from(line.packs.unwrap_or(0) * pack);
                line.weight = caps.weight.map(|weight| ordered * weight);
                line.left_over = Some(ordered - f64::from(count));
            });
        }
        _ => lines.add("ridge-hip-cap", what, Stage::Finish, Amount::laid(f64::from(count), "piece"), |line| {
            line.pack = Some("out of the strip-shingle packs".into());
        }),
    }
}

fn fixing_lines(
    input: &TakeoffInput,
    faces: &[CoveredFace],
    laid: &Laid,
    starters: usize,
    caps: u32,
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
                CoveringKind::Sheet(_) => (each * face.region.area()).ceil(),
            };
        }
        count += match &card.covering {
            CoveringKind::Strip(_) => (starter_length * nails.per_starter_metre).ceil(),
            CoveringKind::Unit(_) => starters as f64 * f64::from(nails.per_cap),
            CoveringKind::Sheet(_) => 0.0,
        };
        count += f64::from(caps * nails.per_cap);
        let count = (count * (1.0 + nails.spare)).ceil();
        let pack = f64::from(nails.pack.max(1));
        let amount = Amount { quantity: count, unit: "piece", need: count / pack, is_length: false };
        lines.add("nail", fixing_word(&card.covering), Stage::Covering, amount, |line| {
            line.pack = Some(format!("{} of {}", nails.pack_name, nails.pack));
            let ordered = f64::from(line.packs.unwrap_or(0)) * pack;
            line.weight = Some(ordered * nails.weight);
            line.left_over = Some(ordered - count);
            if let CoveringKind::Strip(_) = card.covering {
                // 50 nails a square metre (common practice, no source).
                line.rule_of_thumb = Some(area * 50.0 / pack);
            }
        });
    }
    if let (Some(adhesive), CoveringKind::Strip(strip)) = (&card.adhesive, &card.covering) {
        let tabs: f64 = laid.layouts.iter().map(|layout| fixings::tabs_on(layout, strip.tab_width())).sum();
        let bedded = total(input.roof, EdgeKind::Valley) * 2.0 + total(input.roof, EdgeKind::Abutment);
        let dabs = tabs * adhesive.per_tab
            + f64::from(caps) * adhesive.per_cap
            + starter_length * adhesive.per_starter_metre
            + bedded * adhesive.per_bedded_metre;
        let tubes = fixings::tubes(dabs, adhesive);
        let amount = Amount { quantity: tubes.ceil(), unit: "tube", need: tubes, is_length: false };
        lines.add("adhesive", "cold adhesive under tabs, caps and edges", Stage::Covering, amount, |line| {
            line.pack = Some(format!("tube of {:.0} ml", adhesive.tube * 1e6));
            line.weight = Some(f64::from(line.packs.unwrap_or(0)) * adhesive.weight);
            // 6 m2 a tube (common practice, no source).
            line.rule_of_thumb = Some(area / 6.0);
        });
    }
}

fn fixing_word(kind: &CoveringKind) -> &'static str {
    match kind {
        CoveringKind::Strip(_) => "nails for strips, starter and caps",
        CoveringKind::Unit(_) => "nails or hooks",
        CoveringKind::Sheet(_) => "screws",
    }
}

fn flashing_lines(input: &TakeoffInput, faces: &[CoveredFace], laid: &Laid, lines: &mut Lines) {
    let card = &input.covering.card;
    let Some(metal) = &card.abutment_flashing else { return };
    let gauge = laid.layouts.first().map_or(0.0, |layout| layout.gauge);
    let counted = flashing::count(faces, input.openings, gauge, margins(card).eave);
    let stock = |lines: &mut Lines, item: &'static str, what: &str, lengths: &[f64]| {
        if lengths.is_empty() {
            return;
        }
        let count = runs::pieces(lengths, metal.piece, metal.lap, SHORTEST_METAL);
        lines.add(item, what, Stage::Finish, Amount::stock(lengths.iter().sum(), count), |line| {
            line.pack = Some(format!("piece of {} m", metal.piece));
            line.weight = Some(f64::from(count) * metal.piece * metal.weight);
        });
    };
    stock(lines, "abutment-flashing", "metal along walls", &counted.wall_lengths);
    stock(lines, "opening-flashing", "aprons below and pieces above openings", &counted.opening_lengths);
    let pieces = [
        ("step-flashing", "step pieces, one a course, up walls and openings", counted.steps),
        ("kick-out", "kick-outs where a side wall ends at an eave", counted.kick_outs),
        ("saddle", "saddles behind wide chimneys", counted.saddles),
    ];
    for (item, what, count) in pieces.into_iter().filter(|(_, _, count)| *count > 0) {
        lines.add(item, what, Stage::Finish, Amount::laid(f64::from(count), "piece"), |line| {
            if item == "step-flashing" {
                line.detail = Some(format!("each at least {:.0} mm long", (gauge + 0.05) * 1000.0));
            }
        });
    }
}

fn rain_lines(input: &TakeoffInput, faces: &[CoveredFace], lines: &mut Lines) {
    let Some(goods) = &input.covering.card.rain_goods else { return };
    let gutters = rain::gutters(input.roof, faces);
    let lengths: Vec<f64> = gutters.iter().map(|gutter| gutter.length).collect();
    let count = runs::pieces(&lengths, goods.gutter_piece, 0.0, SHORTEST_METAL);
    lines.add("gutter", "gutters along eaves", Stage::Rain, Amount::stock(lengths.iter().sum(), count), |line| {
        line.pack = Some(format!("piece of {} m", goods.gutter_piece));
    });
    let outlet = |gutter: &rain::Gutter| (gutter.area / goods.outlet_drains).ceil().max(1.0);
    let pipes: f64 = gutters.iter().map(outlet).sum();
    // From the eave to the ground: datum is where heights are measured from.
    let length: f64 = gutters.iter().map(|gutter| outlet(gutter) * gutter.from.z.min(gutter.to.z).max(0.0)).sum();
    if pipes > 0.0 {
        lines.add("downpipe", "downpipes from eaves to datum", Stage::Rain, Amount::laid(length, "m"), |line| {
            line.detail = Some(format!(
                "{pipes:.0} outlets, one for every {:.0} m² that an eave drains (EN 12056-3 area; {})",
                goods.outlet_drains, goods.source
            ));
        });
    }
}

fn tools(card: &Card) -> Vec<&'static str> {
    let mut tools = vec![
        "harness, anchor and rope or scaffold as local law says",
        "ladder tied at the top, roof ladder",
        "gloves, eye protection, shoes with soft soles",
        "tape, chalk line, square, pencil",
        "hammer or nailer, flat bar",
    ];
    match card.covering {
        CoveringKind::Strip(_) => tools.extend(["knife with hooked and straight blades", "straight edge 1 m"]),
        CoveringKind::Unit(_) => tools.extend(["slate cutter or tile saw with water", "dust mask"]),
        CoveringKind::Sheet(_) => {
            tools.extend(["shears or nibbler (no grinder: sparks burn the coating)", "screwdriver with stop"]);
        }
    }
    if card.adhesive.is_some() {
        tools.push("adhesive gun");
    }
    tools.extend(["tin snips for metal", "magnet and broom to clear gutters of nails"]);
    tools
}
