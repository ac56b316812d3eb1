//! What to do about a mistake where the place that found it knows nothing better.

/// A hint by code.
pub(super) fn usual(code: &str) -> Option<&'static str> {
    Some(match code {
        "syntax" => {
            "a roof file is TOML: `key = value` lines under [table] headings, text in quotes, lists in brackets"
        }
        "unknown-key" => "check its spelling and the table it stands in",
        "missing-key" => "add it here",
        "wrong-type" | "wrong-count" => "write it as shown after \"expected\"",
        "empty" => "fill it in, or take the line out",
        "bad-name" => "take the spaces at its ends out",
        "unknown-word" => "use one of the words listed, in quotes",
        "conflicting-keys" => "keep one of them",
        "no-unit" => "state `units = \"m\"` once at the top, or write each length with its unit in quotes",
        "bad-length" => "write a number with its unit in quotes",
        "not-finite" => "write out the number that was measured",
        "out-of-range" => "leave the minus out, or correct the number; directions are given by turns",
        "bad-pitch" => "35 and \"35°\" are degrees, \"7:12\" is rise over run, \"70 %\" is rise over run in percent",
        "bad-turn" => "\"L\" is a right angle to the left, \"R\" to the right, 45 is 45° to the left",
        "bad-angle" => "write degrees, without a word",
        "bad-bearing" => "write \"N\", \"NE\", \"E\" …, or degrees clockwise from north",
        "bad-percentage" => "write a number and %, in quotes",
        "bad-date" => "write year-month-day without quotes",
        "duplicate-name" => "rename one of them, and what refers to it",
        "ambiguous-name" => "write the block's name before it",
        "missing-point" => "points are the keys of [points] and the corners of blocks, such as \"store.A\"",
        "repeated-point" => "check which point was meant",
        "unknown-side" => "a side is \"block/side\", named by the corner it starts from",
        "unknown-face" => "a face is \"block/side\", or the name of a [[face]]",
        "unknown-camera" => "a photo without `camera` uses its own data",
        "unknown-card" => "name a card that comes with the tool, or give the path of a card file",
        "side-role" => "say one thing for this side",
        "rises-order" => "order the breaks from the eave upwards",
        "too-few-sides" => "add the sides that are missing",
        "mixed-sides" => "use one form for all sides of the outline",
        "no-eave" => "give at least one side a pitch",
        "pitch-not-fixed" => "measure the pitch, the ridge's height or one rafter",
        "photo-file" | "photo-format" | "card-file" => "paths are taken from the roof file's folder",
        "mark-outside" => "marks are pixels of the photo as shown: x to the right, y down from its top left corner",
        "card-gauge" => "make the gauge smaller, or correct the height, cutout or head lap",
        _ => return None,
    })
}
