//! The material card: what lies on the roof, and the rules of laying it.

use super::goods::{
    ABUTMENT_FLASHING, ADHESIVE, CAPS, COUNTER_BATTENS, DECK, EAVE_STRIP, FIXING, NAILS, OTHER_DECK, RAIN_GOODS,
    UNDERLAY, VALLEY_LINING, VENTS, VERGE_STRIP, VERGE_UNITS,
};
pub use super::lap::LAP;
use super::words::{STRIP_DIRECTION_WORDS, TAB_WORDS};
use super::{choice, count, flag, length, limits, number, rule_pitch, source, table, tables, text};
use crate::base::schema::{Key, Kind, Table};

/// The whole card.
pub static CARD: Table = Table {
    name: "card",
    header: "the material card",
    one: "card",
    many: "The material card",
    about: "A file of its own: what a covering and the goods laid with it measure, and the rules of laying them. Bare lengths \
            are metres, weights kilograms. It has exactly one of [strip], [unit], [sheet] and [felt]. `eavewright cards NAME` prints \
            one to copy and change.",
    keys: &[
        Key::new(
            "name",
            Kind::Text(limits::NAME),
            "name",
            "\"strip-shingle\"",
            "the name it is asked for by, and of its line in the order",
        )
        .needed(),
        text("title", limits::LINE, "title", "\"Bitumen strip shingle\"", "one line for people").needed(),
        table("strip", &STRIP, "a strip of tabs"),
        table("unit", &UNIT, "single pieces: slates, tiles, tabs"),
        table("sheet", &SHEET, "sheets cut to length"),
        table("felt", &FELT, "roll felt in two layers"),
        tables("min_pitch", &MIN_PITCH, "how flat it may lie"),
        tables("max_run", &MAX_RUN, "how long a slope it may cover"),
        tables("deck_min", &DECK_MIN, "how thick its deck must be"),
        table("other_fixing", &OTHER_FIXING, "from where on it is fixed otherwise"),
        table("caps", &CAPS, "pieces over ridges and hips"),
        table("nails", &NAILS, "nails, screws or hooks"),
        table("underlay", &UNDERLAY, "underlay on rolls"),
        table("eave_strip", &EAVE_STRIP, "metal along eaves"),
        table("verge_strip", &VERGE_STRIP, "metal along verges"),
        table("adhesive", &ADHESIVE, "cold adhesive in tubes"),
        table("valley_lining", &VALLEY_LINING, "metal in open valleys"),
        table("abutment_flashing", &ABUTMENT_FLASHING, "metal along walls"),
        table("deck", &DECK, "boards, panels or battens"),
        tables("other_deck", &OTHER_DECK, "other decks to choose from"),
        table("counter_battens", &COUNTER_BATTENS, "battens up the slope, under those across it"),
        table("verge_units", &VERGE_UNITS, "pieces that close the verges"),
        tables("fixing", &FIXING, "what holds deck, underlay, metal and caps"),
        table("vents", &VENTS, "vents over a ceiling"),
        table("rain_goods", &RAIN_GOODS, "gutters and boards"),
    ],
    names: None,
    example: "name = \"my-strip\"\ntitle = \"The strip of our yard\"",
};

