//! `[[block]]`: a roofed body by its outline, and what stands in it.

use super::words::{DATUM_WORDS, EDGE_WORDS, FASCIA_WORDS, LENGTH_WORDS, PITCH_BY_WORDS, TAKE_OVER_WORDS};
use super::{angle, choice, flag, length, lengths, limits, name, of, pitch, table, tables};
use crate::base::schema::{Key, Kind, Naming, Table};
use crate::input::cards::NAMES as CARDS;

/// `[[block]]`.
pub static BLOCK: Table = Table {
    name: "block",
    header: "[[block]]",
    one: "block",
    many: "Blocks",
    about: "One roofed body, walked round with the tape from corner to corner, left or right; blocks that touch or overlap \
            are joined.",
    keys: &[
        name("name", Naming::Block, "name", "\"store\"", "the block's name").needed(),
        length("height", limits::HEIGHT, "eaves at", "2.40", "of the measured outline above datum").or(0.0),
        choice(
            "measured_at",
            &DATUM_WORDS,
            "measured at",
            "\"wall\"",
            "what the outline is: the drip edge at the \"eaves\", or the plate's outer upper edge at the \"wall\"",
        )
        .or_word("eaves"),
        choice(
            "edge_of",
            &EDGE_WORDS,
            "taped to",
            "\"fascia\"",
            "what the tape really reached, where the outline was measured at the eaves",
        )
        .or_word("drip edge"),
        length(
            "projection",
            limits::PROJECTION,
            "drip edge before it",
            "\"40 mm\"",
            "from the edge of `edge_of` to the drip edge",
        )
        .or_else("needed beside `edge_of`, but for the drip edge"),
        table("overhang", &OVERHANG, "from the wall line to the drip edge, where the outline was measured at the wall"),
        length(
            "above_plate",
            limits::ABOVE_PLATE,
            "roof above plate",
            "\"50 mm\"",
            "plumb height of the roof plane above the plate's outer edge",
        )
        .or(0.0),
        flag(
            "square_up",
            "square it up",
            "true",
            "make turns within 2° of a right angle right, and opposite sides even",
        )
        .or_flag(false),
        choice(
            "take_over",
            &TAKE_OVER_WORDS,
            "goes on",
            "\"steeper\"",
            "which of two slopes of one direction goes on where they come into one line above the eaves; what stands plumb there always stays",
        )
        .or_word("flatter"),
        length(
            "ridge_height",
            limits::RIDGE,
            "ridge height",
            "4.10",
            "the block's highest point above datum: finds the pitch of sides with pitch = \"?\"",
        )
        .or_else("not measured"),
        table("rafter", &RAFTER, "a rafter taped along the slope: finds the pitch of sides with pitch = \"?\""),
        lengths("start", 2, limits::PLACE, "first corner at", "[0, 0]", "[x, y] of the first corner on the site plan")
            .or_else("0, 0"),
        angle(
            "heading",
            limits::ANGLE,
            "first side heads",
            "90",
            "direction of the first side, degrees anticlockwise from +x",
        )
        .or(0.0),
        of(
            "at_side",
            Naming::Side,
            "or stands on side",
            "\"store/C\"",
            "instead of `start`: a side of another block that the first corner lies on, heading along it",
        )
        .or_else("stands by itself"),
        length("offset", limits::ALONG, "along it", "1.20", "how far along `at_side` from its start").or(0.0),
        tables("sides", &SIDE, "the sides of the outline in order, three or more; or how many sides a regular outline has, `sides = 8`, with `width` and `pitch`: they are called A, B, C …").needed(),
        length("width", limits::SIDE, "width of a regular outline", "3.60", "with `sides = 8`: from a side straight across, to the side opposite or, where their number is odd, to the corner opposite").or_else("no regular outline"),
        pitch("pitch", "its pitch", "35", "with `sides = 8`: of every side").or_else("no regular outline"),
        pitch_by(),
        pitch_sigma(),
        tables("holes", &HOLE, "courtyards and light wells"),
        Key::new(
            "covering",
            Kind::Card(&CARDS),
            "its own covering",
            "\"slate\"",
            "a material card of its own, by its name or path: the order is told by building then, and in all",
        )
        .or_else("that of [covering]")
        ,
    ],
    names: None,
    example: "[[block]]\nname = \"store\"\nheight = 2.40\nsides = [\n  { from = \"A\", length = 9.20, turn = \"L\", pitch = 35 },\n  { from = \"B\", length = 5.60, turn = \"L\", verge = true },\n  { from = \"C\", length = 9.20, turn = \"L\", pitch = 35 },\n  { from = \"D\", length = 5.60, verge = true },\n]",
};

