//! Every code a diagnostic about a file may carry. Scripts match on them, so they stay.

/// A code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Code {
    /// Kebab-case.
    pub code: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// What to do, where the place that found it knows nothing better.
    pub hint: &'static str,
}

const fn code(code: &'static str, meaning: &'static str, hint: &'static str) -> Code {
    Code { code, meaning, hint }
}

const FOLDER: &str = "paths are taken from the roof file's folder and stay within it: copy the file there";

/// All of them: the text first, then single values, names, and what only makes sense together.
pub const CODES: &[Code] = &[
    code(
        "syntax",
        "the text is not TOML",
        "a roof file is TOML: `key = value` lines under [table] headings, text in quotes, lists in brackets",
    ),
    code("duplicate-key", "a key or table is given twice", "keep the right one and take the other out"),
    code("unknown-key", "a key its table does not know", "check its spelling and the table it stands in"),
    code("missing-key", "a key that must be there is not", "add it here"),
    code("wrong-type", "a value of another kind", "write it as shown after \"expected\""),
    code("wrong-count", "a list too short or too long", "write it as shown after \"expected\""),
    code("empty", "text that says nothing", "fill it in, or take the line out"),
    code("too-long", "text with more letters than it may have", "say it in fewer words"),
    code("bad-name", "a name with stray spaces or control characters", "take the spaces at its ends out"),
    code("unknown-word", "a word that is not one of a few", "use one of the words listed, in quotes"),
    code("conflicting-keys", "keys that do not go together", "keep one of them"),
    code(
        "no-unit",
        "a bare length where no unit is stated",
        "state `units = \"m\"` once at the top, or write each length with its unit in quotes",
    ),
    code("bad-length", "not a length", "write a number with its unit in quotes"),
    code("not-finite", "a number that is infinite or none", "write out the number that was measured"),
    code(
        "out-of-range",
        "a number that makes no sense here",
        "leave the minus out, or correct the number; directions are given by turns",
    ),
    code(
        "bad-pitch",
        "not a pitch between level and plumb",
        "35 and \"35°\" are degrees, \"7:12\" is rise over run, \"70 %\" is rise over run in percent",
    ),
    code("bad-turn", "not a turn", "\"L\" is a right angle to the left, \"R\" to the right, 45 is 45° to the left"),
    code("bad-angle", "not an angle", "write degrees, without a word"),
    code("bad-bearing", "not a bearing", "write \"N\", \"NE\", \"E\" …, or degrees clockwise from north"),
    code("bad-percentage", "not a percentage", "write a number and %, in quotes"),
    code("bad-date", "not a day", "write year-month-day without quotes"),
    code("duplicate-name", "a name that is taken", "rename one of them, and what refers to it"),
    code("ambiguous-name", "a corner's name that several blocks have", "write the block's name before it"),
    code(
        "missing-point",
        "a point that is not there",
        "points are the keys of [points] and the corners of blocks, such as \"store.A\"",
    ),
    code("repeated-point", "one point where different ones are needed", "check which point was meant"),
    code("repeated-face", "one face where different ones are needed", "check which face was meant"),
    code("unknown-side", "a side that is not there", "a side is \"block/side\", named by the corner it starts from"),
    code("unknown-face", "a face that is not there", "a face is \"block/side\", or the name of a [[face]]"),
    code("unknown-camera", "a camera that is not there", "a photo without `camera` uses its own data"),
    code(
        "unknown-card",
        "a card that is not there",
        "name a card that comes with the tool, or give a card file's path",
    ),
    code("card-file", "a card file that can't be read", FOLDER),
    code(
        "card-value",
        "a value of a card that can't be changed from a roof file",
        "print the card with `eavewright cards NAME`, save it beside the roof file, change it there and name its path",
    ),
    code("price-file", "a price file that can't be read", FOLDER),
    code(
        "card-gauge",
        "a card whose gauge leaves too little lap",
        "make the gauge smaller, or correct the other sizes",
    ),
    code(
        "card-lap",
        "a card whose side laps leave no room between those of its two layers",
        "make the laps smaller, or correct the width",
    ),
    code("side-role", "a side with no role, or with two", "say one thing for this side"),
    code("rises-order", "breaks that do not rise", "order the breaks from the eave upwards"),
    code("too-few-sides", "an outline of fewer than three sides", "add the sides that are missing"),
    code("mixed-sides", "an outline half walked, half by places", "use one form for all sides of the outline"),
    code("turn-sum", "turns that do not go once round", "check each turn against a sketch"),
    code(
        "design-open",
        "the outline of a design that does not close",
        "correct the number that is wrong, or give one side a `sigma`: it then takes up the gap",
    ),
    code("self-crossing", "an outline that meets itself", "check turns and lengths against a sketch"),
    code("zero-length", "two corners in one place", "take one of the corners out"),
    code("hole-outside", "a hole that is not inside", "a hole's places count from the outline's first corner"),
    code(
        "placed-in-a-circle",
        "blocks that stand on each other's sides",
        "give one of them `start` and `heading` instead of `at_side`",
    ),
    code("no-eave", "a block no slope rises from", "give at least one side a pitch"),
    code("pitch-not-fixed", "an unmeasured pitch nothing fixes", "measure the pitch, the ridge's height or one rafter"),
    code("photo-file", "a photo that can't be read", FOLDER),
    code("photo-format", "a file that is no picture", "export the photo as JPEG or PNG"),
    code("photo-size", "a photo of another size than stated", "leave `size` out to take the file's"),
    code(
        "mark-outside",
        "a mark beside its photo",
        "marks are pixels of the photo as shown: x to the right, y down from its top left corner",
    ),
    code("no-roof", "a file without a roof", "`eavewright new hip` prints a commented file to begin from"),
    code("height-assumed", "a block's height is not stated", "write `height`"),
    code("overhang-assumed", "an overhang is not stated", "write `overhang`"),
    code("focal-assumed", "a focal length is not known", "give `focal` in a [[camera]]"),
    code("photo-cut-off", "a photo whose file ends too early", "copy it from the phone again"),
    code("photo-heif", "a photo that can be read but not shown", "export the photo as JPEG"),
    code("shadowed-name", "a point named like a corner", "write the block's name before the corner's"),
    code("unused-key", "a key that has no effect here", "take it out"),
    code("unused-camera", "a camera no photo names", "take it out, or name it in its photos"),
];

/// The hint of a code.
pub(super) fn usual_hint(code: &str) -> Option<&'static str> {
    CODES.iter().find(|known| known.code == code).map(|known| known.hint)
}
