//! Named places and faces by their points.

use super::{length, limits, name};
use crate::base::schema::{Key, Kind, Naming, OwnNames, Table};

/// What stands behind a point's name.
static PLACE: Key = Key::new(
    "a point's name",
    Kind::Point(&POINT, limits::POINT),
    "place",
    "[0.0, 0.0, 2.40]",
    "[x, y, height] of a point; { near = [x, y, height] } with a rough start, or {} for one that observations fix",
);

/// `[points]`.
pub static POINTS: Table = Table {
    name: "points",
    header: "[points]",
    one: "point",
    many: "Points",
    about: "x, y and height of each. Left empty, the point is found from tapes and readings; with a rough start if one is \
            given.",
    keys: &[],
    names: Some(OwnNames { are: Naming::Point, values: &PLACE }),
    example: "[points]\na = [0.0, 0.0, 0.0]\nE1 = [0.0, 0.0, 2.40]\nE2 = [6.4, 0.0, 2.40]\nE3 = [6.4, 4.2, 2.40]\nE4 = [0.0, 4.2, 2.40]\nR1 = { near = [2.1, 2.1, 3.5] }\nR2 = {}",
};

/// A point that is to be found.
pub static POINT: Table = Table {
    name: "point",
    header: "a point",
    one: "point",
    many: "A point to be found",
    about: "A point whose place only observations fix.",
    keys: &[Key::new(
        "near",
        Kind::Lengths(3, limits::POINT),
        "near",
        "[3.0, 2.8, 4.4]",
        "[x, y, height] of a rough start",
    )
    .or_else("none")],
    names: None,
    example: "R1 = { near = [3.0, 2.8, 4.4] }",
};

/// `[[face]]`.
pub static FACE: Table = Table {
    name: "face",
    header: "[[face]]",
    one: "face",
    many: "Faces by their points",
    about: "Three points or more in order round the face. Neighbours share two points one after the other.",
    keys: &[
        name("name", Naming::Face, "name", "\"south\"", "the face's name").needed().first(),
        Key::new(
            "points",
            Kind::AllOf(Naming::PointOrCorner, 3),
            "points",
            "[\"E1\", \"E2\", \"R2\", \"R1\"]",
            "three or more points in order round it",
        )
        .needed()
        .first(),
        length("sigma", limits::SIGMA, "sigma", "\"5 mm\"", "standard deviation of a point's distance from the face")
            .or(0.010),
    ],
    names: None,
    example: "[[face]]\nname = \"south\"\npoints = [\"E1\", \"E2\", \"R2\", \"R1\"]",
};
