//! An offer in words: what is included, what has no price, what each line is for. What a client reads holds no key of a file
//! and counts no nails.

use super::amount::{list, sentence};
use super::estimate;
use super::order::{kind, laid, name, what};
use super::units::money;
use crate::roof::EdgeKind;
use crate::takeoff::answer::PartOrder;
use crate::takeoff::answer::TakeOff;
use crate::takeoff::goods::DeckKind;
use crate::takeoff::item::Item;
use crate::takeoff::offer::{Offer, OfferLine, Priced, Sums, Unpriced};
use crate::takeoff::order_line::OrderLine;
use crate::takeoff::parts::laid_together;
use crate::takeoff::prices::Operation;
use crate::takeoff::scope::Spared;
use crate::takeoff::small::SmallGoods;
use crate::wording::units::Format;

/// What a line of an offer is for.
#[must_use]
pub fn priced(line: &OfferLine, offer: &Offer, format: Format) -> String {
    match &line.what {
        Priced::Goods(item) => {
            let goods = offer.material.iter().filter_map(|line| match &line.what {
                Priced::Goods(item) => Some(item),
                _ => None,
            });
            what(item, kind(goods))
        }
        Priced::Labour { factor: 1.0 } => "labour".to_owned(),
        Priced::Labour { factor } => format!("labour, pitch band × {factor}"),
        Priced::LabourOn(EdgeKind::Hip) => "labour on hips".to_owned(),
        Priced::LabourOn(EdgeKind::Valley) => "labour on valleys".to_owned(),
        Priced::LabourOn(EdgeKind::Verge) => "labour on verges".to_owned(),
        Priced::LabourOn(EdgeKind::Ridge) => "labour on ridges".to_owned(),
        Priced::LabourOn(EdgeKind::Eave) => "labour on eaves".to_owned(),
        Priced::LabourOn(kind) => format!("labour on {} edges", kind.word()),
        Priced::Hours { operation, of, is_usual, .. } => {
            let usual = if *is_usual { ", at the usual rate" } else { "" };
            format!(
                "labour: {}, {}{usual}",
                operation_word(*operation),
                super::order::amount(*of, operation.unit(), format)
            )
        }
        Priced::Access => "scaffold and access".to_owned(),
        Priced::AccessAlong => "scaffold and access along eaves and verges".to_owned(),
        Priced::Disposal | Priced::DisposalByVolume => "disposal of the old roof".to_owned(),
        Priced::DisposalOnce => "rubbish taken away".to_owned(),
    }
}

/// How much of a line: packs are called what they are.
#[must_use]
pub fn quantity(line: &OfferLine, format: Format) -> String {
    match &line.pack {
        Some(pack) => super::order::packs(line.quantity, pack),
        None => super::order::amount(line.quantity, line.unit, format),
    }
}

/// What is done in hours.
#[must_use]
pub(crate) fn operation_word(operation: Operation) -> &'static str {
    match operation {
        Operation::Strip => "stripping",
        Operation::Deck => "deck",
        Operation::Cover => "underlay and covering",
        Operation::Eave => "eaves",
        Operation::Verge => "verges",
        Operation::Ridge => "ridges",
        Operation::Hip => "hips",
        Operation::Valley => "valleys",
        Operation::Wall => "walls",
        Operation::Opening => "openings",
    }
}

/// Something without a price.
#[must_use]
pub fn unpriced(of: &Unpriced) -> String {
    match of {
        Unpriced::Line(item) => name(item).to_owned(),
        Unpriced::WrongUnit(item) => format!("{} (priced by a unit they do not come in)", name(item)),
        Unpriced::Labour => "labour".to_owned(),
        Unpriced::Disposal => "disposal of the old roof".to_owned(),
    }
}

/// All that has no price, in a row.
#[must_use]
pub(crate) fn all_unpriced(offer: &Offer) -> String {
    list(&offer.unpriced.iter().map(unpriced).collect::<Vec<_>>())
}

/// The same for a client, who is told of nails and small parts in one word.
#[must_use]
pub(crate) fn unpriced_for_client(offer: &Offer) -> String {
    let is_small = |of: &Unpriced| matches!(of, Unpriced::Line(item) | Unpriced::WrongUnit(item) if SmallGoods::of(item).is_some());
    let name_of = |of: &Unpriced| match of {
        Unpriced::Line(item) | Unpriced::WrongUnit(item) => name(item).to_owned(),
        other => unpriced(other),
    };
    let mut names: Vec<String> = offer.unpriced.iter().filter(|of| !is_small(of)).map(name_of).collect();
    if offer.unpriced.iter().any(is_small) {
        names.push("fixings and small parts".to_owned());
    }
    list(&names)
}

