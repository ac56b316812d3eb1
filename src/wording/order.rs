//! Order lines in words: what a thing is, how much of it, what it is bought in, how the count comes about. One list for
//! command line, sheet, page and window.

use crate::base::estimate::Estimate;
use crate::base::quantity;
use crate::takeoff::answer::{PartOrder, Stage, TakeOff, Tool};
use crate::takeoff::goods::DeckKind;
use crate::takeoff::goods::Held;
use crate::takeoff::item::{Detail, Fixing, Item, Pack, Quantity, Unit};
use crate::takeoff::model::WeightFrom;
use crate::takeoff::order_line::OrderLine;
use crate::takeoff::scope::Spared;
use crate::takeoff::timber_goods::TimberItem;
use crate::takeoff::work::Kind;
use crate::wording::estimate;
use crate::wording::units::Format;

/// Of everything that is ordered.
#[must_use]
pub(crate) fn one_batch(answer: &TakeOff) -> &'static str {
    if answer.lines.iter().any(|line| line.item == Item::Caps) {
        "One batch for the whole roof, caps too: shades differ between batches."
    } else {
        "One batch for the whole roof: shades differ between batches."
    }
}

/// What to do where a line gives two figures.
pub const UPPER_FIGURE: &str =
    "Order the upper figure where two are given: it covers 95 of 100 cases of how it was measured.";

/// An area in squares of 100 ft², as goods are sold in feet: ` (5.2 squares)`; nothing in metres.
#[must_use]
pub fn squares(area: &Estimate, format: Format) -> String {
    let told = |area: f64| format!(" ({:.1} squares)", area / Unit::Square.in_base().1);
    area.value().filter(|_| format.imperial).map_or_else(String::new, told)
}

/// What stands over the order of all buildings together.
pub const IN_ALL: &str = "All buildings together: what is counted in pieces is bought once for all";

/// A building, or a part of one, with its covering: `stable, wing: rectangular slates …, 46.10 m² to cover`.
#[must_use]
pub fn part(part: &PartOrder, format: Format) -> String {
    let title = part.title.trim_end_matches('.');
    format!(
        "{}: {title}, {} to cover{}",
        part.names.join(", "),
        estimate::area(&part.area, format),
        squares(&part.area, format)
    )
}

/// A building with its covering, as it is offered.
#[must_use]
pub(crate) fn part_covered(part: &PartOrder, format: Format) -> String {
    let title = part.title.trim_end_matches('.');
    format!("{}: {title}, {}", part.names.join(", "), estimate::area(&part.area, format))
}

/// What an item is among others: of several coverings each by its card's name.
#[must_use]
pub(crate) fn name_among(item: &Item, all: &[OrderLine]) -> String {
    let is_covering = |item: &Item| matches!(item, Item::Strips | Item::Units(_) | Item::Sheets(_) | Item::CapSheet(_));
    let several = all.iter().filter(|line| is_covering(&line.item)).count() > 1;
    match item {
        Item::Timber(timber) => format!("timber {}", timber_section(timber)),
        _ if several && is_covering(item) => format!("{}: {}", name(item), item.key()),
        _ => name(item).to_owned(),
    }
}

/// A timber's section as it is sold: in inches where it is whole eighths of one and no whole millimetres.
fn timber_section(timber: &TimberItem) -> String {
    const EIGHTH: f64 = 0.0254 / 8.0;
    let section = timber.section_metres();
    let whole = |size: f64, of: f64| (size / of - (size / of).round()).abs() < 0.02;
    if section.iter().all(|size| whole(*size, EIGHTH) && !whole(*size, 0.001)) {
        let [thickness, depth] = section.map(quantity::feet_inches);
        return format!("{thickness} x {depth}");
    }
    let [thickness, depth] = section.map(|size| (size * 1e4).round() / 10.0);
    format!("{thickness} mm x {depth} mm")
}

/// Heading of a part of the work.
#[must_use]
pub fn heading(stage: Stage) -> &'static str {
    match stage {
        Stage::Deck => "Deck and boards",
        Stage::Underlay => "Edges, valleys and underlay",
        Stage::Covering => "Covering",
        Stage::Finish => "Ridges, hips and flashings",
        Stage::Rain => "Rainwater",
    }
}

