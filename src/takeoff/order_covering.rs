//! Lines of the covering itself: starter, pieces, caps, nails, adhesive.

use super::answer::Stage;
use super::caps::CapRun;
use super::card::{Card, CoveringKind};
use super::covering::Laid;
use super::fixings;
use super::lines::{Amount, Lines, length_list};
use super::model::Waste;
use super::order::total;
use super::outline::CoveredFace;
use super::take_off::TakeoffInput;
use crate::base::tolerance;
use crate::roof::EdgeKind;

/// Whole allowance on the area by the rule of thumb (common practice, no source).
const THUMB: f64 = 0.15;

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
                    line.pack = Some("out of the strips".into());
                });
            }
            lines.add(
                "strip-shingle",
                "covering: strips for courses, starter and caps",
                Stage::Covering,
                Amount::packed(total, "piece", total / pack),
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
                        Some(fraction) => {
                            format!("rule of thumb: {} and {:.0} %", input.words.area(area), fraction * 100.0)
                        }
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
            let amount = Amount::packed(total, "piece", total / pack);
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
            let amount = lines.counted(lengths.len() as f64, "piece", u32::try_from(lengths.len()).unwrap_or(u32::MAX));
            lines.add(&card.name, "covering: sheets cut to length", Stage::Covering, amount, |line| {
                line.pack = Some("sheet cut to length".into());
                line.weight = Some(sheet_area * sheet.weight);
                line.priced = Some((sheet_area, "m²"));
                // The rule of thumb knows no lengths: it is told in area.
                line.detail = Some(format!(
                    "{}; {} in all, where the area and {:.0} % would be {}",
                    length_list(&lengths, input.words),
                    input.words.area(sheet_area),
                    THUMB * 100.0,
                    input.words.area(area * (1.0 + THUMB))
                ));
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
    let tabs: u32 = offcuts.map(|length| ((length + tolerance::SMALLEST) / tab).floor() as u32).sum();
    caps.saturating_sub(tabs).div_ceil(per_strip)
}

fn cap_line(input: &TakeoffInput, count: u32, lines: &mut Lines) {
    let Some(caps) = input.covering.card.caps.as_ref().filter(|_| count > 0) else { return };
    let what = "caps along ridges and hips";
    match (caps.per_strip, caps.pack) {
        (None, Some(pack)) => {
            let need = f64::from(count) / f64::from(pack.max(1));
            let amount = Amount::packed(f64::from(count), "piece", need);
            lines.add("ridge-hip-cap", what, Stage::Finish, amount, |line| {
                line.pack = Some(match pack {
                    1 => format!("piece of {}", input.words.stock(caps.length)),
                    _ => format!("pack of {pack}"),
                });
                let ordered = f64::from(line.packs.unwrap_or(0) * pack);
                line.weight = caps.weight.map(|weight| ordered * weight);
                line.left_over = Some(ordered - f64::from(count));
            });
        }
        _ => lines.add("ridge-hip-cap", what, Stage::Finish, Amount::laid(f64::from(count), "piece"), |line| {
            line.pack = Some("out of the strips".into());
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
        let amount = Amount::packed(count, "piece", count / pack);
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
        let amount = Amount::packed(tubes.ceil(), "tube", tubes);
        lines.add("adhesive", "cold adhesive, under tabs, caps and edges", Stage::Covering, amount, |line| {
            line.pack = Some(format!("tube of {:.0} ml", adhesive.tube * 1e6));
            line.weight = Some(f64::from(line.packs.unwrap_or(0)) * adhesive.weight);
            line.left_over = Some((f64::from(line.packs.unwrap_or(0)) - tubes).max(0.0));
            // 6 m2 a tube (common practice, no source).
            line.rule_of_thumb = Some(area / 6.0);
        });
    }
}

fn fixing_word(kind: &CoveringKind) -> &'static str {
    match kind {
        CoveringKind::Strip(_) => "nails, for strips, starter and caps",
        CoveringKind::Unit(_) => "nails or hooks",
        CoveringKind::Sheet(_) => "screws",
    }
}
