//! The shapes a roof file can begin from: a sketch with what to measure, and the keys with values to replace.

/// A shape.
pub(super) struct Shape {
    /// What it is asked for by.
    pub name: &'static str,
    /// One line for people.
    pub about: &'static str,
    /// Comment lines with a sketch and what to measure.
    pub sketch: &'static str,
    /// What comes below it.
    pub entries: &'static [Entry],
}

/// A part of a template.
pub(super) enum Entry {
    /// A key of the first level.
    Key(&'static str, &'static str),
    /// A table of the first level with its keys.
    Table(&'static str, &'static [(&'static str, &'static str)]),
    /// A list of the block above, a line an entry.
    Rows(&'static str, &'static [&'static [(&'static str, &'static str)]]),
    /// Lines whose keys are names of one's own.
    Own(&'static str),
}

use Entry::{Key, Own, Rows, Table};

/// Lines for a diagonal that nobody has taped yet: a number made up here would contradict the lengths typed in.
macro_rules! diagonal {
    ($from:literal, $to:literal) => {
        concat!(
            "\n# A diagonal shows whether the corners are square; take away the # once it is taped:\n# [[tape]]\n# from = \"",
            $from,
            "\"\n# to = \"",
            $to,
            "\"\n# length = \"? m\"\n# plan = true # the tape was held level: a distance in plan\n"
        )
    };
}

pub(super) const SHAPES: &[Shape] = &[
    Shape {
        name: "hip",
        about: "a slope from every side",
        sketch: include_str!("templates/hip.txt"),
        entries: &[
            Own("\n"),
            Key("title", "\"My hipped roof\""),
            Key("units", "\"m\""),
            Table("block", &[("name", "\"main\""), ("height", "2.40"), ("measured_at", "\"eaves\"")]),
            Rows(
                "sides",
                &[
                    &[("from", "\"A\""), ("length", "8.00"), ("turn", "\"L\""), ("pitch", "35")],
                    &[("from", "\"B\""), ("length", "5.00"), ("turn", "\"L\""), ("pitch", "35")],
                    &[("from", "\"C\""), ("length", "8.00"), ("turn", "\"L\""), ("pitch", "35")],
                    &[("from", "\"D\""), ("length", "5.00"), ("turn", "\"L\""), ("pitch", "35")],
                ],
            ),
            Own(diagonal!("A", "C")),
            Table("covering", &[("card", "\"strip-shingle\""), ("waste", "\"layout\"")]),
        ],
    },
    Shape {
        name: "gable",
        about: "two slopes between gable ends",
        sketch: include_str!("templates/gable.txt"),
        entries: &[
            Own("\n"),
            Key("title", "\"My gabled roof\""),
            Key("units", "\"m\""),
            Table(
                "block",
                &[
                    ("name", "\"main\""),
                    ("height", "2.40"),
                    ("measured_at", "\"wall\""),
                    ("overhang", "{ eave = 0.35, verge = 0.20 }"),
                ],
            ),
            Rows(
                "sides",
                &[
                    &[("from", "\"A\""), ("length", "7.00"), ("turn", "\"L\""), ("pitch", "40")],
                    &[("from", "\"B\""), ("length", "5.00"), ("turn", "\"L\""), ("verge", "true")],
                    &[("from", "\"C\""), ("length", "7.00"), ("turn", "\"L\""), ("pitch", "40")],
                    &[("from", "\"D\""), ("length", "5.00"), ("turn", "\"L\""), ("verge", "true")],
                ],
            ),
            Own(diagonal!("A", "C")),
            Table("covering", &[("card", "\"strip-shingle\""), ("waste", "\"layout\"")]),
        ],
    },
    Shape {
        name: "halfhip",
        about: "gable ends with small hips at the top",
        sketch: include_str!("templates/halfhip.txt"),
        entries: &[
            Own("\n"),
            Key("title", "\"My half-hipped roof\""),
            Key("units", "\"m\""),
            Table("block", &[("name", "\"main\""), ("height", "2.40"), ("measured_at", "\"eaves\"")]),
            Rows(
                "sides",
                &[
                    &[("from", "\"A\""), ("length", "8.00"), ("turn", "\"L\""), ("pitch", "45")],
                    &[
                        ("from", "\"B\""),
                        ("length", "6.00"),
                        ("turn", "\"L\""),
                        ("verge", "true"),
                        ("hip_from", "1.60"),
                        ("pitch", "55"),
                    ],
                    &[("from", "\"C\""), ("length", "8.00"), ("turn", "\"L\""), ("pitch", "45")],
                    &[
                        ("from", "\"D\""),
                        ("length", "6.00"),
                        ("turn", "\"L\""),
                        ("verge", "true"),
                        ("hip_from", "1.60"),
                        ("pitch", "55"),
                    ],
                ],
            ),
            Own(diagonal!("A", "C")),
            Table("covering", &[("card", "\"strip-shingle\""), ("waste", "\"layout\"")]),
        ],
    },
    Shape {
        name: "lshape",
        about: "two legs with a valley",
        sketch: include_str!("templates/lshape.txt"),
        entries: &[
            Own("\n"),
            Key("title", "\"My L-shaped roof\""),
            Key("units", "\"m\""),
            Table("block", &[("name", "\"main\""), ("height", "2.40"), ("measured_at", "\"eaves\"")]),
            Rows(
                "sides",
                &[
                    &[("from", "\"A\""), ("length", "9.00"), ("turn", "\"L\""), ("pitch", "35")],
                    &[("from", "\"B\""), ("length", "4.00"), ("turn", "\"L\""), ("verge", "true")],
                    &[("from", "\"C\""), ("length", "5.00"), ("turn", "\"R\""), ("pitch", "35")],
                    &[("from", "\"D\""), ("length", "4.00"), ("turn", "\"L\""), ("pitch", "35")],
                    &[("from", "\"E\""), ("length", "4.00"), ("turn", "\"L\""), ("verge", "true")],
                    &[("from", "\"F\""), ("length", "8.00"), ("turn", "\"L\""), ("pitch", "35")],
                ],
            ),
            Own(diagonal!("A", "D")),
            Table("covering", &[("card", "\"strip-shingle\""), ("waste", "\"layout\""), ("valley", "\"open\"")]),
        ],
    },
    Shape {
        name: "tshape",
        about: "a wing that runs into the main roof",
        sketch: include_str!("templates/tshape.txt"),
        entries: &[
            Own("\n"),
            Key("title", "\"My T-shaped roof\""),
            Key("units", "\"m\""),
            Table("block", &[("name", "\"main\""), ("height", "2.40"), ("measured_at", "\"eaves\"")]),
            Rows(
                "sides",
                &[
                    &[("from", "\"A\""), ("length", "10.00"), ("turn", "\"L\""), ("pitch", "35")],
                    &[("from", "\"B\""), ("length", "6.00"), ("turn", "\"L\""), ("verge", "true")],
                    &[("from", "\"C\""), ("length", "10.00"), ("turn", "\"L\""), ("pitch", "35")],
                    &[("from", "\"D\""), ("length", "6.00"), ("turn", "\"L\""), ("verge", "true")],
                ],
            ),
            Own(diagonal!("A", "C")),
            Table("block", &[("name", "\"wing\""), ("height", "2.40"), ("at_side", "\"main/A\""), ("offset", "3.00")]),
            Rows(
                "sides",
                &[
                    &[("from", "\"a\""), ("length", "4.00"), ("turn", "\"R\""), ("runs_into", "true")],
                    &[("from", "\"b\""), ("length", "2.50"), ("turn", "\"R\""), ("pitch", "35")],
                    &[("from", "\"c\""), ("length", "4.00"), ("turn", "\"R\""), ("verge", "true")],
                    &[("from", "\"d\""), ("length", "2.50"), ("turn", "\"R\""), ("pitch", "35")],
                ],
            ),
            Table("covering", &[("card", "\"strip-shingle\""), ("waste", "\"layout\""), ("valley", "\"open\"")]),
        ],
    },
    Shape {
        name: "leanto",
        about: "one slope against a wall",
        sketch: include_str!("templates/leanto.txt"),
        entries: &[
            Own("\n"),
            Key("title", "\"My lean-to\""),
            Key("units", "\"m\""),
            Table("block", &[("name", "\"lean-to\""), ("height", "2.20"), ("measured_at", "\"eaves\"")]),
            Rows(
                "sides",
                &[
                    &[("from", "\"A\""), ("length", "6.00"), ("turn", "\"L\""), ("pitch", "18")],
                    &[("from", "\"B\""), ("length", "3.00"), ("turn", "\"L\""), ("verge", "true")],
                    &[("from", "\"C\""), ("length", "6.00"), ("turn", "\"L\""), ("abutment", "true")],
                    &[("from", "\"D\""), ("length", "3.00"), ("turn", "\"L\""), ("verge", "true")],
                ],
            ),
            Own(diagonal!("A", "C")),
            Table("covering", &[("card", "\"strip-shingle\"")]),
        ],
    },
    Shape {
        name: "gambrel",
        about: "a steep and a flat slope on either side",
        sketch: include_str!("templates/gambrel.txt"),
        entries: &[
            Own("\n"),
            Key("title", "\"My gambrel roof\""),
            Key("units", "\"m\""),
            Table("block", &[("name", "\"main\""), ("height", "2.40"), ("measured_at", "\"eaves\"")]),
            Rows(
                "sides",
                &[
                    &[
                        ("from", "\"A\""),
                        ("length", "7.00"),
                        ("turn", "\"L\""),
                        ("pitch", "60"),
                        ("breaks", "[{ rise = 1.50, pitch = 25 }]"),
                    ],
                    &[("from", "\"B\""), ("length", "5.00"), ("turn", "\"L\""), ("verge", "true")],
                    &[
                        ("from", "\"C\""),
                        ("length", "7.00"),
                        ("turn", "\"L\""),
                        ("pitch", "60"),
                        ("breaks", "[{ rise = 1.50, pitch = 25 }]"),
                    ],
                    &[("from", "\"D\""), ("length", "5.00"), ("turn", "\"L\""), ("verge", "true")],
                ],
            ),
            Own(diagonal!("A", "C")),
            Table("covering", &[("card", "\"strip-shingle\""), ("waste", "\"layout\"")]),
        ],
    },
    Shape {
        name: "mansard",
        about: "steep slopes all round, flat ones above",
        sketch: include_str!("templates/mansard.txt"),
        entries: &[
            Own("\n"),
            Key("title", "\"My mansard roof\""),
            Key("units", "\"m\""),
            Table("block", &[("name", "\"main\""), ("height", "2.40"), ("measured_at", "\"eaves\"")]),
            Rows(
                "sides",
                &[
                    &[
                        ("from", "\"A\""),
                        ("length", "8.00"),
                        ("turn", "\"L\""),
                        ("pitch", "65"),
                        ("breaks", "[{ rise = 2.00, pitch = 25 }]"),
                    ],
                    &[
                        ("from", "\"B\""),
                        ("length", "6.00"),
                        ("turn", "\"L\""),
                        ("pitch", "65"),
                        ("breaks", "[{ rise = 2.00, pitch = 25 }]"),
                    ],
                    &[
                        ("from", "\"C\""),
                        ("length", "8.00"),
                        ("turn", "\"L\""),
                        ("pitch", "65"),
                        ("breaks", "[{ rise = 2.00, pitch = 25 }]"),
                    ],
                    &[
                        ("from", "\"D\""),
                        ("length", "6.00"),
                        ("turn", "\"L\""),
                        ("pitch", "65"),
                        ("breaks", "[{ rise = 2.00, pitch = 25 }]"),
                    ],
                ],
            ),
            Own(diagonal!("A", "C")),
            Table("covering", &[("card", "\"strip-shingle\""), ("waste", "\"layout\"")]),
        ],
    },
    Shape {
        name: "octagon",
        about: "eight slopes that meet in a point",
        sketch: include_str!("templates/octagon.txt"),
        entries: &[
            Own("\n"),
            Key("title", "\"My eight-sided roof\""),
            Key("units", "\"m\""),
            Table(
                "block",
                &[
                    ("name", "\"bandstand\""),
                    ("height", "2.60"),
                    ("measured_at", "\"eaves\""),
                    ("sides", "8"),
                    ("width", "4.00"),
                    ("pitch", "30"),
                ],
            ),
            Table("covering", &[("card", "\"strip-shingle\""), ("waste", "\"layout\"")]),
        ],
    },
    Shape {
        name: "points",
        about: "slopes by their measured points",
        sketch: include_str!("templates/points.txt"),
        entries: &[
            Own("\n"),
            Key("title", "\"My roof by points\""),
            Key("units", "\"m\""),
            Table("points", &[]),
            Own("E1 = [0.00, 0.00, 2.40]\nE2 = [7.00, 0.00, 2.40]\nE3 = [7.00, 5.00, 2.40]\nE4 = [0.00, 5.00, 2.40]\n\
                 R1 = [0.00, 2.50, 4.50]\nR2 = [7.00, 2.50, 4.50]\n"),
            Table("face", &[("name", "\"south\""), ("points", "[\"E1\", \"E2\", \"R2\", \"R1\"]")]),
            Own("\n[[face]]\nname = \"north\"\npoints = [\"E3\", \"E4\", \"R1\", \"R2\"]\n"),
            Table("covering", &[("card", "\"strip-shingle\""), ("waste", "\"layout\"")]),
        ],
    },
];