/// What an item is, in a few words.
#[must_use]
pub fn name(item: &Item) -> &'static str {
    match item {
        Item::Deck(DeckKind::Boards) => "deck boards",
        Item::Deck(DeckKind::Sheets) => "deck sheets",
        Item::Deck(DeckKind::Battens) => "battens",
        Item::Timber(_) => "timber",
        Item::CounterBatten => "counter-battens",
        Item::VergeUnit => "verge units",
        Item::Holds(Held::CounterBattens) => "nails of counter-battens",
        Item::FasciaBoard => "fascia boards at eaves",
        Item::VergeBoard => "boards up the verges",
        Item::TopBoard => "boards along top edges",
        Item::Soffit => "soffit along the edges",
        Item::Holds(Held::Deck) => "nails of the deck",
        Item::Holds(Held::Underlay) => "nails of the underlay",
        Item::Holds(Held::Metal) => "nails of edge metal",
        Item::Holds(Held::Caps) => "nails of caps",
        Item::EaveVent => "vents at eaves",
        Item::HighVent => "vents at the ridge",
        Item::EaveStrip => "metal at eaves",
        Item::Underlay => "underlay",
        Item::IceBarrier => "ice barrier",
        Item::VergeStrip => "metal at verges",
        Item::BreakStrip => "metal at breaks of slope",
        Item::TopStrip => "metal at top edges",
        Item::ValleyLining => "lining of valleys",
        Item::Starter => "starter along eaves",
        Item::Strips | Item::Units(_) | Item::Sheets(_) => "covering",
        Item::BaseLayer => "base layer",
        Item::CapSheet(_) => "cap sheet",
        Item::Fixings(Fixing::Nails | Fixing::FeltNails) => "nails",
        Item::Fixings(Fixing::NailsOrHooks) => "nails or hooks",
        Item::Fixings(Fixing::Screws) => "screws",
        Item::Adhesive => "cold adhesive",
        Item::Primer => "primer on metal",
        Item::Caps => "caps on ridges and hips",
        Item::WallFlashing => "metal along walls",
        Item::OpeningFlashing => "metal at openings",
        Item::StepFlashing => "step pieces",
        Item::KickOut => "kick-outs",
        Item::Saddle => "saddles behind wide chimneys",
        Item::Gutter => "gutters along eaves",
        Item::GutterBracket => "gutter brackets",
        Item::GutterCorner => "gutter corners",
        Item::StopEnd => "stop ends",
        Item::GutterOutlet => "gutter outlets",
        Item::Downpipe => "downpipes",
        Item::PipeBend => "pipe bends",
        Item::PipeClip => "pipe clips",
    }
}

/// Whether it is ordered for felt, for sheets, or for pieces in courses: told by its items.
#[must_use]
pub fn kind<'a>(items: impl IntoIterator<Item = &'a Item>) -> Kind {
    let kinds = items.into_iter().find_map(|item| match item {
        Item::BaseLayer | Item::CapSheet(_) => Some(Kind::Felt),
        Item::Sheets(_) => Some(Kind::Sheet),
        _ => None,
    });
    kinds.unwrap_or(Kind::Strip)
}

/// The same of a take-off.
#[must_use]
pub(crate) fn kind_of(order: &TakeOff) -> Kind {
    kind(order.lines.iter().map(|line| &line.item))
}