/// A side of an outline.
pub static SIDE: Table = Table {
    name: "side",
    header: "a side",
    one: "side",
    many: "Sides",
    about: "A side of an outline runs from its corner to the next. It is exactly one of: an eave (`pitch`), an eave whose \
            slope changes (`pitch` and `breaks`), a gable end (`verge = true`), a half-hip (`verge = true`, `hip_from`, \
            `pitch`), a gablet (`pitch`, `verge_from`), an `abutment` against a higher wall, or a wing's inner side that \
            `runs_into` the block it stands against. It says where it runs by \
            `length` and `turn`, or by the place of its corner, `at`.",
    keys: &[
        name("from", Naming::Corner, "corner it starts from", "\"A\"", "the name of the corner this side starts from, which names the side too").needed(),
        length("length", limits::SIDE, "length", "9.20", "level length of the side; \"?\" on one side of an outline that is walked: worked out from the others").or_else("needed unless `at` is given"),
        Key::new("turn", Kind::Turn, "turn", "\"L\"", "change of direction at the END of the side: \"L\" and \"R\" are right angles, a number is degrees, left positive")
            .or_else("the last side's may be left out"),
        lengths("at", 2, limits::PLACE, "place", "[0, 0]", "instead of `length` and `turn`: [x, y] of the corner it starts from"),
        Key::new("pitch", Kind::PitchOrUnknown, "pitch", "35", "of the roof that rises from the side; \"?\" where it was not measured").or_else("no eave"),
        pitch_by(),
        pitch_sigma(),
        tables("breaks", &BREAK, "where the slope changes on its way up"),
        flag("verge", "verge", "true", "a gable end: the roof stops plumb above the side").or_flag(false),
        length("hip_from", limits::RISE, "rise of the hip", "1.50", "with `verge` and `pitch`, a half-hip: plumb up to this rise, then a hip").or_else("no half-hip"),
        length("verge_from", limits::RISE, "rise of the gablet", "1.50", "with `pitch`, a gablet: a hip up to this rise, then plumb").or_else("no gablet"),
        flag("abutment", "abutment", "true", "the roof runs against a higher wall here").or_flag(false),
        flag("runs_into", "runs into the next roof", "true", "a wing's inner side: its roof runs on over the block it stands against until it meets that roof, however short it was measured").or_flag(false),
        length("height", limits::HEIGHT, "its own height", "2.10", "of this side above datum").or_else("the block's"),
        choice("method", &LENGTH_WORDS, "taken with", "\"laser\"", "how the length was taken, which says how unsure it is").or_word("steel tape"),
        length("sigma", limits::SIGMA, "sigma of the length", "\"5 mm\"", "standard deviation of the length; 0 is exact").or_else("by the method"),
        angle("turn_sigma", limits::ANGLE_SIGMA, "sigma of the turn", "0.5", "standard deviation of the turn, degrees; 0 is exact").or_else("0.5° of \"L\" and \"R\", 1° of a number"),
    ],
    names: None,
    example: "{ from = \"A\", length = 9.20, turn = \"L\", pitch = 35, breaks = [{ rise = 1.2, pitch = 20 }], method = \"laser\" }",
};

/// How a pitch was found.
pub(super) const fn pitch_by() -> Key {
    choice(
        "pitch_by",
        &PITCH_BY_WORDS,
        "pitch found by",
        "\"digital level\"",
        "how the pitch was found, which says how unsure it is; slopes that give one pitch share it",
    )
    .or_else("level and rule; drawing in a design")
}

/// How sure a pitch is.
pub(super) const fn pitch_sigma() -> Key {
    angle(
        "pitch_sigma",
        limits::ANGLE_SIGMA,
        "sigma of the pitch",
        "0.3",
        "standard deviation of the pitch, degrees; 0 is exact",
    )
    .or_else("by how it was found")
}

/// A break of a slope.
pub static BREAK: Table = Table {
    name: "break",
    header: "a break",
    one: "break",
    many: "Pitch breaks",
    about: "At a rise above the side the slope changes; rises increase.",
    keys: &[
        length("rise", limits::RISE, "rise", "1.20", "above the side's own height").needed().first(),
        pitch("pitch", "pitch", "20", "the pitch above the break").needed().first(),
    ],
    names: None,
    example: "{ rise = 1.2, pitch = 20 }",
};

/// A hole in an outline.
pub static HOLE: Table = Table {
    name: "hole",
    header: "a hole",
    one: "courtyard",
    many: "Courtyards",
    about: "A courtyard or light well within an outline, walked like it.",
    keys: &[
        lengths(
            "start",
            2,
            limits::PLACE,
            "first corner at",
            "[2, 2]",
            "where its first corner stands: [x, y] from the outline's first corner, x along its heading",
        )
        .or_else("needed where it is walked"),
        angle(
            "heading",
            limits::ANGLE,
            "first side heads",
            "0",
            "direction of its first side, degrees anticlockwise from the outline's",
        )
        .or(0.0),
        tables("sides", &SIDE, "the sides of the hole in order").needed(),
    ],
    names: None,
    example: "{ start = [3, 2], sides = [\n  { from = \"a\", length = 1, turn = \"L\", pitch = 35 },\n  { from = \"b\", length = 1, turn = \"L\", pitch = 35 },\n  { from = \"c\", length = 1, turn = \"L\", pitch = 35 },\n  { from = \"d\", length = 1, pitch = 35 },\n] }",
};

/// `overhang`.
pub static OVERHANG: Table = Table {
    name: "overhang",
    header: "overhang",
    one: "overhang",
    many: "Overhang",
    about: "Level distances from the wall line to the drip edge, for an outline measured at the wall; 0 at abutments.",
    keys: &[
        length("eave", limits::OVERHANG, "overhang at eaves", "0.35", "at eaves").needed(),
        length("verge", limits::OVERHANG, "at verges", "0.20", "at verges").or(0.0),
        choice("fascia", &FASCIA_WORDS, "fascia", "\"equal\"", "what stays even where pitches differ: \"level\" one fascia level, so steeper sides overhang less; \"equal\" one overhang, so fascia levels differ; \"raised\" both, the steeper sides' plates raised")
            .or_word("level"),
    ],
    names: None,
    example: "overhang = { eave = 0.35, verge = 0.20, fascia = \"level\" }",
};

/// `rafter`.
pub static RAFTER: Table = Table {
    name: "rafter",
    header: "rafter",
    one: "rafter",
    many: "Rafter",
    about: "A rafter taped along the slope, from a side's eave to the ridge.",
    keys: &[
        of("side", Naming::OwnSide, "rafter taped on side", "\"A\"", "the side whose rafter was taped").needed(),
        length("length", limits::RAFTER, "its length", "3.42", "along the slope, from the eave to the ridge").needed(),
    ],
    names: None,
    example: "rafter = { side = \"A\", length = 3.42 }",
};
