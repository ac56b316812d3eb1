//! The material card's goods: caps, nails, underlay, metal, adhesive, deck, gutters.

use super::lap::LAP;
use super::words::{DECK_WORDS, EXPOSURE_WORDS, HELD_WORDS};
use super::{choice, count, length, limits, number, rule_pitch, share, source, tables, text};
use crate::base::schema::{Key, Kind, Table};

/// Lengths that something is sold in beside the usual one.
const fn other_lengths(key: &'static str, label: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::AnyLengths(limits::STOCK), label, "[\"3.0 m\", \"4.2 m\"]", about).or_else("none")
}

/// `[caps]`.
pub static CAPS: Table = Table {
    name: "caps",
    header: "[caps]",
    one: "cap",
    many: "Caps",
    about: "Pieces over ridges and hips.",
    keys: &[
        length("length", limits::PIECE, "length", "\"333 mm\"", "of a cap along the line").needed(),
        other_lengths(
            "lengths",
            "other lengths",
            "other lengths on offer of caps that are goods of their own; they lap as much",
        ),
        length("exposure", limits::PIECE, "exposure", "\"143 mm\"", "from cap to cap along the line").needed(),
        length("half_cover", limits::IN_PIECE, "covers each side", "\"141 mm\"", "how far a cap covers each slope")
            .needed(),
        count("per_strip", limits::MANY, "from a strip", "3", "caps cut from one strip").or_else("goods of their own"),
        count("pack", limits::MANY, "in a pack", "10", "in a pack, where they are goods of their own")
            .or_else("by the piece"),
        number("weight", limits::WEIGHT, "weight, kg", "3.2", "of one, where they are goods of their own, kg")
            .or_else("the strip's"),
        source(),
    ],
    names: None,
    example: "[caps]\nlength = \"333 mm\"\nexposure = \"143 mm\"\nhalf_cover = \"141 mm\"\nper_strip = 3\nsource = \"common practice\"",
};

/// `[nails]`.
pub static NAILS: Table = Table {
    name: "nails",
    header: "[nails]",
    one: "nail",
    many: "Nails",
    about: "Nails, screws or hooks.",
    keys: &[
        tables("rule", &NAIL_RULE, "how many a piece takes, by pitch and exposure"),
        count("per_cap", limits::SOME, "on a cap", "2", "on each cap").or(2.0),
        number("per_starter_metre", limits::RATE, "on a metre of starter", "4", "on each metre of starter").or(4.0),
        count("least", limits::SOME, "least", "2", "least on a cut piece").or(2.0),
        share("spare", limits::SHARE, "spare", "\"5 %\"", "allowance for loss").or(0.05),
        count("pack", limits::MANY, "in a pack", "2000", "in a pack").needed(),
        text("pack_name", limits::NAME, "a pack is a", "\"box\"", "what a pack is called").or_word("box"),
        number("weight", limits::WEIGHT, "weight, kg", "0.0018", "of one, kg").needed(),
    ],
    names: None,
    example: "[nails]\nper_cap = 2\npack = 2000\nweight = 0.0018",
};

/// `[[nails.rule]]`.
pub static NAIL_RULE: Table = Table {
    name: "rule",
    header: "[[nails.rule]]",
    one: "nailing rule",
    many: "Nailing rules",
    about: "How many nails a piece takes from a pitch on.",
    keys: &[
        rule_pitch("pitch_from", "from pitch", "0", "the pitch it holds from").needed(),
        choice("exposure", &EXPOSURE_WORDS, "exposure", "\"exposed\"", "on a site of this exposure").or_else("on any"),
        number(
            "per_piece",
            limits::SOME_RATE,
            "on a piece",
            "4",
            "on a whole piece; of sheets and felt, on a square metre",
        )
        .needed(),
        source(),
    ],
    names: None,
    example: "[[nails.rule]]\npitch_from = 0\nper_piece = 4\nsource = \"common practice\"",
};

/// `[underlay]`.
pub static UNDERLAY: Table = Table {
    name: "underlay",
    header: "[underlay]",
    one: "underlay",
    many: "Underlay",
    about: "Underlay on rolls.",
    keys: &[
        length("width", limits::ROLL_WIDTH, "width", "\"1000 mm\"", "of a roll").needed(),
        length("length", limits::ROLL, "length", "\"7.5 m\"", "of a roll").needed(),
        tables("lap", &LAP, "head laps by pitch"),
        rule_pitch("double_below", "double below", "\"4:12\"", "below this pitch every point lies under two layers")
            .or_else("never"),
        length("end_lap", limits::LAP, "lap of ends", "\"100 mm\"", "of roll ends").or(0.1),
        length("over", limits::LAP, "over ridges", "\"150 mm\"", "how far it runs over ridges and hips").or(0.15),
        length("upstand", limits::LAP, "up walls", "\"100 mm\"", "how far it runs up walls").or(0.1),
        length(
            "ice_inside",
            limits::SMALL,
            "ice barrier inside",
            "\"600 mm\"",
            "an ice barrier runs from the eave to this far inside the warm wall, level",
        )
        .or_else("none"),
        number("ice_weight", limits::WEIGHT, "barrier, kg/m²", "1.5", "of a square metre of the ice barrier, kg")
            .or(1.5),
        number("weight", limits::WEIGHT, "weight, kg/m²", "1.2", "of a square metre, kg").needed(),
    ],
    names: None,
    example: "[underlay]\nwidth = \"1000 mm\"\nlength = \"7.5 m\"\nweight = 1.2",
};