/// What an item is, and where it goes: metal of a felt roof lies between its layers, that at verges of sheets over them.
#[must_use]
pub fn what(item: &Item, kind: Kind) -> String {
    let name = name(item);
    match item {
        Item::EaveStrip | Item::VergeStrip | Item::BreakStrip | Item::TopStrip if kind == Kind::Felt => {
            format!("{name}, between the layers of felt")
        }
        Item::EaveStrip if kind == Kind::Sheet => format!("{name}, below the covering"),
        Item::Deck(DeckKind::Battens) if kind == Kind::Sheet => format!("{name}, across the slope under the sheets"),
        Item::VergeStrip if kind == Kind::Sheet => format!("{name}, over the outer ribs"),
        Item::Deck(DeckKind::Boards | DeckKind::Sheets) => format!("{name}, ends on bearers, joints staggered"),
        Item::Deck(DeckKind::Battens) => format!("{name}, at the gauge"),
        Item::EaveStrip => format!("{name}, under underlay and covering"),
        Item::Timber(timber) => format!("{name} {}, by the cutting list", timber_section(timber)),
        Item::CounterBatten => format!("{name}, up the slope on every rafter"),
        Item::VergeUnit => format!("{name}, one a course at each verge"),
        Item::Underlay => format!("{name}, laps included"),
        Item::IceBarrier => format!("{name}, self-adhesive, from the eave to inside the warm wall"),
        Item::BreakStrip => format!("{name}, under the covering above"),
        Item::TopStrip => format!("{name}, over the covering"),
        Item::ValleyLining => format!("{name}, below the covering"),
        Item::Starter => format!("{name}, cut from strips"),
        Item::Strips => format!("{name}: strips for courses, starter and caps"),
        Item::Sheets(_) => format!("{name}: sheets cut to length"),
        Item::BaseLayer => format!("{name}, roll felt nailed to the deck, laps included"),
        Item::CapSheet(_) => format!("{name}, roll felt bonded cold, laps included"),
        Item::Fixings(Fixing::Nails) => format!("{name}, for strips and starter"),
        Item::Fixings(Fixing::FeltNails) => format!("{name} with large heads, for the base layer"),
        Item::Holds(Held::Caps) => format!("{name}, longer than those of strips"),
        Item::PipeBend => format!("{name}, from the gutter to the wall"),
        Item::OpeningFlashing => format!("{name}, aprons below and pieces above"),
        Item::StepFlashing => format!("{name}, one a course, up walls and openings"),
        Item::KickOut => format!("{name}, where a side wall ends at an eave"),
        Item::Downpipe => format!("{name}, from eaves to datum"),
        Item::FasciaBoard
        | Item::VergeBoard
        | Item::TopBoard
        | Item::Soffit
        | Item::VergeStrip
        | Item::Holds(_)
        | Item::EaveVent
        | Item::HighVent
        | Item::GutterBracket
        | Item::GutterCorner
        | Item::StopEnd
        | Item::GutterOutlet
        | Item::PipeClip
        | Item::Units(_)
        | Item::Fixings(_)
        | Item::Adhesive
        | Item::Primer
        | Item::Caps
        | Item::WallFlashing
        | Item::Saddle
        | Item::Gutter => name.to_owned(),
    }
}

/// How much: `412 pieces`, `29.60 m`, `20.10 m²`.
#[must_use]
pub fn amount(value: f64, unit: Unit, format: Format) -> String {
    let counted = |one: &str| {
        let number = format!("{value:.1}");
        let number = number.trim_end_matches(".0");
        format!("{number} {one}{}", if number == "1" { "" } else { "s" })
    };
    match unit {
        Unit::Metre => format.length(value),
        Unit::SquareMetre => format.area(value),
        Unit::Piece | Unit::Tube | Unit::Pack | Unit::Square => counted(unit.word()),
        Unit::Tonne | Unit::Foot | Unit::SquareFoot => format!("{value:.2} {}", unit.word()),
        Unit::CubicMetre => format!("{value:.1} m³"),
        Unit::Hour => format!("{value:.1} h"),
        Unit::Once => "once".to_owned(),
        Unit::Kilogram => format.weight(value),
    }
}

/// How much of a line is laid.
#[must_use]
pub fn laid(line: &OrderLine, format: Format) -> String {
    quantity(&line.quantity, line.unit, format)
}

/// A quantity with its unit.
#[must_use]
pub fn quantity(quantity: &Quantity, unit: Unit, format: Format) -> String {
    quantity.value().map_or_else(|| super::estimate::NOT_DETERMINED.to_owned(), |value| amount(value, unit, format))
}

/// How many to order: `20`, or `20 to 21` where the measurements leave it open; empty for what comes out of another line.
#[must_use]
pub fn ordered(line: &OrderLine) -> String {
    if line.is_there {
        return "there".to_owned();
    }
    match (line.packs, line.packs_high()) {
        (Some(packs), Some(high)) => format!("{packs} to {high}"),
        (Some(packs), None) => packs.to_string(),
        (None, _) => String::new(),
    }
}

/// What it is bought in; empty where it is bought loose.
#[must_use]
pub fn pack(line: &OrderLine, format: Format) -> String {
    let Some(pack) = &line.pack else { return String::new() };
    match pack {
        Pack::OutOfStrips => "out of the strips".to_owned(),
        Pack::Of { name, pieces } => format!("{name} of {pieces}"),
        Pack::Pieces(pieces) => format!("pack of {pieces}"),
        Pack::Roll(area) => format!("roll of {}", format.stock_area(*area)),
        Pack::Strip(length) => format!("strip of {}", format.stock(*length)),
        Pack::Piece(length) => format!("piece of {}", format.stock(*length)),
        Pack::Tin(weight) => format!("tin of {}", format.weight(*weight)),
        Pack::Tube(volume) => format!("tube of {:.0} ml", volume * 1e6),
        Pack::Board { length, width: None } => format!("board of {}", format.stock(*length)),
        Pack::Board { length, width: Some(width) } => {
            format!("board of {} × {}", format.fine(*width), format.stock(*length))
        }
        Pack::Sheet { width, length } => format!("sheet of {} × {}", format.stock(*width), format.stock(*length)),
        Pack::Batten(length) => format!("batten of {}", format.stock(*length)),
        Pack::CutToLength => "sheet cut to length".to_owned(),
    }
}

