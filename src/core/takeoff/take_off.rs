//! The take-off: the stages of this module run in order over one roof.

use super::answer::{Stage, TakeOff, Tool};
use super::caps::{self, CapRun};
use super::card::{Card, CoveringKind};
use super::covering::{self, Laid, margins};
use super::deck::DeckCount;
use super::finding::Finding;
use super::item::{Item, Unit};
use super::lines::{Lines, Offered, with_packs};
use super::order_line::OrderLine;
use crate::base::finding::Finding as _;
use crate::takeoff::input::TakeoffInput;

use super::line_price::LinePrice;
use super::offer::{Measures, offer};
use super::order::{deck_lines, flashing_lines, held_lines, rain_lines, total, underlay_lines, vent_lines};
use super::order_covering::covering_lines;
use super::outline::{CoveredFace, Folds, cover};
use super::pieces::PiecePlan;
use super::prices::{Prices, to_hundredth};
use super::scaled::Scaled;
use super::timber::timber_lines;
use super::valleys::Valleys;
use super::{advice, at_edges, felt, reroof, work};
use crate::base::estimate::{Assumption, Estimate, NINETY_FIVE};

use crate::roof::EdgeKind;
use nalgebra::Vector2;

/// Takes a roof off: lays every face, counts everything that goes with it, and says what to mind. Pure and deterministic.
/// Linear in pieces for a given number of tabs.
#[must_use]
pub fn take_off(input: &TakeoffInput) -> TakeOff {
    let covering = input.covering;
    let card = &covering.card;
    let area = net_area(input);
    let relative = input.area_sd.filter(|_| area > 0.0).map(|sd| NINETY_FIVE * sd / area);
    let Count { faces, laid, valleys, caps, deck, underlay_plans, lines } =
        count(input, Lines::new(covering, relative));
    let (old_roof, stripping) = covering.old_roof.as_ref().map(|old| reroof::strip_off(old, area)).unzip();
    let mut findings = stripping.unwrap_or_default();
    findings.extend(laid.findings.iter().chain(&valleys.findings).cloned());
    findings.extend(advice::advise(input, &faces, &laid));
    findings.extend(own_values(card));
    let (mut lines, not_ordered) = lines.finish();
    if let Some(relative) = relative {
        bound(&mut lines, input, relative);
    }
    // The upper number is what is paid for, so that bounds come first.
    priced(&mut lines, &covering.prices);
    let mut answer = TakeOff {
        lines,
        not_ordered,
        layouts: laid.layouts,
        faces: laid.counts,
        caps,
        deck_cuts: deck.cuts,
        deck_plans: deck.plans,
        underlay_plans,
        felt: laid.felt,
        findings,
        valleys,
        work: Vec::new(),
        offer: None,
        old_roof,
        tools: Vec::new(),
        van_payload: covering.laying.van_payload,
        area: match input.area_sd {
            Some(sd) => Estimate::measured(area, sd),
            None => Estimate::taken(area, Assumption::SpreadNotComputed),
        },
        measures: Measures::default(),
        parts: Vec::new(),
    };
    answer.tools = tools(card, &answer.lines);
    answer.findings.extend(price_findings(&answer, &covering.prices));
    let site = work::Site { input, faces: &faces, answer: &answer };
    let (missing, steps) = (work::missing(&site), work::steps(&site));
    answer.findings.extend(missing);
    answer.work = steps;
    answer.findings.sort_by_key(Finding::severity);
    answer.measures = measures(input, &faces, &answer);
    answer.offer = offer(&covering.prices, &answer.lines, &answer.measures);
    answer
}

/// Everything counted on a roof.
struct Count<'a> {
    faces: Vec<CoveredFace>,
    laid: Laid,
    valleys: Valleys,
    caps: Vec<CapRun>,
    deck: DeckCount,
    underlay_plans: Vec<PiecePlan>,
    lines: Lines<'a>,
}

