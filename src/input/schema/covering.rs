//! What the roof is covered with, what it costs, what comes off first.

use super::cards::CARD;
use super::offer::HOURS;
use super::words::{AS_CARD_WORDS, EXPOSURE_WORDS, HIP_WORDS, PER_WORDS, VALLEY_WORDS};
use super::{choice, count, date, flag, length, limits, number, share, table, tables, text};
use crate::base::schema::{Key, Kind, Naming, OwnNames, Table, Usual};
use crate::input::cards::NAMES as CARDS;

/// `[covering]`.
pub static COVERING: Table = Table {
    name: "covering",
    header: "[covering]",
    one: "covering",
    many: "Covering",
    about: "What the roof is covered with, and how it is laid where the material card leaves it open.",
    keys: &[
        Key::new(
            "card",
            Kind::Card(&CARDS),
            "material card",
            "\"slate\"",
            "a material card by its name, or the path of a card file; `eavewright cards` lists them",
        )
        .or_word("strip-shingle"),
        Key::new(
            "waste",
            Kind::Waste(limits::SHARE),
            "waste",
            "\"15 %\"",
            "\"layout\" counts cut pieces from the courses as laid; a share is a rule of thumb on top of the area",
        )
        .or_word("layout"),
        Key::new(
            "card_values",
            Kind::CardValues(&CARD),
            "other values",
            "{ strip = { pack = 16 }, underlay = { length = \"10 m\" } }",
            "values that hold in place of the card's, each in the card's own table: `[covering.card_values]`, `strip.pack = 16`",
        )
        .or_else("the card's")
        ,
        choice(
            "valley",
            &VALLEY_WORDS,
            "valleys",
            "\"closed\"",
            "how valleys are laid: \"open\" over metal, \"closed\" with one side cut, \"woven\" by turns",
        )
        .or_word("open"),
        choice(
            "hip",
            &HIP_WORDS,
            "hips",
            "\"over\"",
            "how courses meet a hip under its caps: \"trimmed\" to the line, or one side \"over\" it",
        )
        .or_word("trimmed"),
        choice(
            "exposure",
            &EXPOSURE_WORDS,
            "exposure",
            "\"exposed\"",
            "how the site lies to the wind; \"exposed\" is coast, hilltop, open plain",
        )
        .or_word("normal"),
        text(
            "deck",
            limits::NAME,
            "deck",
            "\"plywood\"",
            "what the covering lies on: one of the decks that the card offers, or \"none\"",
        )
        .or_else("the card's first"),
        choice("edge_metal", &AS_CARD_WORDS, "edge metal", "\"none\"", "metal at eaves, verges and top edges, or none")
            .or_word("card"),
        choice("gutters", &AS_CARD_WORDS, "gutters", "\"none\"", "gutters and pipes, or none: a roof that has none; old ones that are kept are `stays` of [old_roof]")
            .or_word("card"),
        Key::new(
            "leave_out",
            Kind::Texts(limits::LINE),
            "left out",
            "[\"soffit\"]",
            "lines of the order that this roof goes without: neither ordered nor laid, whoever pays; what others supply is \
             `left_out` of [offer]",
        )
        .or_else("none"),
        Key::new(
            "already_there",
            Kind::Texts(limits::LINE),
            "already there",
            "[\"underlay\"]",
            "lines of the order that are not bought: boards and gutters on the building, all else in the yard, to be laid",
        )
        .or_else("none"),
        count("spare_packs", limits::SPARE, "spare packs", "1", "packs of the covering ordered on top").or(0.0),
        length(
            "wall_inside",
            limits::SIDE,
            "wall line inside eaves",
            "\"600 mm\"",
            "level distance from the eave to the inside of a warm wall, for the ice barrier",
        )
        .or_else("not said"),
        number("van_payload", limits::PAYLOAD, "van carries, kg", "900", "what the van carries at once, kg: how many trips")
            .or_else("not said"),
        number(
            "level_ceiling",
            limits::AREA,
            "level ceiling, m²",
            "48",
            "area of the ceiling under a ventilated roof, m²",
        )
        .or_else("none"),
    ],
    names: None,
    example: "[covering]\ncard = \"strip-shingle\"\nwaste = \"layout\"\nvalley = \"open\"\nspare_packs = 1",
};

/// What a line of the order costs.
static PRICE: Key = price("the card's name", "one pack of the covering");