/// So many packs, called what they are: `138 boards`, `13 rolls`, `2 boxes`.
#[must_use]
pub fn packs(count: f64, pack: &Pack) -> String {
    let one = match pack {
        Pack::Of { name, .. } => name.as_str(),
        Pack::Roll(_) => "roll",
        Pack::Strip(_) => "strip",
        Pack::Piece(_) => "piece",
        Pack::Tin(_) => "tin",
        Pack::Tube(_) => "tube",
        Pack::Board { .. } => "board",
        Pack::Batten(_) => "batten",
        Pack::Sheet { .. } | Pack::CutToLength => "sheet",
        Pack::OutOfStrips | Pack::Pieces(_) => "pack",
    };
    let ending = if one.ends_with(['x', 's']) { "es" } else { "s" };
    format!("{count:.0} {one}{}", if count == 1.0 { "" } else { ending })
}

/// How the quantity comes about, where that needs saying.
#[must_use]
pub fn detail(line: &OrderLine, format: Format) -> Option<String> {
    Some(match line.detail.as_ref()? {
        Detail::Pieces { courses, starter, caps } if line.item == Item::Strips => {
            format!("{courses} for courses, {starter} for the starter, {caps} for caps")
        }
        Detail::Pieces { courses, starter, .. } => {
            format!("{courses} for courses, {starter} for the under-eave course")
        }
        Detail::Thumb { area, allowance } => {
            format!("rule of thumb: {} and {:.0} %", format.area(*area), allowance * 100.0)
        }
        Detail::Lengths { lengths, area, by_thumb, allowance, from_rests } => {
            let narrow = match from_rests {
                0 => String::new(),
                1 => "; 1 narrow one out of what is left beside another".to_owned(),
                many => format!("; {many} narrow ones out of what is left beside others"),
            };
            format!(
                "{}; {} in all, where the area and {:.0} % would be {}{narrow}",
                length_list(lengths, format),
                format.area(*area),
                allowance * 100.0,
                format.area(*by_thumb)
            )
        }
        Detail::Rolls { rows, strips, at_openings } => format!(
            "{} in rows, {} in strips {}",
            format.area(*rows),
            format.area(*strips),
            if *at_openings { "round openings" } else { "down valleys" }
        ),
        Detail::Spread { on_metal, each, area } => format!(
            "{} of {}, {}",
            if *on_metal { format.small_area(*area) } else { format.area(*area) },
            if *on_metal { "metal" } else { "cap sheet" },
            format.spread(*each)
        ),
        Detail::Spacing { spacing } => format!("every {} at most", format.fine(*spacing)),
        Detail::FreeArea { asked, each } => {
            format!("free area {} in all, {} each", format.small_area(*asked), format.small_area(*each))
        }
        Detail::StepPieces { least } => format!("each at least {} long", format.fine(*least)),
        Detail::Outlets { count, drains, source } => format!(
            "{count} outlet{}, one for every {} that a run of gutter drains, round its corners (EN 12056-3 area; {source})",
            if *count == 1 { "" } else { "s" },
            format.stock_area(*drains)
        ),
    })
}

/// Strips bought beyond the net area, and for what.
#[must_use]
pub fn over_area(line: &OrderLine) -> Option<String> {
    let over = line.over_area?;
    let percent = |share: f64| format!("{:.1} %", share * 100.0);
    Some(format!(
        "bought over the net area {}: cuts {}, starter {}, caps {}, whole packs {}",
        percent(over.total),
        percent(over.for_cuts),
        percent(over.for_starter),
        percent(over.for_caps),
        percent(over.for_packs)
    ))
}