const STRIP_KEYS: &[Key] = &[
    length("piece", limits::STOCK, "a piece", "\"2 m\"", "length of a piece").needed(),
    other_lengths(
        "lengths",
        "other lengths",
        "other lengths on offer: the one of which the least is bought is ordered",
    ),
    length("lap", limits::LAP, "lap", "\"50 mm\"", "of pieces").or(0.05),
    number("weight", limits::WEIGHT, "weight, kg/m", "0.55", "of a metre, kg").needed(),
];

/// `[eave_strip]`.
pub static EAVE_STRIP: Table = Table {
    name: "eave_strip",
    header: "[eave_strip]",
    one: "eave strip",
    many: "Eave strips",
    about: "Metal along eaves.",
    keys: STRIP_KEYS,
    names: None,
    example: "[eave_strip]\npiece = \"2 m\"\nlap = \"50 mm\"\nweight = 0.55",
};

/// `[verge_strip]`.
pub static VERGE_STRIP: Table = Table {
    name: "verge_strip",
    header: "[verge_strip]",
    one: "verge strip",
    many: "Verge strips",
    about: "Metal along verges.",
    keys: STRIP_KEYS,
    names: None,
    example: "[verge_strip]\npiece = \"2 m\"\nlap = \"50 mm\"\nweight = 0.55",
};

/// `[adhesive]`.
pub static ADHESIVE: Table = Table {
    name: "adhesive",
    header: "[adhesive]",
    one: "adhesive",
    many: "Adhesive",
    about: "Cold adhesive in tubes.",
    keys: &[
        number("tube", limits::TUBE, "a tube, m³", "0.0003", "contents of a tube, m³: 300 ml are 0.0003").needed(),
        number("dab", limits::DAB, "a dab, m³", "2.4e-6", "volume of one dab, m³").needed(),
        number("per_tab", limits::RATE, "on a tab", "1", "dabs on a tab of the field").needed(),
        number("per_cap", limits::RATE, "on a cap", "2", "dabs on a cap").needed(),
        number("per_starter_metre", limits::RATE, "on a metre of starter", "3", "dabs on a metre of starter").needed(),
        number("per_bedded_metre", limits::RATE, "on a bedded metre", "10", "dabs on a metre of valley or wall")
            .needed(),
        number("weight", limits::WEIGHT, "weight, kg", "0.4", "of a tube, kg").needed(),
        source(),
    ],
    names: None,
    example: "[adhesive]\ntube = 0.0003\ndab = 2.4e-6\nper_tab = 1\nper_cap = 2\nper_starter_metre = 3\nper_bedded_metre = 10\nweight = 0.4\nsource = \"common practice\"",
};

/// `[valley_lining]`.
pub static VALLEY_LINING: Table = Table {
    name: "valley_lining",
    header: "[valley_lining]",
    one: "valley lining",
    many: "Valley lining",
    about: "Metal in open valleys.",
    keys: &[
        length("width", limits::ROLL_WIDTH, "width", "\"610 mm\"", "of a piece").needed(),
        length("piece", limits::STOCK, "a piece", "\"2 m\"", "length of a piece").needed(),
        other_lengths(
            "lengths",
            "other lengths",
            "other lengths on offer: the one of which the least is bought is ordered",
        ),
        length("lap", limits::LAP, "lap", "\"150 mm\"", "of pieces").needed(),
        length(
            "clear",
            limits::LAP,
            "half clear width",
            "\"75 mm\"",
            "from the valley's line to the covering on each side, at the top",
        )
        .or(0.075),
        number("widen", limits::WIDEN, "widens by", "0.005", "how much each side widens, metres a metre down")
            .or(0.005),
        number("weight", limits::WEIGHT, "weight, kg/m", "2.5", "of a metre, kg").needed(),
        source(),
    ],
    names: None,
    example: "[valley_lining]\nwidth = \"610 mm\"\npiece = \"2 m\"\nlap = \"150 mm\"\nweight = 2.5\nsource = \"common practice\"",
};

