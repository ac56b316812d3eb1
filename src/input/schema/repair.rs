//! `[[repair]]`: part of a face that is covered anew.

use super::{count, flag, lengths, limits, of};
use crate::base::schema::{Naming, Table};

/// `[[repair]]`.
pub static REPAIR: Table = Table {
    name: "repair",
    header: "[[repair]]",
    one: "repair",
    many: "Repairs",
    about: "Part of a face covered anew: a rectangle, or courses along the eave. `eavewright repair` says what to lift, what \
            to order and what to do; the whole roof's order stays what it is.",
    keys: &[
        of("face", Naming::AnyFace, "face", "\"store/A\"", "the face it lies in").needed(),
        lengths(
            "at",
            2,
            limits::IN_FACE,
            "corner: along, up",
            "[2.0, 1.2]",
            "lower left corner of the damage: [along the face's lowest eave from its left end, up the slope]",
        )
        .or_else("needed unless `courses` is given"),
        lengths("size", 2, limits::OPENING, "size: along, up", "[1.4, 0.9]", "[along the eave, up the slope]")
            .or_else("needed with `at`"),
        count(
            "first_course",
            limits::COURSES,
            "first course",
            "1",
            "instead of `at`: the lowest course, the eave's is 1",
        )
        .or_else("no courses named"),
        count("last_course", limits::COURSES, "last course", "6", "the highest course").or_else("the first one alone"),
        lengths(
            "along",
            2,
            limits::IN_FACE,
            "from, to",
            "[1.0, 3.5]",
            "with courses: from where to where along the eave",
        )
        .or_else("from end to end"),
        flag("underlay", "underlay too", "true", "whether the underlay below is renewed").or_flag(true),
        flag("deck", "deck too", "true", "whether the deck below is renewed").or_flag(false),
    ],
    names: None,
    example: "[[repair]]\nface = \"store/A\"\nat = [2.0, 1.2]\nsize = [1.4, 0.9]",
};