/// `12 × 3.46 m, 2 × 2.10 m`; lengths that read alike together.
fn length_list(lengths: &[(f64, u32)], format: Format) -> String {
    let mut groups: Vec<(String, u32)> = Vec::new();
    for (length, count) in lengths {
        let text = format.length(*length);
        match groups.last_mut() {
            Some((last, sum)) if *last == text => *sum += count,
            _ => groups.push((text, *count)),
        }
    }
    let words: Vec<String> = groups.iter().map(|(length, count)| format!("{count} × {length}")).collect();
    words.join(", ")
}

/// Tools and consumables, listed.
#[must_use]
pub fn tools(tools: &[Tool], format: Format) -> String {
    let told: Vec<String> = tools.iter().map(|tool| tool_word(*tool, format)).collect();
    told.join(", ")
}

fn tool_word(tool: Tool, format: Format) -> String {
    let word = match tool {
        Tool::FallProtection => "harness, anchor and rope or scaffold as local law says",
        Tool::Ladders => "ladder tied at the top, roof ladder",
        Tool::Clothing => "gloves, eye protection, shoes with soft soles",
        Tool::Marking => "tape, chalk line, square, pencil",
        Tool::Nailing => "hammer or nailer, flat bar",
        Tool::Knife => "knife with hooked and straight blades",
        Tool::StraightEdge => return format!("straight edge {}", format.stock(1.0)),
        Tool::WoodSaw => "saw for boards and panels",
        Tool::SlateCutter => "slate cutter",
        Tool::TileSaw => "tile saw with water",
        Tool::DustMask => "dust mask",
        Tool::Spreader => "notched spreader, brush and hand roller",
        Tool::Shears => "shears or nibbler (no grinder: sparks burn the coating)",
        Tool::Screwdriver => "screwdriver with stop",
        Tool::AdhesiveGun => "adhesive gun",
        Tool::WarmAir => "hot-air tool to warm caps",
        Tool::Snips => "tin snips for metal",
        Tool::Magnet => "magnet and broom to clear gutters of nails",
    };
    word.to_owned()
}

/// Weight of all that is ordered, and of what lies on the deck.
#[must_use]
pub fn weights(answer: &TakeOff, format: Format) -> String {
    let trips = answer.van_trips().zip(answer.van_payload).map_or_else(String::new, |(trips, payload)| {
        format!("; {trips} trip{} of {} at most", if trips == 1 { "" } else { "s" }, format.weight(payload))
    });
    let [all, on_deck] = [answer.weight(), answer.weight_on_deck()].map(|weight| estimate::weight(&weight, format));
    format!("{all} for the van, {on_deck} of it on the roof{trips}")
}

/// What is not bought, and why, a sentence for each reason, without its full stop.
#[must_use]
pub fn not_ordered(answer: &TakeOff, format: Format) -> Vec<String> {
    let describe = |(why, lead): (Spared, &str)| {
        let items = answer.not_ordered.iter().filter(|spared| spared.why == why);
        let each: Vec<String> = items
            .map(|spared| format!("{} ({})", name(&spared.item), quantity(&spared.quantity, spared.unit, format)))
            .collect();
        (!each.is_empty()).then(|| format!("{lead}: {}", each.join(", ")))
    };
    [
        (Spared::Stays, "not ordered, for it stays"),
        (Spared::InPlace, "not ordered, for it is on the building"),
        (Spared::InYard, "not ordered, for it is there already"),
        (Spared::LeftOut, "left out of this job"),
    ]
    .into_iter()
    .filter_map(describe)
    .collect()
}

/// What comes off first, in one sentence without its full stop.
#[must_use]
pub fn old_roof(answer: &TakeOff, format: Format) -> Option<String> {
    let old = answer.old_roof.as_ref()?;
    let what = if old.stays_stated { "stays" } else { "taken to stay, for nothing is said of it" };
    let stays = if old.stays.is_empty() { String::new() } else { format!("; {what}: {}", old.stays.join(", ")) };
    let renewed = format.area(old.deck_to_renew);
    if old.layers == 0 {
        return Some(format!("stripped already; {renewed} of deck to renew{stays}"));
    }
    let from = match old.weight_from {
        WeightFrom::Stated => "",
        WeightFrom::Kind => " as it usually weighs",
        WeightFrom::Shingles => " as bitumen shingles weigh, for what it weighs is not known",
    };
    Some(format!(
        "first off: {} layer{} of {}, {}{from}, {} in the skip; {renewed} of deck to renew{stays}",
        old.layers,
        if old.layers == 1 { "" } else { "s" },
        old.kind,
        format.weight(old.weight),
        format.volume(old.skip_volume)
    ))
}
