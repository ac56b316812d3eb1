//! What an offer and a handover say: who to whom, on what terms, hours, and what was laid in the end.

use super::{date, limits, number, text};
use crate::base::schema::{Key, Kind, Table};

const fn lines(key: &'static str, label: &'static str, example: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::Texts(limits::LINE), label, example, about)
}

/// `[offer]`.
pub static OFFER: Table = Table {
    name: "offer",
    header: "[offer]",
    one: "offer",
    many: "The offer",
    about: "What an offer says beside its sums: `eavewright offer` writes it, `eavewright handover` the papers at the end.",
    keys: &[
        lines("firm", "firm", "[\"Ridge and Eave Roofing\", \"2 Yard Lane\"]", "who offers: name and address, a line each")
            .or_else("a line to write on"),
        lines("client", "client", "[\"A. Client\", \"Mill House\"]", "whom it is for: name and address, a line each")
            .or_else("a line to write on"),
        text("site", limits::LINE, "site", "\"the yard behind Mill House\"", "where the building stands")
            .or_else("not said"),
        text("number", limits::NAME, "number", "\"2026-014\"", "the offer's number").or_else("none"),
        date("date", "date", "2026-05-01", "the day it is made").or_else("the job's date"),
        date("valid_until", "valid until", "2026-06-01", "the day it ends").or_else("a line to write on"),
        lines("also", "also done", "[\"Lightning rods taken off and put back\"]", "work beside what the order tells")
            .or_else("nothing"),
        lines("excluded", "not part of it", "[\"Painting of fascia boards\"]", "what is not part of it, in your words")
            .or_else("nothing"),
        lines(
            "left_out",
            "left to others",
            "[\"gutter\", \"downpipe\"]",
            "lines of the order that the roof has and others supply: no price is asked for them; what the roof goes without is `leave_out` of [covering]; \"labour\" and \"disposal\" may stand here too",
        )
        .or_else("nothing"),
        lines("terms", "terms", "[\"Payment within 14 days of handover.\"]", "terms, a sentence each").or_else("none"),
    ],
    names: None,
    example: "[offer]\nfirm = [\"Ridge and Eave Roofing\", \"2 Yard Lane\"]\nclient = [\"A. Client\", \"Mill House\"]\nnumber = \"2026-014\"\ndate = 2026-05-01\nvalid_until = 2026-06-01\nexcluded = [\"Painting of fascia boards\"]\nterms = [\"Payment within 14 days of handover.\"]",
};

/// `[[as_laid]]`.
pub static AS_LAID: Table = Table {
    name: "as_laid",
    header: "[[as_laid]]",
    one: "batch",
    many: "As laid",
    about: "What was laid, as the packs say: it is printed in the handover, for who has to find the same shade again.",
    keys: &[
        text("what", limits::LINE, "what", "\"strip-shingle\"", "a line of the order, or words of your own")
            .needed()
            .first(),
        text("batch", limits::NAME, "batch", "\"B 2207\"", "the batch or shade printed on its packs").needed().first(),
        date("date", "laid on", "2026-05-14", "the day it was laid").or_else("a line to write on").first(),
        text("note", limits::LINE, "where, or a note", "\"south slope\"", "where it was laid, or what else to keep")
            .or_else("none"),
    ],
    names: None,
    example: "[[as_laid]]\nwhat = \"strip-shingle\"\nbatch = \"B 2207\"\ndate = 2026-05-14\nnote = \"south slope\"",
};

const fn hours(key: &'static str, usual: f64, label: &'static str, about: &'static str) -> Key {
    number(key, limits::RATE, label, "0.4", about).or(usual)
}

/// `[prices.hours]`.
pub static HOURS: Table = Table {
    name: "hours",
    header: "[prices.hours]",
    one: "hours",
    many: "Labour by the hour",
    about: "What an hour costs, and how many of them the work takes. The usual hours are invented, an order of magnitude to \
            begin from: put your own. A pitch band counts on `cover`.",
    keys: &[
        number("each", limits::PRICE, "an hour", "48", "what an hour costs").needed(),
        hours("strip", 0.15, "stripping, h/m²", "taking off one layer of old covering, hours a square metre"),
        hours("deck", 0.25, "deck, h/m²", "boards, panels or battens, hours a square metre"),
        hours("cover", 0.45, "covering, h/m²", "underlay and covering, hours a square metre"),
        hours("eave", 0.12, "eaves, h/m", "hours a metre"),
        hours("verge", 0.15, "verges, h/m", "hours a metre"),
        hours("ridge", 0.20, "ridges, h/m", "hours a metre"),
        hours("hip", 0.25, "hips, h/m", "hours a metre"),
        hours("valley", 0.60, "valleys, h/m", "hours a metre"),
        hours("wall", 0.50, "walls, h/m", "where the roof runs against a wall, hours a metre"),
        hours("opening", 2.5, "openings, h each", "a chimney, roof window or vent, hours each"),
    ],
    names: None,
    example: "[prices.hours]\neach = 48\ncover = 0.4\nvalley = 0.7",
};
