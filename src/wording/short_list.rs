//! What a short list tells in a row or a sentence each: groups of small goods, what the covering's packs are for, rules of
//! thumb beside the count.

use super::order::{self, ordered};
use super::units::money;
use crate::takeoff::answer::TakeOff;
use crate::takeoff::goods::DeckKind;
use crate::takeoff::goods::Held;
use crate::takeoff::item::{Detail, Fixing, Item, Pack};
use crate::takeoff::order_line::OrderLine;
use crate::takeoff::small::{SmallGoods, SmallGroup};
use crate::takeoff::thumb::{Thumb, on_square};
use crate::wording::units::Format;

/// Heading of the groups of small goods.
pub const SMALL_GOODS: &str = "Nails and small parts";

/// A group with all it holds: `nails: 5 boxes of 500 for the deck, 1 box of 250 for edge metal`; `apart` with how far apart
/// they stand.
#[must_use]
pub fn group(group: &SmallGroup<'_>, answer: &TakeOff, apart: bool, format: Format) -> String {
    let each: Vec<String> = group.lines.iter().map(|line| member(line, answer, apart, format)).collect();
    let holds = |fixing: Fixing| group.lines.iter().any(|line| line.item == Item::Fixings(fixing));
    let lead = match group.of {
        SmallGoods::Fixings if holds(Fixing::Screws) => "nails and screws",
        SmallGoods::Fixings if holds(Fixing::NailsOrHooks) => "nails and hooks",
        SmallGoods::Fixings => "nails",
        SmallGoods::Metal => "pieces of metal",
        SmallGoods::GutterParts => "parts of gutters",
    };
    format!("{lead}: {}", each.join(", "))
}

/// The same with its weight and what it costs.
#[must_use]
pub(crate) fn group_in_all(of: &SmallGroup<'_>, answer: &TakeOff, format: Format) -> String {
    let mut told = group(of, answer, false, format);
    if let Some(weight) = of.weight.value().filter(|weight| *weight > 0.0) {
        told.push_str(&format!("; {}", format.weight(weight)));
    }
    if let Some(cost) = of.cost {
        let currency = answer.offer.as_ref().and_then(|offer| offer.currency.as_deref());
        told.push_str(&format!("; {}", money(cost, currency)));
    }
    told
}

fn member(line: &OrderLine, answer: &TakeOff, apart: bool, format: Format) -> String {
    let bought = match &line.pack {
        _ if line.is_there => format!("those {}, there already", purpose(&line.item, answer)),
        Some(Pack::Of { name, pieces }) => {
            let packs = ordered(line);
            format!("{packs} {} of {pieces} {}", plural(name, packs != "1"), purpose(&line.item, answer))
        }
        _ => {
            let count = line.quantity.value().unwrap_or(0.0);
            format!("{count:.0} {}", part(&line.item, (count - 1.0).abs() > 0.5))
        }
    };
    let spacing = line.detail.as_ref().filter(|detail| apart || matches!(detail, Detail::StepPieces { .. }));
    match spacing.and_then(|_| order::detail(line, format)) {
        Some(detail) => format!("{bought} {detail}"),
        None => bought,
    }
}

/// What a kind of fixing is for.
fn purpose(item: &Item, answer: &TakeOff) -> &'static str {
    let on_battens = || answer.lines.iter().any(|line| line.item == Item::Deck(DeckKind::Battens));
    match item {
        Item::Holds(Held::Deck) if on_battens() => "for battens",
        Item::Holds(Held::Deck) => "for the deck",
        Item::Holds(Held::Underlay) => "for the underlay",
        Item::Holds(Held::Metal) => "for edge metal",
        Item::Holds(Held::Caps) => "for caps, longer ones",
        Item::Fixings(Fixing::Nails) => "for strips and starter",
        Item::Fixings(Fixing::FeltNails) => "for the base layer, with large heads",
        Item::Fixings(Fixing::Screws) => "for the sheets",
        _ => "for the covering",
    }
}

/// A small part by its own name within its group.
fn part(item: &Item, many: bool) -> &'static str {
    let [one, several] = match item {
        Item::StepFlashing => ["step piece", "step pieces"],
        Item::KickOut => ["kick-out", "kick-outs"],
        Item::Saddle => ["saddle behind a wide chimney", "saddles behind wide chimneys"],
        Item::GutterBracket => ["bracket", "brackets"],
        Item::GutterCorner => ["corner", "corners"],
        Item::StopEnd => ["stop end", "stop ends"],
        Item::GutterOutlet => ["outlet", "outlets"],
        Item::PipeBend => ["bend of pipe", "bends of pipes"],
        Item::PipeClip => ["clip of pipe", "clips of pipes"],
        other => [order::name(other); 2],
    };
    if many { several } else { one }
}

/// More than one of something that the card calls so.
fn plural(name: &str, many: bool) -> String {
    let hisses = ["s", "x", "z", "ch", "sh"].iter().any(|end| name.ends_with(end));
    match (many, hisses) {
        (false, _) => name.to_owned(),
        (true, true) => format!("{name}es"),
        (true, false) => format!("{name}s"),
    }
}

/// How the quantity of a line comes about, with what is cut from its packs and has no row of its own.
#[must_use]
pub fn detail(line: &OrderLine, answer: &TakeOff, format: Format) -> Option<String> {
    let caps = answer.lines.iter().find(|other| other.item == Item::Caps && other.comes_from_another());
    match (&line.detail, caps.and_then(|caps| caps.quantity.value())) {
        (Some(Detail::Pieces { courses, starter, caps }), Some(count)) if line.item == Item::Strips => {
            Some(format!("{courses} for courses, {starter} for the starter, {caps} for {count:.0} caps"))
        }
        _ => order::detail(line, format),
    }
}

/// What rules of thumb say beside the count, in one sentence without its full stop; `None` where none is known.
#[must_use]
pub(crate) fn thumbs(answer: &TakeOff, format: Format) -> Option<String> {
    let told = |line: &OrderLine| {
        let (packs, thumb) = line.rule_of_thumb.zip(line.thumb)?;
        let pack = match &line.pack {
            Some(Pack::Of { name, .. }) => name.as_str(),
            Some(Pack::Roll(_)) => "roll",
            Some(Pack::Tube(_)) => "tube",
            _ => "pack",
        };
        let rule = match thumb {
            Thumb::Allowance { covers, allowance } => {
                format!("{} each, {:.0} % on top", format.stock_area(covers), allowance * 100.0)
            }
            Thumb::OnArea(each) if format.imperial => format!("{:.0} a square", on_square(each)),
            Thumb::OnArea(each) => format!("{each:.0} a m²"),
            Thumb::OneFor(each) => format!("one for {}", format.stock_area(each)),
        };
        Some(format!("{} {packs:.1} {} ({rule})", order::name(&line.item), plural(pack, true)))
    };
    let told: Vec<String> = answer.lines.iter().filter_map(told).collect();
    (!told.is_empty()).then(|| format!("rules of thumb, to compare with: {}", told.join("; ")))
}