fn count<'a>(input: &TakeoffInput<'a>, mut lines: Lines<'a>) -> Count<'a> {
    let (roof, covering) = (input.roof, input.covering);
    let card = &covering.card;
    let margins = margins(card);
    let valleys = Valleys::of(roof, card, &covering.laying, &margins);
    let folds = Folds { margins: &margins, hip: covering.laying.hip, valleys: &valleys };
    let faces: Vec<CoveredFace> =
        roof.roof_faces().filter_map(|(id, _)| cover(roof, id, input.openings, &folds)).collect();
    let mut laid = covering::lay_all(roof, &faces, card, covering.laying.valley);
    if let CoveringKind::Felt(card) = &card.covering {
        laid.felt = felt::lay(roof, &faces, input.openings, card);
    }
    at_edges::tell(&faces, &mut laid.layouts, card, covering.laying.exposure, &margins);
    let area = net_area(input);
    let caps = cap_runs(input, &faces, &lines);
    timber_lines(input, &mut lines);
    let deck = deck_lines(input, &faces, &laid, &mut lines);
    let (underlay_plans, rows) = underlay_lines(input, &faces, area, &mut lines);
    held_lines(input, &deck, rows, &mut lines);
    vent_lines(input, &mut lines);
    covering_lines(input, &faces, &laid, &caps, area, &mut lines);
    flashing_lines(input, &faces, &laid, &mut lines);
    rain_lines(input, &mut lines);
    Count { faces, laid, valleys, caps, deck, underlay_plans, lines }
}

/// States what each line costs, where it has a price.
pub(super) fn priced(lines: &mut [OrderLine], prices: &Prices) {
    for line in lines.iter_mut().filter(|line| !line.is_there) {
        if let LinePrice::Priced { quantity, each, .. } = LinePrice::of(prices, line) {
            line.cost = Estimate::exact(to_hundredth(quantity * each));
        }
    }
}

/// Bounds of what is ordered: the same roof counted again as small and as large as 95 of 100 cases leave it, with goods of
/// the lengths that are ordered.
fn bound(lines: &mut [OrderLine], input: &TakeoffInput, relative: f64) {
    let ends = [1.0 - relative, 1.0 + relative].map(|area| {
        let scaled = Scaled::of(input, area.max(0.0));
        count(&scaled.input(input), Lines::as_ordered(input.covering, lines)).lines.finish().0
    });
    for line in lines.iter_mut().filter(|line| !line.is_there) {
        let packs_of =
            |others: &Vec<OrderLine>| others.iter().find(|other| other.item == line.item).and_then(|o| o.packs);
        let Some(packs) = line.packs else { continue };
        let bounds = ends.each_ref().map(|others| packs_of(others).unwrap_or(packs));
        line.packs_range = Some([bounds[0].min(bounds[1]).min(packs), bounds[0].max(bounds[1]).max(packs)]);
        line.weight = with_packs(line.weight.value(), line.packs, line.packs_range);
    }
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
    input.roof.total_area().0 - input.openings.iter().map(|opening| opening.area).sum::<f64>()
}

/// What the roof file states in place of the card.
fn own_values(card: &Card) -> Option<Finding> {
    (!card.own.is_empty()).then(|| Finding::OwnValues { values: card.own.clone() })
}

/// What is to be minded of prices: those that nothing uses, those that hang on a length chosen here.
pub(super) fn price_findings(answer: &TakeOff, prices: &Prices) -> Vec<Finding> {
    unused_prices(answer, prices).into_iter().chain(prices_by_piece(answer, prices)).collect()
}

/// Prices by the piece of what comes in several lengths, of which one was chosen.
fn prices_by_piece(answer: &TakeOff, prices: &Prices) -> Option<Finding> {
    let by_piece = |line: &&OrderLine| {
        let price = prices.of(line.item.key()).filter(|_| line.is_chosen_length && !line.is_there);
        price.is_some_and(|price| price.per.is_none_or(|per| matches!(per, Unit::Piece | Unit::Pack)))
    };
    let pieces: Vec<(String, f64)> = answer
        .lines
        .iter()
        .filter(by_piece)
        .filter_map(|line| Some((line.item.key().to_owned(), line.pack.as_ref()?.length()?)))
        .collect();
    (!pieces.is_empty()).then_some(Finding::PriceByPiece { pieces })
}