/// `[strip]`.
pub static STRIP: Table = Table {
    name: "strip",
    header: "[strip]",
    one: "strip",
    many: "Strips",
    about: "A strip with tabs, laid in courses.",
    keys: &[
        length("width", limits::PIECE, "width", "\"1000 mm\"", "along the eave").needed(),
        length("height", limits::PIECE, "height", "\"333 mm\"", "up the slope").needed(),
        count("tabs", limits::TABS, "tabs", "3", "how many tabs it has").needed(),
        choice("tab", &TAB_WORDS, "shape of tabs", "\"rounded\"", "the shape of its tabs").or_word("rectangular"),
        length("cutout", limits::IN_PIECE, "cutout", "\"143 mm\"", "depth of the cutouts between tabs").needed(),
        length("gauge", limits::GAUGE, "gauge", "\"143 mm\"", "from course to course up the slope").needed(),
        length("head_lap", limits::LAP, "head lap", "\"45 mm\"", "how far the course after next laps over a course")
            .needed(),
        length(
            "gauge_shrink",
            limits::SMALL,
            "gauge may shrink by",
            "\"5 mm\"",
            "how much less the gauge may be, to come out even",
        )
        .or(0.005),
        length("eave_projection", limits::EDGE, "over the eave", "\"8 mm\"", "how far strips stand over the eave")
            .or(0.008),
        length("verge_projection", limits::EDGE, "over the verge", "\"8 mm\"", "how far strips stand over the verge")
            .or(0.008),
        count("pack", limits::MANY, "in a pack", "14", "strips in a pack").needed(),
        text("pack_name", limits::NAME, "a pack is a", "\"bundle\"", "what a pack is called").or_word("bundle"),
        number("weight", limits::WEIGHT, "weight, kg", "1.35", "of one strip, kg").needed(),
        length(
            "thickness",
            limits::COVERING,
            "thickness",
            "\"3 mm\"",
            "of one strip: details draw as many as lie over each other",
        )
        .or_else("not said"),
        flag("verge_starter", "starter at verges", "true", "whether a starter runs up the verges too").or_flag(false),
        flag("peel", "film peeled", "true", "whether the film on the back is peeled off").or_flag(false),
        number("bend_above", limits::CELSIUS, "bend above, °C", "10", "below this it is warmed before it is bent, °C")
            .or_else("not said"),
    ],
    names: None,
    example: "[strip]\nwidth = \"1000 mm\"\nheight = \"333 mm\"\ntabs = 3\ncutout = \"143 mm\"\ngauge = \"143 mm\"\nhead_lap = \"45 mm\"\npack = 14\nweight = 1.35",
};

/// `[unit]`.
pub static UNIT: Table = Table {
    name: "unit",
    header: "[unit]",
    one: "unit",
    many: "Single pieces",
    about: "Single pieces laid in courses: slates, tiles, single tabs.",
    keys: &[
        length("width", limits::PIECE, "width", "\"250 mm\"", "along the eave").needed(),
        length("height", limits::PIECE, "height", "\"500 mm\"", "up the slope").needed(),
        length("joint", limits::SMALL, "joint", "\"3 mm\"", "between two in a course").or(0.0),
        length("gauge", limits::GAUGE, "gauge", "\"210 mm\"", "the largest from course to course up the slope")
            .needed(),
        length(
            "gauge_shrink",
            limits::SMALL,
            "gauge may shrink by",
            "\"30 mm\"",
            "how much less the gauge may be, to come out even",
        )
        .or(0.0),
        tables("lap", &LAP, "the least lap by pitch"),
        count("layers", limits::COVERED, "layers", "2", "how many lie over every point: 1 tiles, 2 slates").needed(),
        number(
            "bond",
            limits::BOND,
            "bond",
            "0.5",
            "how far joints of one course stand from those below, as a share of the width",
        )
        .needed(),
        length("eave_projection", limits::EDGE, "over the eave", "\"50 mm\"", "how far pieces stand over the eave")
            .needed(),
        length("verge_projection", limits::EDGE, "over the verge", "\"40 mm\"", "how far pieces stand over the verge")
            .needed(),
        length("min_cut", limits::SMALL, "least cut", "\"120 mm\"", "the narrowest piece that may be cut").needed(),
        count("pack", limits::MANY, "in a pack", "100", "pieces in a pack").needed(),
        text("pack_name", limits::NAME, "a pack is a", "\"crate\"", "what a pack is called").or_word("pack"),
        number("weight", limits::WEIGHT, "weight, kg", "1.6", "of one piece, kg").needed(),
        length(
            "thickness",
            limits::COVERING,
            "thickness",
            "\"5 mm\"",
            "of one piece: details draw as many as lie over each other",
        )
        .or_else("not said"),
        flag("starter", "starter", "false", "whether a course of shorter pieces lies under the first").or_flag(true),
        length(
            "nib",
            limits::IN_PIECE,
            "nibs below the head",
            "\"30 mm\"",
            "from the head down to where nibs hang on the batten",
        )
        .or_else("hung by none"),
    ],
    names: None,
    example: "[unit]\nwidth = \"250 mm\"\nheight = \"500 mm\"\ngauge = \"210 mm\"\nlayers = 2\nbond = 0.5\neave_projection = \"50 mm\"\nverge_projection = \"40 mm\"\nmin_cut = \"120 mm\"\npack = 100\nweight = 1.6",
};