/// `[abutment_flashing]`.
pub static ABUTMENT_FLASHING: Table = Table {
    name: "abutment_flashing",
    header: "[abutment_flashing]",
    one: "wall flashing",
    many: "Wall flashings",
    about: "Metal where the roof meets a wall, a chimney or a window.",
    keys: &[
        length("piece", limits::STOCK, "a piece", "\"2 m\"", "length of a piece").needed(),
        other_lengths(
            "lengths",
            "other lengths",
            "other lengths on offer: the one of which the least is bought is ordered",
        ),
        length("lap", limits::LAP, "lap", "\"100 mm\"", "of pieces").needed(),
        length("upstand", limits::LAP, "up the wall", "\"150 mm\"", "up the wall").needed(),
        length("cover", limits::LAP, "over the covering", "\"150 mm\"", "over the covering below").needed(),
        number("weight", limits::WEIGHT, "weight, kg/m", "1.1", "of a metre, kg").needed(),
        number("step_weight", limits::WEIGHT, "step piece, kg", "0.25", "of a step piece or kick-out, kg").or(0.25),
        number("saddle_weight", limits::WEIGHT, "saddle, kg", "2", "of a saddle, kg").or(2.0),
        source(),
    ],
    names: None,
    example: "[abutment_flashing]\npiece = \"2 m\"\nlap = \"100 mm\"\nupstand = \"150 mm\"\ncover = \"150 mm\"\nweight = 1.1\nsource = \"common practice\"",
};

const DECK_KEYS: &[Key] = &[
    text("name", limits::NAME, "name", "\"plywood\"", "what it is asked for by in the roof file").or_else("its kind"),
    choice("kind", &DECK_WORDS, "kind", "\"boards\"", "what it is made of").needed(),
    length(
        "width",
        limits::BOARD,
        "width",
        "\"120 mm\"",
        "of a board, or of a sheet up the slope; of battens, their spacing where the gauge sets none",
    )
    .needed(),
    length("length", limits::STOCK, "length", "\"4 m\"", "along the eave").needed(),
    other_lengths("lengths", "other lengths", "other lengths on offer: the one that leaves the least over is ordered"),
    length("thickness", limits::THICKNESS, "thickness", "\"20 mm\"", "of a board or panel").needed(),
    length("spacing", limits::SPACING, "bearers every", "\"600 mm\"", "of the bearers, centre to centre").needed(),
    number("weight", limits::WEIGHT, "weight, kg/m²", "9", "of a square metre, kg").needed(),
];

/// `[[other_deck]]`.
pub static OTHER_DECK: Table = Table {
    name: "other_deck",
    header: "[[other_deck]]",
    one: "deck",
    many: "Other decks",
    about: "What the covering may lie on instead of [deck]: the roof file chooses by name.",
    keys: DECK_KEYS,
    names: None,
    example: "[[other_deck]]\nname = \"plywood\"\nkind = \"sheets\"\nwidth = \"1.20 m\"\nlength = \"2.40 m\"\nthickness = \"18 mm\"\nspacing = \"600 mm\"\nweight = 10.5",
};

/// `[deck]`.
pub static DECK: Table = Table {
    name: "deck",
    header: "[deck]",
    one: "deck",
    many: "Deck",
    about: "What the covering lies on.",
    keys: DECK_KEYS,
    names: None,
    example: "[deck]\nkind = \"boards\"\nwidth = \"120 mm\"\nlength = \"4 m\"\nthickness = \"20 mm\"\nspacing = \"600 mm\"\nweight = 9",
};

/// `[counter_battens]`.
pub static COUNTER_BATTENS: Table = Table {
    name: "counter_battens",
    header: "[counter_battens]",
    one: "counter-batten",
    many: "Counter-battens",
    about: "Battens up the slope, one on every rafter ([deck] spacing), between the underlay and the battens across it.",
    keys: &[
        length("width", limits::BOARD, "width", "\"50 mm\"", "of a batten, along the eave").needed(),
        length("thickness", limits::THICKNESS, "thickness", "\"25 mm\"", "of a batten: the air gap that it makes")
            .needed(),
        length("length", limits::STOCK, "length", "\"4 m\"", "of a piece").needed(),
        number("weight", limits::WEIGHT, "weight, kg/m", "0.6", "of a metre, kg").needed(),
    ],
    names: None,
    example: "[counter_battens]\nwidth = \"50 mm\"\nthickness = \"25 mm\"\nlength = \"4 m\"\nweight = 0.6",
};

/// `[verge_units]`.
pub static VERGE_UNITS: Table = Table {
    name: "verge_units",
    header: "[verge_units]",
    one: "verge unit",
    many: "Verge units",
    about: "Pieces that close the verges, one a course at each, laid with the courses.",
    keys: &[
        count("pack", limits::MANY, "in a pack", "6", "in a pack").needed(),
        number("weight", limits::WEIGHT, "weight, kg", "2.8", "of one, kg").needed(),
        source(),
    ],
    names: None,
    example: "[verge_units]\npack = 6\nweight = 2.8\nsource = \"common practice\"",
};

