//! The roof file's first level and its site.

use super::block::BLOCK;
use super::compare::COMPARE;
use super::covering::{COVERING, OLD_ROOF, PRICES};
use super::fittings::{DORMER, OPENING};
use super::framing::FRAMING;
use super::observed::{AXIS, EQUAL_PITCH, KNOWN, LEVEL, OFFSET, PITCH_READING, PLUMB, SQUARE, TAPE, UPRIGHT};
use super::offer::{AS_LAID, OFFER};
use super::photos::{CAMERA, PHOTO};
use super::points::{FACE, POINTS};
use super::repair::REPAIR;
use super::words::{STAGE_WORDS, UNIT_WORDS};
use super::{bearing, choice, date, length, limits, table, tables, text};
use crate::base::schema::Table;

/// The whole file.
pub static ROOF: Table = Table {
    name: "roof",
    header: "the roof file",
    one: "job",
    many: "The job",
    about: "Bare numbers are in the units stated; any length may carry its own, as in \"345 cm\" or \"11 ft 3.5 in\".",
    keys: &[
        text("title", limits::LINE, "title", "\"Boat store\"", "what the job is called, printed on drawings")
            .or_else("the file's name"),
        choice("units", &UNIT_WORDS, "units", "\"m\"", "the unit of bare lengths, and of what is answered to people")
            .or_else("none"),
        choice(
            "stage",
            &STAGE_WORDS,
            "numbers are",
            "\"design\"",
            "\"measured\": each number with its sigma; \"design\": every length, turn and pitch is exact",
        )
        .or_word("measured"),
        date("date", "date", "2026-05-01", "a day printed on drawings").or_else("none is printed"),
        length(
            "tolerance",
            limits::TOLERANCE,
            "tolerance",
            "\"0.1 mm\"",
            "edges left shorter than this are drawn together",
        )
        .or_else("usual"),
        table("site", &SITE, "where the building stands"),
        tables("block", &BLOCK, "a roofed body by its outline"),
        tables("dormer", &DORMER, "a dormer set into a face"),
        table("points", &POINTS, "named places"),
        tables("face", &FACE, "a roof face by its points"),
        tables("opening", &OPENING, "a chimney, roof window or vent"),
        tables("tape", &TAPE, "a taped distance"),
        tables("known", &KNOWN, "a size known without a tape"),
        tables("offset", &OFFSET, "how far an eave stands out from its wall"),
        tables("pitch_reading", &PITCH_READING, "a pitch read on a face"),
        tables("level", &LEVEL, "points at one height"),
        tables("plumb", &PLUMB, "one point straight above another"),
        tables("square", &SQUARE, "a right angle that was checked"),
        tables("equal_pitch", &EQUAL_PITCH, "faces that slope alike"),
        tables("upright", &UPRIGHT, "a point plumb over a line"),
        tables("axis", &AXIS, "which way an edge runs, for photos"),
        tables("camera", &CAMERA, "a camera"),
        tables("photo", &PHOTO, "a photo with marks"),
        table("covering", &COVERING, "what the roof is covered with"),
        table("framing", &FRAMING, "what its timbers are cut to"),
        table("prices", &PRICES, "what it costs"),
        table("old_roof", &OLD_ROOF, "what comes off first"),
        table("offer", &OFFER, "what an offer says beside its sums"),
        tables("repair", &REPAIR, "part of a face that is covered anew"),
        table("compare", &COMPARE, "what the building must keep to whatever its pitch"),
        tables("as_laid", &AS_LAID, "what was laid, as the packs say"),
    ],
    names: None,
    example: "title = \"Boat store\"\nunits = \"m\"\nstage = \"measured\"\ndate = 2026-05-01\ntolerance = \"0.1 mm\"",
};

/// `[site]`.
pub static SITE: Table = Table {
    name: "site",
    header: "[site]",
    one: "site",
    many: "Site",
    about: "North is the bearing of the plan's upward axis, clockwise. The wind decides which way ridge and hip caps lap. \
            Blocks nearer to each other than the join gap are brought together.",
    keys: &[
        bearing(
            "wind_from",
            "wind from",
            "\"SW\"",
            "where the prevailing wind comes from: it decides where caps start",
        )
        .or_else("not said"),
        bearing("north", "north", "20", "bearing of the plan's upward axis, degrees clockwise from north").or(0.0),
        length(
            "join_gap",
            limits::GAP,
            "join gap",
            "\"20 mm\"",
            "sides of different blocks nearer than this are brought together, with a note",
        )
        .or(0.020),
    ],
    names: None,
    example: "[site]\nwind_from = \"SW\"\nnorth = 20\njoin_gap = \"20 mm\"",
};