/// `[sheet]`.
pub static SHEET: Table = Table {
    name: "sheet",
    header: "[sheet]",
    one: "sheet",
    many: "Sheets",
    about: "Sheets cut to length.",
    keys: &[
        length("cover_width", limits::SHEET_WIDTH, "covering width", "\"1.00 m\"", "what one covers beside the next")
            .needed(),
        length("max_length", limits::STOCK, "longest", "\"6.00 m\"", "the longest delivered").needed(),
        length("min_length", limits::STOCK, "shortest", "\"0.50 m\"", "the shortest delivered").needed(),
        length("length_step", limits::STEP, "in steps of", "\"10 mm\"", "what lengths are a multiple of").or(0.01),
        tables("lap", &LAP, "end laps by pitch"),
        length("eave_projection", limits::EDGE, "over the eave", "\"50 mm\"", "how far sheets stand over the eave")
            .needed(),
        length("verge_projection", limits::EDGE, "over the verge", "\"0 mm\"", "how far sheets stand over the verge")
            .needed(),
        number("weight", limits::WEIGHT, "weight, kg/m²", "5", "of a square metre, kg").needed(),
        length(
            "thickness",
            limits::COVERING,
            "thickness",
            "\"18 mm\"",
            "of the profile: from the foot of its ribs to their top",
        )
        .or_else("not said"),
    ],
    names: None,
    example: "[sheet]\ncover_width = \"1.00 m\"\nmax_length = \"6.00 m\"\nmin_length = \"0.50 m\"\neave_projection = \"50 mm\"\nverge_projection = 0\nweight = 5",
};

/// `[felt]`.
pub static FELT: Table = Table {
    name: "felt",
    header: "[felt]",
    one: "felt",
    many: "Roll felt",
    about: "Roll felt in two layers laid cold: a base layer nailed to the deck, a cap sheet bonded to it.",
    keys: &[
        choice("direction", &STRIP_DIRECTION_WORDS, "strips run", "\"across\"", "across the slope, or up it")
            .or_word("across"),
        length("width", limits::FELT_WIDTH, "width", "\"950 mm\"", "of a roll of either layer").needed(),
        length("side_lap", limits::LAP, "side lap", "\"90 mm\"", "of a strip over the one beside or below it").needed(),
        length("end_lap", limits::LAP, "lap of ends", "\"140 mm\"", "of a strip's end over the next").needed(),
        length("stagger", limits::ON_STRIP, "ends apart", "\"450 mm\"", "between end laps of neighbouring strips")
            .needed(),
        length("over", limits::LAP, "over ridges", "\"160 mm\"", "over ridges and hips, past the centre of valleys")
            .or(0.15),
        length("upstand", limits::LAP, "up walls", "\"150 mm\"", "up walls and the sides of openings").or(0.15),
        length("shortest", limits::ON_STRIP, "shortest piece", "\"900 mm\"", "the shortest worth laying").or(1.0),
        length("eave_projection", limits::EDGE, "over the eave", "\"12 mm\"", "how far the cap sheet stands over it")
            .needed(),
        length("verge_projection", limits::EDGE, "over the verge", "\"6 mm\"", "how far the cap sheet stands over it")
            .needed(),
        length("base_length", limits::FELT_ROLL, "base layer, a roll", "\"13 m\"", "of a roll of the base layer")
            .needed(),
        number("base_weight", limits::WEIGHT, "base layer, kg/m²", "1.7", "of a square metre of it, kg").needed(),
        length("base_thickness", limits::COVERING, "base layer, thickness", "\"2 mm\"", "how thick it is")
            .or_else("not said"),
        length("cap_length", limits::FELT_ROLL, "cap sheet, a roll", "\"6.5 m\"", "of a roll of the cap sheet")
            .needed(),
        number("cap_weight", limits::WEIGHT, "cap sheet, kg/m²", "4.3", "of a square metre of it, kg").needed(),
        length("cap_thickness", limits::COVERING, "cap sheet, thickness", "\"4 mm\"", "how thick it is")
            .or_else("not said"),
        number("adhesive", limits::AREA_WEIGHT, "adhesive, kg/m²", "0.85", "under a square metre of cap sheet, kg")
            .needed(),
        number("tin", limits::TIN, "in a tin, kg", "11", "adhesive in a tin, kg").needed(),
        length("flange", limits::EDGE, "flange of metal", "\"100 mm\"", "metal at edges that lies between the layers")
            .or(0.1),
        number(
            "primer",
            limits::AREA_WEIGHT,
            "primer, kg/m²",
            "0.3",
            "on a square metre of metal; 0 where none is needed",
        )
        .or(0.3),
        number("primer_tin", limits::TIN, "primer in a tin, kg", "1", "primer in a tin, kg").or(1.0),
    ],
    names: None,
    example: "[felt]\nwidth = \"950 mm\"\nside_lap = \"90 mm\"\nend_lap = \"140 mm\"\nstagger = \"450 mm\"\neave_projection = \"12 mm\"\nverge_projection = \"6 mm\"\nbase_length = \"13 m\"\nbase_weight = 1.7\ncap_length = \"6.5 m\"\ncap_weight = 4.3\nadhesive = 0.85\ntin = 11",
};

