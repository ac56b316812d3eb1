//! What was observed between points and on faces.

use super::words::{DIRECTION_WORDS, KNOWN_THING_WORDS, LENGTH_WORDS, PITCH_WORDS};
use super::{angle, choice, count, flag, length, limits, of, pitch};
use crate::base::schema::{Key, Kind, Naming, Table};

const fn all_of(
    key: &'static str,
    naming: Naming,
    least: usize,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::AllOf(naming, least), label, example, about)
}

/// `[[tape]]`.
pub static TAPE: Table = Table {
    name: "tape",
    header: "[[tape]]",
    one: "tape",
    many: "Tapes",
    about: "Straight from point to point. Corners of the outline are points too; a diagonal proves the walk.",
    keys: &[
        of("from", Naming::PointOrCorner, "from", "\"A\"", "the point it starts from").needed().first(),
        of("to", Naming::PointOrCorner, "to", "\"C\"", "the point it ends at").needed().first(),
        length("length", limits::TAPED, "length", "10.77", "what the tape said").needed().first(),
        choice(
            "method",
            &LENGTH_WORDS,
            "taken with",
            "\"steel tape\"",
            "how it was taken, which says how unsure it is",
        )
        .or_word("steel tape"),
        length("sigma", limits::SIGMA, "sigma", "\"5 mm\"", "its standard deviation; 0 is exact")
            .or_else("by the method"),
        flag("plan", "held level", "true", "the tape was held level: a distance in plan").or_flag(false),
    ],
    names: None,
    example: "[[tape]]\nfrom = \"A\"\nto = \"C\"\nlength = 10.77",
};

/// `[[known]]`.
pub static KNOWN: Table = Table {
    name: "known",
    header: "[[known]]",
    one: "known size",
    many: "Known sizes",
    about: "A size that is known without a tape, between two points marked in photos: a door, a board panel, courses of brick. \
            How unsure it is, where nothing is said (common practice, no source): board panel 3 mm, door 5 mm, window 10 mm, \
            anything else 10 mm; brick course 1 mm, block course or cladding board 2 mm, each, and as much times their number \
            for several, for all were laid to one gauge.",
    keys: &[
        of("from", Naming::PointOrCorner, "from", "\"E1\"", "the point it starts from").needed().first(),
        of("to", Naming::PointOrCorner, "to", "\"R1\"", "the point it ends at").needed().first(),
        choice(
            "what",
            &KNOWN_THING_WORDS,
            "what it is",
            "\"brick course\"",
            "the thing whose size is known, which says how unsure it is",
        )
        .needed()
        .first(),
        length(
            "length",
            limits::KNOWN,
            "size of one",
            "\"75 mm\"",
            "its size from the one point towards the other, straight; of one, where there are several",
        )
        .needed()
        .first(),
        count("count", limits::KNOWN_COUNT, "how many", "32", "how many of it lie between the two points")
            .or(1.0)
            .first(),
        length("sigma", limits::SIGMA, "sigma", "\"5 mm\"", "standard deviation of the whole; 0 is exact")
            .or_else("by what it is, times `count`"),
    ],
    names: None,
    example: "[[known]]\nfrom = \"a\"\nto = \"E1\"\nwhat = \"brick course\"\nlength = \"75 mm\"\ncount = 32",
};

/// `[[offset]]`.
pub static OFFSET: Table = Table {
    name: "offset",
    header: "[[offset]]",
    one: "offset",
    many: "Offsets",
    about: "How far an eave or any point stands out from the wall below it, level and square to the wall. Stand outside and face \
            the wall: its points are named from left to right, and what stands out comes towards you.",
    keys: &[
        all_of(
            "points",
            Naming::PointOrCorner,
            1,
            "points",
            "[\"E1\", \"E2\"]",
            "the points that stand out: an eave's two ends, or one point",
        )
        .needed()
        .first(),
        all_of(
            "wall",
            Naming::PointOrCorner,
            2,
            "wall, left to right from outside",
            "[\"A\", \"B\"]",
            "two points of the wall, the left one first as you face it from outside",
        )
        .needed()
        .first(),
        length("out", limits::OVERHANG, "out from the wall", "0.35", "how far they stand out from the wall, level")
            .needed()
            .first(),
        length("sigma", limits::SIGMA, "sigma", "\"10 mm\"", "standard deviation of the distance; 0 is exact")
            .or(0.020),
    ],
    names: None,
    example: "[[offset]]\npoints = [\"E1\", \"E2\"]\nwall = [\"A\", \"B\"]\nout = 0.35",
};

