//! Every table of a roof file and the keys it may have: the one place that says what is known.

use super::node::Shape;

pub(super) const ROOF: Shape = Shape {
    what: "the roof file",
    keys: &[
        "title",
        "units",
        "date",
        "tolerance",
        "site",
        "block",
        "dormer",
        "points",
        "face",
        "opening",
        "tape",
        "pitch_reading",
        "level",
        "plumb",
        "square",
        "equal_pitch",
        "upright",
        "axis",
        "camera",
        "photo",
        "covering",
        "prices",
        "old_roof",
    ],
};
pub(super) const SITE: Shape = Shape { what: "[site]", keys: &["wind_from", "north", "join_gap"] };
pub(super) const BLOCK: Shape = Shape {
    what: "[[block]]",
    keys: &[
        "name",
        "height",
        "measured_at",
        "edge_of",
        "projection",
        "start",
        "heading",
        "at_side",
        "offset",
        "sides",
        "holes",
        "overhang",
        "above_plate",
        "ridge_height",
        "rafter",
        "square_up",
    ],
};
pub(super) const SIDE: Shape = Shape {
    what: "a side",
    keys: &[
        "from",
        "length",
        "turn",
        "at",
        "sigma",
        "turn_sigma",
        "method",
        "height",
        "pitch",
        "breaks",
        "verge",
        "hip_from",
        "verge_from",
        "abutment",
    ],
};
pub(super) const BREAK: Shape = Shape { what: "a break", keys: &["rise", "pitch"] };
pub(super) const HOLE: Shape = Shape { what: "a hole", keys: &["start", "heading", "sides"] };
pub(super) const OVERHANG: Shape = Shape { what: "overhang", keys: &["eave", "verge", "fascia"] };
pub(super) const RAFTER: Shape = Shape { what: "rafter", keys: &["side", "length"] };
pub(super) const DORMER: Shape =
    Shape { what: "[[dormer]]", keys: &["name", "face", "at", "width", "front_height", "pitch", "kind"] };
pub(super) const POINT: Shape = Shape { what: "a point", keys: &["near"] };
pub(super) const FACE: Shape = Shape { what: "[[face]]", keys: &["name", "points", "sigma"] };
pub(super) const OPENING: Shape = Shape { what: "[[opening]]", keys: &["face", "at", "size", "plan", "kind"] };
pub(super) const TAPE: Shape = Shape { what: "[[tape]]", keys: &["from", "to", "length", "method", "sigma", "plan"] };
pub(super) const PITCH_READING: Shape =
    Shape { what: "[[pitch_reading]]", keys: &["face", "pitch", "method", "sigma"] };
pub(super) const LEVEL: Shape = Shape { what: "[[level]]", keys: &["points", "sigma"] };
pub(super) const PLUMB: Shape = Shape { what: "[[plumb]]", keys: &["points", "sigma"] };
pub(super) const SQUARE: Shape = Shape { what: "[[square]]", keys: &["at", "arms", "sigma"] };
pub(super) const EQUAL_PITCH: Shape = Shape { what: "[[equal_pitch]]", keys: &["faces", "sigma"] };
pub(super) const UPRIGHT: Shape = Shape { what: "[[upright]]", keys: &["point", "over", "sigma"] };
pub(super) const AXIS: Shape = Shape { what: "[[axis]]", keys: &["from", "to", "along"] };
pub(super) const CAMERA: Shape =
    Shape { what: "[[camera]]", keys: &["name", "focal", "focal_sigma", "centre", "centre_sigma", "k1", "k1_sigma"] };
pub(super) const PHOTO: Shape =
    Shape { what: "[[photo]]", keys: &["camera", "file", "size", "marks", "mark_sigma", "soft"] };
pub(super) const COVERING: Shape = Shape {
    what: "[covering]",
    keys: &["card", "waste", "valley", "hip", "exposure", "spare_packs", "wall_inside", "level_ceiling"],
};
pub(super) const PITCH_BAND: Shape = Shape { what: "[[prices.pitch_band]]", keys: &["pitch_from", "factor"] };
pub(super) const OLD_ROOF: Shape = Shape {
    what: "[old_roof]",
    keys: &["kind", "layers", "weight", "loose_thickness", "deck_share", "asbestos_possible", "stays"],
};

/// All of them, for telling where a misplaced key belongs.
pub(super) const ALL: &[&Shape] = &[
    &ROOF,
    &SITE,
    &BLOCK,
    &SIDE,
    &BREAK,
    &HOLE,
    &OVERHANG,
    &RAFTER,
    &DORMER,
    &POINT,
    &FACE,
    &OPENING,
    &TAPE,
    &PITCH_READING,
    &LEVEL,
    &PLUMB,
    &SQUARE,
    &EQUAL_PITCH,
    &UPRIGHT,
    &AXIS,
    &CAMERA,
    &PHOTO,
    &COVERING,
    &PITCH_BAND,
    &OLD_ROOF,
];