/// `[[min_pitch]]`.
pub static MIN_PITCH: Table = Table {
    name: "min_pitch",
    header: "[[min_pitch]]",
    one: "least pitch",
    many: "Least pitches",
    about: "How flat it may lie.",
    keys: &[
        rule_pitch("pitch", "pitch", "15", "the flattest it may lie at").needed(),
        length("rafter_to", limits::RAFTER, "rafters up to", "\"10 m\"", "on rafters no longer than this")
            .or_else("on any"),
        source(),
    ],
    names: None,
    example: "[[min_pitch]]\npitch = 15\nrafter_to = \"10 m\"\nsource = \"common practice\"",
};

/// `[[max_run]]`.
pub static MAX_RUN: Table = Table {
    name: "max_run",
    header: "[[max_run]]",
    one: "longest run",
    many: "Longest runs",
    about: "How long a slope it may cover, level from eave to ridge.",
    keys: &[length("run", limits::RUN, "run", "\"16.5 m\"", "level, from the eave to the ridge").needed(), source()],
    names: None,
    example: "[[max_run]]\nrun = \"16.5 m\"\nsource = \"common practice\"",
};

/// `[[deck_min]]`.
pub static DECK_MIN: Table = Table {
    name: "deck_min",
    header: "[[deck_min]]",
    one: "least deck",
    many: "Least decks",
    about: "How thick the deck must be for the spacing of its bearers.",
    keys: &[
        length("thickness", limits::THICKNESS, "thickness", "\"18 mm\"", "of the deck, at least").needed(),
        length("spacing_to", limits::SPACING, "bearers up to", "\"600 mm\"", "up to this spacing of its bearers")
            .needed(),
        source(),
    ],
    names: None,
    example: "[[deck_min]]\nthickness = \"18 mm\"\nspacing_to = \"600 mm\"\nsource = \"common practice\"",
};

/// `[other_fixing]`.
pub static OTHER_FIXING: Table = Table {
    name: "other_fixing",
    header: "[other_fixing]",
    one: "other fixing",
    many: "Other fixing",
    about: "From a pitch on the maker's own fixing is asked for.",
    keys: &[rule_pitch("pitch", "pitch", "\"21:12\"", "the pitch it holds from").needed(), source()],
    names: None,
    example: "[other_fixing]\npitch = \"21:12\"\nsource = \"common practice\"",
};