/// Prices of what comes out of another line's packs: it is paid for there.
fn unused_prices(answer: &TakeOff, prices: &Prices) -> Option<Finding> {
    let is_unused = |item: &&String| answer.line(item).is_some_and(OrderLine::comes_from_another);
    let items: Vec<String> = prices.items.iter().map(|price| &price.item).filter(is_unused).cloned().collect();
    (!items.is_empty()).then_some(Finding::PriceNotUsed { items })
}

fn measures(input: &TakeoffInput, faces: &[CoveredFace], answer: &TakeOff) -> Measures {
    let roof = input.roof;
    let old = answer.old_roof.as_ref();
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
        wall: total(roof, EdgeKind::Abutment),
        openings: input.openings.len() as f64,
        deck: deck_area(answer),
        strip: old.map_or(0.0, |old| old.area * f64::from(old.layers)),
        waste: old.map_or(0.0, |old| old.weight / 1000.0),
        waste_volume: old.map_or(0.0, |old| old.skip_volume),
    }
}

/// Caps where they lie. Of those that are goods of their own, in the length of which the least is bought.
fn cap_runs(input: &TakeoffInput, faces: &[CoveredFace], lines: &Lines) -> Vec<CapRun> {
    let card = &input.covering.card;
    let Some(caps) = card.caps.as_ref().filter(|_| !matches!(card.covering, CoveringKind::Felt(_))) else {
        return Vec::new();
    };
    let towards = input.wind_from.map(|bearing| {
        let from_y = bearing - input.north;
        Vector2::new(from_y.sin(), from_y.cos())
    });
    let run = |last, exposure| caps::lines(input.roof, faces, input.openings, towards, last, exposure);
    if caps.per_strip.is_some() {
        // The last cap of those cut from strips shows its tab alone; one made as a cap shows all of it.
        let last = if let CoveringKind::Strip(strip) = &card.covering { strip.cutout } else { caps.length };
        return run(last, caps.exposure);
    }
    let offered = lines.offered(&Item::Caps, Offered { usual: caps.length, others: &caps.lengths });
    let of = |length: f64| {
        let runs = run(length, caps.exposure + (length - caps.length));
        (f64::from(runs.iter().map(|run| run.caps).sum::<u32>()) * length, runs)
    };
    let least = offered.into_iter().map(of).min_by(|a, b| a.0.total_cmp(&b.0));
    least.map(|(_, runs)| runs).unwrap_or_default()
}

/// Tools by what is cut and fixed: every covering and every order has its own.
fn tools(card: &Card, lines: &[OrderLine]) -> Vec<Tool> {
    let mut tools = vec![Tool::FallProtection, Tool::Ladders, Tool::Clothing, Tool::Marking, Tool::Nailing];
    if lines.iter().any(|line| line.stage() == Stage::Deck && line.unit != Unit::Piece) {
        tools.push(Tool::WoodSaw);
    }
    match work::Kind::of(card) {
        work::Kind::Strip | work::Kind::SingleTab => tools.extend([Tool::Knife, Tool::StraightEdge]),
        work::Kind::Slate => tools.extend([Tool::SlateCutter, Tool::DustMask]),
        work::Kind::Tile | work::Kind::PlainTile => tools.extend([Tool::TileSaw, Tool::DustMask]),
        work::Kind::Sheet => tools.extend([Tool::Shears, Tool::Screwdriver]),
        work::Kind::Felt => tools.extend([Tool::Knife, Tool::StraightEdge, Tool::Spreader]),
    }
    let bends = matches!(&card.covering, CoveringKind::Strip(strip) if strip.bend_above.is_some());
    if bends && lines.iter().any(|line| line.item == Item::Caps) {
        tools.push(Tool::WarmAir);
    }
    if card.adhesive.is_some() {
        tools.push(Tool::AdhesiveGun);
    }
    tools.extend([Tool::Snips, Tool::Magnet]);
    tools
}

/// The deck of an order as labour counts it, square metres: battens by the area they carry.
fn deck_area(answer: &TakeOff) -> f64 {
    let deck = answer.lines.iter().find(|line| matches!(line.item, Item::Deck(_)));
    let by_area = |line: &OrderLine| line.quantity.value().filter(|_| line.unit == Unit::SquareMetre);
    deck.map_or(0.0, |line| by_area(line).or(answer.area.value()).unwrap_or(0.0))
}
