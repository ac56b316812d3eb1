//! What a building must keep to whatever its pitch: for the designer who compares.

use super::{length, limits};
use crate::base::schema::Table;

/// `[compare]`.
pub static COMPARE: Table = Table {
    name: "compare",
    header: "[compare]",
    one: "limit",
    many: "Comparing pitches",
    about: "What the building must keep to whatever its pitch; `eavewright compare` tells for each pitch whether it does.",
    keys: &[
        length(
            "planning_height",
            limits::RIDGE,
            "planning height",
            "4.00",
            "highest point above datum that planning allows",
        )
        .or_else("none"),
        length("headroom", limits::STOREY, "headroom", "1.90", "wanted from the floor to the underside of the roof")
            .or_else("none asked for"),
        length("floor", limits::HEIGHT, "floor", "2.40", "the floor under the roof, above datum").or(0.0),
        length(
            "build_up",
            limits::ABOVE_PLATE,
            "roof build-up",
            "\"200 mm\"",
            "plumb, from the covering down to the underside of the roof",
        )
        .or(0.2),
    ],
    names: None,
    example: "[compare]\nplanning_height = 4.00\nheadroom = 1.90\nfloor = 0\nbuild_up = \"200 mm\"",
};