const fn price(key: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::Price(&PRICE_PER, limits::PRICE), key, "31.50", about).or_else("not priced")
}

/// A price with the unit it is for.
pub static PRICE_PER: Table = Table {
    name: "price",
    header: "a price by its unit",
    one: "price",
    many: "A price by its unit",
    about: "A price of something else than the pack it is ordered in: by the piece, the metre, the square metre, or what else \
            the pack is measured in.",
    keys: &[
        number("each", limits::PRICE, "price", "4.20", "what one costs").needed(),
        choice("per", &PER_WORDS, "for one", "\"m²\"", "what one is; a square is 100 ft²").or_word("pack"),
    ],
    names: None,
    example: "underlay = { each = 4.20, per = \"m²\" }",
};

/// `[prices]`.
pub static PRICES: Table = Table {
    name: "prices",
    header: "[prices]",
    one: "price",
    many: "Prices",
    about: "Prices of one pack of a line of the order, or of its unit where it comes in no packs, by the line's name; of \
            labour, access and disposal. They may stand in a file of their own that jobs share: what a job says itself goes \
            before it.",
    keys: &[
        Key::new(
            "file",
            Kind::File,
            "price file",
            "\"prices.toml\"",
            "a file with these same keys, without [prices] over them, beside the roof file",
        )
        .or_else("none"),
        text("currency", 10, "currency", "\"EUR\"", "printed beside every sum").or_else("none"),
        date("dated", "prices of", "2026-05-01", "the day the prices held, printed beside the sums")
            .or_else("not said"),
        share("markup", limits::SURCHARGE, "markup on cost", "\"12 %\"", "share of the cost that is put on top of it")
            .or_else("none"),
        share(
            "margin",
            limits::MARGIN,
            "margin of the price",
            "\"20 %\"",
            "share of the price before tax that is not cost; instead of `markup`",
        )
        .or_else("none"),
        share("tax", limits::SHARE, "tax", "\"20 %\"", "share of the price before tax that is put on top of it")
            .or_else("none"),
        tables("pitch_band", &PITCH_BAND, "labour by pitch"),
        table("hours", &HOURS, "labour by the hour"),
        price("strip-shingle", "strips, a pack"),
        price("base-layer", "felt base layer, a roll"),
        price("starter", "starter strips, a piece"),
        price("ridge-hip-cap", "caps, a pack or a piece"),
        price("nail", "nails, a pack"),
        price("underlay", "underlay, a roll"),
        price("ice-barrier", "ice barrier, a roll"),
        price("edge-strip-eave", "edge metal at eaves, a piece"),
        price("edge-strip-verge", "edge metal at verges, a piece"),
        price("edge-strip-break", "edge metal at pitch breaks, a piece"),
        price("edge-strip-top", "edge metal at top edges, a piece"),
        price("valley-lining", "valley metal, a piece"),
        price("abutment-flashing", "wall flashing, a piece"),
        price("opening-flashing", "flashing of openings, a piece"),
        price("step-flashing", "step pieces, each"),
        price("kick-out", "kick-out pieces, each"),
        price("saddle", "saddles behind chimneys, each"),
        price("adhesive", "adhesive, a tube or tin"),
        price("primer", "primer, a tin"),
        price("deck-board", "deck, a board or panel"),
        price("counter-batten", "battens up the slope, a piece"),
        price("counter-batten-nail", "nails of battens up the slope, a pack"),
        price("verge-unit", "verge units, a pack"),
        price("gutter", "gutter, a piece"),
        price("gutter-bracket", "gutter brackets, each"),
        price("gutter-corner", "gutter corners, each"),
        price("stop-end", "stop ends of gutters, each"),
        price("gutter-outlet", "gutter outlets, each"),
        price("downpipe", "downpipe, a piece"),
        price("pipe-bend", "bends of pipes, each"),
        price("pipe-clip", "clips of pipes, each"),
        price("deck-nail", "nails of the deck, a pack"),
        price("underlay-nail", "nails of the underlay, a pack"),
        price("metal-nail", "nails of edge metal, a pack"),
        price("cap-nail", "nails of caps, a pack"),
        price("eave-vent", "vents at eaves, each"),
        price("high-vent", "vents at ridges, each"),
        price("top-board", "boards along top edges, a piece"),
        price("fascia-board", "fascia boards, a piece"),
        price("verge-board", "verge boards, a piece"),
        price("soffit", "soffit, a board"),
        price("labour-m2", "labour, a square metre"),
        price("labour-hip-m", "labour, a metre of hip"),
        price("labour-valley-m", "labour, a metre of valley"),
        price("labour-verge-m", "labour, a metre of verge"),
        price("labour-ridge-m", "labour, a metre of ridge"),
        price("labour-eave-m", "labour, a metre of eave"),
        price("access", "scaffold and other access, once"),
        price("access-m", "the same, a metre of eave and verge"),
        price("disposal", "rubbish taken away, once"),
        price("disposal-t", "disposal, a tonne"),
        price("disposal-m3", "disposal, a cubic metre as it lies loose"),
    ],
    names: Some(OwnNames { are: Naming::Card, values: &PRICE }),
    example: "[prices]\ncurrency = \"EUR\"\nstrip-shingle = 31.50\naccess = 350\nmarkup = \"12 %\"\ntax = \"20 %\"",
};