/// `[[fixing]]`.
pub static FIXING: Table = Table {
    name: "fixing",
    header: "[[fixing]]",
    one: "fixing",
    many: "Fixings",
    about: "What holds something else than the covering; without it none is ordered.",
    keys: &[
        choice("of", &HELD_WORDS, "of", "\"deck\"", "what it holds").needed(),
        number(
            "each",
            limits::SOME_RATE,
            "at each place",
            "2",
            "how many at each place: where a board crosses a bearer, along a lap or an edge, on a cap",
        )
        .needed(),
        length(
            "spacing",
            limits::SPACING,
            "every",
            "\"300 mm\"",
            "from place to place: along a lap, an edge, a panel's bearer",
        )
        .or_else("once at each crossing"),
        share("spare", limits::SHARE, "spare", "\"5 %\"", "allowance for loss").or(0.05),
        count("pack", limits::MANY, "in a pack", "500", "in a pack").needed(),
        text("pack_name", limits::NAME, "a pack is a", "\"box\"", "what a pack is called").or_word("box"),
        number("weight", limits::WEIGHT, "weight, kg", "0.005", "of one, kg").needed(),
        source(),
    ],
    names: None,
    example: "[[fixing]]\nof = \"underlay\"\neach = 1\nspacing = \"300 mm\"\npack = 500\nweight = 0.002\nsource = \"common practice\"",
};

/// `[vents]`.
pub static VENTS: Table = Table {
    name: "vents",
    header: "[vents]",
    one: "vent",
    many: "Vents",
    about: "Vents over a ceiling, ordered where the roof file states a level ceiling.",
    keys: &[
        number("eave", limits::VENT, "free area at eaves, m²", "0.02", "free area of one at the eaves, m²").needed(),
        number("high", limits::VENT, "free area at ridges, m²", "0.02", "free area of one at the ridge, m²").needed(),
        number("weight", limits::WEIGHT, "weight, kg", "0.5", "of one, kg").or(0.5),
    ],
    names: None,
    example: "[vents]\neave = 0.02\nhigh = 0.02",
};

/// `[rain_goods]`.
pub static RAIN_GOODS: Table = Table {
    name: "rain_goods",
    header: "[rain_goods]",
    one: "gutter",
    many: "Gutters and boards",
    about: "Gutters, pipes and boards along the edges.",
    keys: &[
        length("gutter_piece", limits::STOCK, "a gutter's piece", "\"3 m\"", "length of a piece of gutter").needed(),
        number("outlet_drains", limits::DRAINS, "an outlet drains, m²", "37", "plan area that one outlet drains, m²")
            .needed(),
        source(),
        length("board", limits::STOCK, "a board", "\"4 m\"", "length of fascia and verge boards").needed(),
        other_lengths("gutter_lengths", "other gutters", "other lengths of gutter on offer"),
        other_lengths("board_lengths", "other boards", "other lengths of fascia and verge boards on offer"),
        length("soffit_piece", limits::STOCK, "a piece of soffit", "\"3 m\"", "length of a piece of soffit")
            .or_else("bought by the metre"),
        other_lengths("soffit_lengths", "other soffits", "other lengths of soffit on offer"),
        other_lengths("pipe_lengths", "other pipes", "other lengths of pipe on offer"),
        number("gutter_weight", limits::WEIGHT, "gutter, kg/m", "1.4", "of a metre of gutter, kg").or(1.4),
        length("bracket_spacing", limits::SPACING, "a bracket every", "\"700 mm\"", "from bracket to bracket").or(0.7),
        length("pipe_piece", limits::STOCK, "a pipe's piece", "\"2.5 m\"", "length of a piece of pipe").or(2.5),
        number("pipe_weight", limits::WEIGHT, "pipe, kg/m", "1.2", "of a metre of pipe, kg").or(1.2),
        length("clip_spacing", limits::SPACING, "a clip every", "\"2 m\"", "from clip to clip of a pipe").or(2.0),
        number(
            "fitting_weight",
            limits::WEIGHT,
            "fitting, kg",
            "0.2",
            "of a bracket, corner, stop end, outlet, bend or clip, kg",
        )
        .or(0.2),
        number("board_weight", limits::WEIGHT, "board, kg/m", "1.5", "of a metre of board along an edge, kg").or(1.5),
        number("soffit_weight", limits::WEIGHT, "soffit, kg/m", "2", "of a metre of soffit, kg").or(2.0),
    ],
    names: None,
    example: "[rain_goods]\ngutter_piece = \"3 m\"\noutlet_drains = 37\nsource = \"common practice\"\nboard = \"4 m\"",
};