/// `[[pitch_reading]]`.
pub static PITCH_READING: Table = Table {
    name: "pitch_reading",
    header: "[[pitch_reading]]",
    one: "pitch reading",
    many: "Pitch readings",
    about: "Read with a level and rule, or an inclinometer, on a face by points or on the one over a side.",
    keys: &[
        of(
            "face",
            Naming::AnyFace,
            "face",
            "\"south\"",
            "the face it was read on: a face by points, or \"store/A\" for the one over a side",
        )
        .needed()
        .first(),
        pitch("pitch", "pitch", "34.5", "the reading").needed().first(),
        choice("method", &PITCH_WORDS, "read with", "\"inclinometer\"", "how it was read, which says how unsure it is")
            .or_word("level and rule"),
        angle("sigma", limits::ANGLE_SIGMA, "sigma, degrees", "0.3", "its standard deviation, degrees; 0 is exact")
            .or_else("by the method"),
    ],
    names: None,
    example: "[[pitch_reading]]\nface = \"south\"\npitch = 34.5\nmethod = \"inclinometer\"",
};

/// `[[level]]`.
pub static LEVEL: Table = Table {
    name: "level",
    header: "[[level]]",
    one: "level",
    many: "Levels",
    about: "Points at one height: along an eave, along a ridge.",
    keys: &[
        all_of("points", Naming::PointOrCorner, 2, "points", "[\"E1\", \"E2\"]", "two or more points at one height")
            .needed()
            .first(),
        length("sigma", limits::SIGMA, "sigma", "\"5 mm\"", "standard deviation of each height").or(0.010),
    ],
    names: None,
    example: "[[level]]\npoints = [\"E1\", \"E2\"]",
};

/// `[[plumb]]`.
pub static PLUMB: Table = Table {
    name: "plumb",
    header: "[[plumb]]",
    one: "plumb line",
    many: "Plumb lines",
    about: "One point straight above another.",
    keys: &[
        all_of(
            "points",
            Naming::PointOrCorner,
            2,
            "points",
            "[\"a\", \"E1\"]",
            "two points, one straight above the other",
        )
        .needed()
        .first(),
        length("sigma", limits::SIGMA, "sigma", "\"5 mm\"", "standard deviation across, each way")
            .or_else("5 mm a metre of height"),
    ],
    names: None,
    example: "[[plumb]]\npoints = [\"a\", \"E1\"]",
};

/// `[[square]]`.
pub static SQUARE: Table = Table {
    name: "square",
    header: "[[square]]",
    one: "right angle",
    many: "Right angles",
    about: "A right angle that was checked on site, never one that was assumed.",
    keys: &[
        of("at", Naming::PointOrCorner, "at", "\"E1\"", "the corner that was checked").needed().first(),
        all_of("arms", Naming::PointOrCorner, 2, "towards", "[\"E2\", \"E4\"]", "the ends of its two arms")
            .needed()
            .first(),
        angle("sigma", limits::ANGLE_SIGMA, "sigma, degrees", "0.2", "standard deviation of the angle, degrees")
            .or(0.3),
    ],
    names: None,
    example: "[[square]]\nat = \"E1\"\narms = [\"E2\", \"E4\"]",
};

/// `[[equal_pitch]]`.
pub static EQUAL_PITCH: Table = Table {
    name: "equal_pitch",
    header: "[[equal_pitch]]",
    one: "equal pitch",
    many: "Equal pitches",
    about: "Faces that were found to slope alike.",
    keys: &[
        all_of("faces", Naming::Face, 2, "faces", "[\"south\", \"north\"]", "two or more faces by points")
            .needed()
            .first(),
        angle("sigma", limits::ANGLE_SIGMA, "sigma, degrees", "0.5", "standard deviation of each pitch, degrees")
            .or(0.5),
    ],
    names: None,
    example: "[[equal_pitch]]\nfaces = [\"south\", \"north\"]",
};

/// `[[upright]]`.
pub static UPRIGHT: Table = Table {
    name: "upright",
    header: "[[upright]]",
    one: "upright",
    many: "Uprights",
    about: "A point plumb over a line: a gable's apex over its wall.",
    keys: &[
        of("point", Naming::PointOrCorner, "point", "\"R1\"", "the point over the line").needed().first(),
        all_of("over", Naming::PointOrCorner, 2, "over the line", "[\"E1\", \"E4\"]", "the two points of the line")
            .needed()
            .first(),
        length("sigma", limits::SIGMA, "sigma", "\"10 mm\"", "standard deviation across the line, level").or(0.0125),
    ],
    names: None,
    example: "[[upright]]\npoint = \"R1\"\nover = [\"E1\", \"E4\"]",
};

/// `[[axis]]`.
pub static AXIS: Table = Table {
    name: "axis",
    header: "[[axis]]",
    one: "axis",
    many: "Axes for photos",
    about: "Which way an edge runs: along x or y of the plan, or plumb. Only tells a photo apart from its mirror.",
    keys: &[
        of("from", Naming::PointOrCorner, "from", "\"E1\"", "the point it starts from").needed().first(),
        of("to", Naming::PointOrCorner, "to", "\"E2\"", "the point it ends at").needed().first(),
        choice("along", &DIRECTION_WORDS, "along", "\"+x\"", "which way it runs").needed().first(),
    ],
    names: None,
    example: "[[axis]]\nfrom = \"E1\"\nto = \"E2\"\nalong = \"+x\"",
};