/// What has a price: lines of the order, labour, disposal.
pub static PRICED: [&str; PRICED_COUNT] = priced();

const PRICED_COUNT: usize = {
    let (mut count, mut at) = (0, 0);
    while at < PRICES.keys.len() {
        count += matches!(PRICES.keys[at].kind, Kind::Price(..)) as usize;
        at += 1;
    }
    count
};

const fn priced() -> [&'static str; PRICED_COUNT] {
    let mut names = [""; PRICED_COUNT];
    let (mut at, mut count) = (0, 0);
    while at < PRICES.keys.len() {
        if matches!(PRICES.keys[at].kind, Kind::Price(..)) {
            names[count] = PRICES.keys[at].key;
            count += 1;
        }
        at += 1;
    }
    names
}

/// `[[prices.pitch_band]]`.
pub static PITCH_BAND: Table = Table {
    name: "pitch_band",
    header: "[[prices.pitch_band]]",
    one: "pitch band",
    many: "Labour by pitch",
    about: "From a pitch on, labour counts this many times.",
    keys: &[
        Key::new("pitch_from", Kind::RulePitch, "from pitch", "45", "the pitch it holds from").needed().first(),
        number("factor", limits::FACTOR, "times", "1.3", "labour times this").needed().first(),
    ],
    names: None,
    example: "[[prices.pitch_band]]\npitch_from = 45\nfactor = 1.3",
};

/// `[old_roof]`.
pub static OLD_ROOF: Table = Table {
    name: "old_roof",
    header: "[old_roof]",
    one: "old roof",
    many: "The old roof",
    about: "What lies there now and comes off first, where a roof is renewed.",
    keys: &[
        text("kind", limits::LINE, "what lies there", "\"bitumen shingles\"", "what lies there now")
            .or_word("bitumen shingles"),
        count("layers", limits::LAYERS, "layers", "1", "how many lie one over the other; 0: it is stripped already")
            .or(1.0),
        number("weight", limits::AREA_WEIGHT, "kg/m² a layer", "10", "kilograms a square metre of one layer")
            .or_else("by its kind: shingles 10, felt 6, slates 32, tiles 45, sheets 6"),
        length(
            "loose_thickness",
            limits::LOOSE,
            "thickness, loose",
            "\"40 mm\"",
            "of one layer as it lies loose in a skip",
        )
        .or_else("by its kind: shingles 40 mm, slates 50 mm, tiles 80 mm"),
        share("deck_share", limits::SHARE, "deck to renew", "\"10 %\"", "share of the deck that is renewed").or(0.0),
        Key {
            usual: Usual::Flag(true),
            ..flag("asbestos_possible", "asbestos", "false", "whether it may hold asbestos; not known means possible")
        },
        Key::new(
            "stays",
            Kind::Texts(limits::LINE),
            "stays",
            "[\"gutters\"]",
            "what stays on the building and is not ordered, in your words; [] where all of it is renewed",
        )
        .or_else("boards along the edges, soffit, gutters and pipes"),
    ],
    names: None,
    example: "[old_roof]\nkind = \"bitumen shingles\"\nlayers = 1\nweight = 10\nloose_thickness = \"40 mm\"\ndeck_share = \"10 %\"\nasbestos_possible = false\nstays = [\"gutters\"]",
};