/// Why an offer is not whole, for whoever makes it: what has no price, and what the rest comes to. `None` where it is whole.
#[must_use]
pub(crate) fn not_whole(offer: &Offer) -> Option<String> {
    if offer.unpriced.is_empty() {
        return None;
    }
    Some(format!(
        "not an offer yet: no price for {}; what has a price comes to {}, before anything on top and tax",
        all_unpriced(offer),
        money(offer.priced.net, offer.currency.as_deref())
    ))
}

/// The same for a client, who is told no part of a sum.
pub const NOT_WHOLE_FOR_CLIENT: &str =
    "This describes the work. It is not an offer yet: parts of it are still to be priced.";

/// What the material costs, where any of it has a price: a sum that is short of a line says so.
#[must_use]
pub fn material(answer: &TakeOff) -> Option<String> {
    let cost = answer.cost().value()?;
    let currency = answer.offer.as_ref().and_then(|offer| offer.currency.as_deref());
    let open = answer.offer.as_ref().map_or(0, |offer| {
        offer.unpriced.iter().filter(|of| matches!(of, Unpriced::Line(_) | Unpriced::WrongUnit(_))).count()
    });
    Some(match open {
        0 => format!("material {}", money(cost, currency)),
        1 => format!("material {} without the line that has no price", money(cost, currency)),
        _ => format!("material {} without the lines that have no price", money(cost, currency)),
    })
}

/// Which hours nobody gave; `None` where all are the user's own.
#[must_use]
pub fn usual_hours(offer: &Offer) -> Option<String> {
    let usual = offer.usual_hours();
    if usual.is_empty() {
        return None;
    }
    let describe = |(operation, each): &(Operation, f64)| {
        let unit = if *operation == Operation::Opening { "each" } else { operation.unit().word() };
        let unit = if unit == "each" { " h each".to_owned() } else { format!(" h/{unit}") };
        format!("{} {each}{unit}", operation_word(*operation))
    };
    Some(format!(
        "hours counted at usual rates, which are invented, an order of magnitude to begin from: {}",
        usual.iter().map(describe).collect::<Vec<_>>().join(", ")
    ))
}

/// On which day the prices held.
#[must_use]
pub fn dated(offer: &Offer) -> Option<String> {
    offer.dated.as_ref().map(|day| format!("prices of {day}"))
}

/// What is done and laid, a sentence each, in the order of work: for a client, before the work or after it. `title` is the
/// covering's own.
#[must_use]
pub fn scope(answer: &TakeOff, title: &str, format: Format) -> Vec<String> {
    let left_out: &[Item] = answer.offer.as_ref().map_or(&[], |offer| &offer.left_out);
    let mut told = Vec::new();
    if let Some(old) = &answer.old_roof {
        if old.layers > 0 {
            let work = answer.offer.iter().flat_map(|offer| &offer.work);
            let is_disposal =
                |what: &Priced| matches!(what, Priced::Disposal | Priced::DisposalByVolume | Priced::DisposalOnce);
            let away = if work.map(|line| &line.what).any(is_disposal) { " and away" } else { "" };
            told.push(format!(
                "old covering taken off{away}: {} layer{} of {}, {}",
                old.layers,
                if old.layers == 1 { "" } else { "s" },
                old.kind,
                format.area(old.area)
            ));
        }
        if !old.stays.is_empty() {
            told.push(format!("what stays: {}", old.stays.join(", ")));
        }
    }
    let lines = laid_together(&answer.lines);
    let included = lines.iter().filter(|line| !left_out.contains(&line.item));
    told.extend(included.filter_map(|line| of_line(line, answer, title, format)));
    told.push("fixings and small parts that go with it, and the site left clean".to_owned());
    told.iter().map(|words| sentence(words)).collect()
}

/// A line of the order as a client reads it; `None` for what goes with another.
fn of_line(line: &OrderLine, answer: &TakeOff, title: &str, format: Format) -> Option<String> {
    let amount = laid(line, format);
    Some(match &line.item {
        Item::Deck(DeckKind::Boards | DeckKind::Sheets)
            if answer.old_roof.is_some() && answer.deck_plans.is_empty() =>
        {
            format!("deck mended where it is soft or rotten, {amount} by the estimate")
        }
        Item::Deck(DeckKind::Boards) => format!("deck of boards, {amount}"),
        Item::Deck(DeckKind::Sheets) => format!("deck of panels, {amount}"),
        Item::Deck(DeckKind::Battens) => "battens to carry the covering".to_owned(),
        Item::FasciaBoard => format!("fascia boards along eaves, {amount}"),
        Item::VergeBoard => format!("boards up the verges, {amount}"),
        Item::TopBoard => format!("boards along top edges, {amount}"),
        Item::EaveVent => format!("vents at the eaves, {amount}"),
        Item::HighVent => format!("vents at the ridge, {amount}"),
        Item::Soffit => format!("soffit, {amount}"),
        Item::Underlay => {
            // Of several coverings not every one may have it.
            let has = |part: &&PartOrder| part.lines.iter().any(|own| own.item == Item::Underlay);
            let over: Vec<&str> =
                answer.parts.iter().filter(has).flat_map(|part| &part.names).map(String::as_str).collect();
            let is_whole = answer.parts.iter().all(|part| has(&part));
            if is_whole { "underlay over the whole roof".to_owned() } else { format!("underlay over {}", list(&over)) }
        }
        Item::IceBarrier => "self-adhesive barrier against ice along the eaves".to_owned(),
        Item::EaveStrip | Item::VergeStrip | Item::BreakStrip | Item::TopStrip => {
            format!("{}, {amount}", name(&line.item))
        }
        Item::ValleyLining => format!("valleys lined, {amount}"),
        Item::BaseLayer => "a base layer of roll felt under the cap sheet".to_owned(),
        Item::Strips | Item::Units(_) | Item::Sheets(_) | Item::CapSheet(_) => {
            let own = answer.parts.iter().filter(|part| part.lines.iter().any(|own| own.item == line.item));
            let own: Vec<String> = own.map(|part| super::order::part_covered(part, format)).collect();
            if own.is_empty() {
                format!("{}, {}", title.trim_end_matches('.'), estimate::area(&answer.area, format))
            } else {
                own.join("; ")
            }
        }
        Item::Caps => "ridges and hips capped".to_owned(),
        Item::Timber(_) => "roof timbers".to_owned(),
        Item::CounterBatten => "battens up the slope, so that air passes under the covering".to_owned(),
        Item::VergeUnit => "verges closed with pieces of their own".to_owned(),
        Item::WallFlashing => format!("metal where the roof meets walls, {amount}"),
        Item::OpeningFlashing => "metal round openings".to_owned(),
        Item::Gutter => format!("gutters along eaves, {amount}"),
        Item::Downpipe => format!("downpipes, {amount}"),
        Item::Starter
        | Item::Fixings(_)
        | Item::Holds(_)
        | Item::Adhesive
        | Item::Primer
        | Item::StepFlashing
        | Item::KickOut
        | Item::Saddle
        | Item::GutterBracket
        | Item::GutterCorner
        | Item::StopEnd
        | Item::GutterOutlet
        | Item::PipeBend
        | Item::PipeClip => return None,
    })
}

/// What is left to others or not made at all, a sentence each: lines of the order first, then the user's own words.
#[must_use]
pub(crate) fn excluded(answer: &TakeOff, own: &[String]) -> Vec<String> {
    let left_out = answer.offer.iter().flat_map(|offer| &offer.left_out);
    let without = answer.not_ordered.iter().filter(|spared| spared.why == Spared::LeftOut).map(|spared| &spared.item);
    let goods = left_out.chain(without).filter(|item| SmallGoods::of(item).is_none()).map(|item| name(item).to_owned());
    goods.chain(own.iter().cloned()).map(|words| sentence(&words)).collect()
}

/// A share of tax: `20 %`, `8.1 %`.
#[must_use]
pub fn tax_rate(rate: f64) -> String {
    let percent = format!("{:.2}", rate * 100.0);
    format!("{} %", percent.trim_end_matches('0').trim_end_matches('.'))
}

/// How to look after a covering, a sentence each. Common practice, no source.
#[must_use]
pub(crate) fn care(answer: &TakeOff) -> Vec<String> {
    // What stays or was there before wants care as well.
    let is_there = |why: Spared| matches!(why, Spared::Stays | Spared::InPlace | Spared::InYard);
    let kept: Vec<&Item> = answer.not_ordered.iter().filter(|of| is_there(of.why)).map(|of| &of.item).collect();
    let has =
        |meant: fn(&Item) -> bool| answer.lines.iter().map(|line| &line.item).chain(kept.iter().copied()).any(meant);
    let mut told =
        vec!["Look it over from the ground twice a year and after every storm; with glasses, not from the ridge."];
    if has(|item| matches!(item, Item::Gutter | Item::Downpipe)) {
        told.push("Clear gutters and outlets in autumn, and after leaves have fallen late.");
    }
    if has(|item| matches!(item, Item::ValleyLining)) {
        told.push("Keep valleys free of leaves and moss: what lies there holds water against the laps.");
    }
    if has(|item| matches!(item, Item::Strips)) {
        told.push(
            "Brush moss off downwards with a soft brush in the dry; no pressure washer, it takes the granules off.",
        );
        told.push("Let nobody walk on it in the heat, when it marks, or in frost, when it cracks.");
    }
    if has(|item| matches!(item, Item::Units(_))) {
        told.push("Have slipped or broken pieces replaced before the next winter; walk on it only with a roof ladder.");
    }
    if has(|item| matches!(item, Item::Sheets(_))) {
        told.push("Touch up scratches before they rust; retighten screws whose washers have dried out.");
    }
    if has(|item| matches!(item, Item::CapSheet(_))) {
        told.push(
            "Have blisters and lifted laps mended before the next winter; sweep off leaves and moss, scrape nothing.",
        );
    }
    told.push("Whoever goes up secures themselves as local law says, and never alone.");
    told.into_iter().map(str::to_owned).collect()
}

/// What is looked over when the work is handed over, to be ticked. Common practice, no source.
#[must_use]
pub fn inspection(answer: &TakeOff) -> Vec<String> {
    let has = |meant: fn(&Item) -> bool| answer.lines.iter().any(|line| meant(&line.item));
    let mut told: Vec<String> = Vec::new();
    if has(|item| matches!(item, Item::Strips | Item::Units(_))) {
        told.push("Courses straight and parallel to the eave, no piece lifted or cracked.".to_owned());
    }
    if has(|item| matches!(item, Item::Sheets(_))) {
        let sheets =
            "Sheets straight, side laps tight, every screw seated on its washer, no coating burnt or scratched.";
        told.push(sheets.to_owned());
    }
    if has(|item| matches!(item, Item::CapSheet(_))) {
        told.push("Laps bonded over their whole length, no blister, no fold; upstands tight.".to_owned());
    }
    if has(|item| matches!(item, Item::Caps)) {
        told.push("Caps on ridges and hips lie tight, lapped away from the wind.".to_owned());
    }
    if has(|item| matches!(item, Item::ValleyLining)) {
        told.push("Valleys clear from top to bottom, cuts even.".to_owned());
    }
    if has(|item| matches!(item, Item::WallFlashing | Item::OpeningFlashing | Item::StepFlashing)) {
        told.push("Metal at walls and openings lapped downhill, its upper edge tight.".to_owned());
    }
    if has(|item| matches!(item, Item::EaveStrip | Item::VergeStrip)) {
        told.push("Edge metal fixed, laps closed, water drips clear of the boards.".to_owned());
    }
    if has(|item| matches!(item, Item::Gutter)) {
        told.push("Gutters fall to their outlets: a can of water runs off; outlets and pipes free.".to_owned());
    }
    told.push("Under the roof, after the first rain: no stain, no daylight where none should be.".to_owned());
    told.push("Site clear of cuttings; ground and gutters gone over with a magnet for nails.".to_owned());
    told
}

/// The sums at the foot of an offer, named: of a whole one down to its total, else what has a price, and that it is no more.
#[must_use]
pub fn sums(offer: &Offer) -> Vec<(String, f64)> {
    let Sums { net, on_top, before_tax, tax, total } = offer.priced;
    if offer.whole().is_none() {
        return vec![("priced so far, before anything on top and tax".to_owned(), net)];
    }
    let mut sums = vec![("material and work".to_owned(), net)];
    if on_top != 0.0 {
        sums.push(("on top".to_owned(), on_top));
        sums.push(("before tax".to_owned(), before_tax));
    }
    if let Some(rate) = offer.tax_rate {
        sums.push((format!("tax, {}", tax_rate(rate)), tax));
    }
    sums.push(("total".to_owned(), total));
    sums
}
