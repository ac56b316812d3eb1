//! Every table of a material card and the keys it may have.

use super::node::Shape;

pub(super) const CARD: Shape = Shape {
    what: "the material card",
    keys: &[
        "name",
        "title",
        "strip",
        "unit",
        "sheet",
        "min_pitch",
        "max_run",
        "deck_min",
        "other_fixing",
        "caps",
        "nails",
        "underlay",
        "eave_strip",
        "verge_strip",
        "adhesive",
        "valley_lining",
        "abutment_flashing",
        "deck",
        "rain_goods",
    ],
};
pub(super) const STRIP: Shape = Shape {
    what: "[strip]",
    keys: &[
        "width",
        "height",
        "tabs",
        "tab",
        "cutout",
        "gauge",
        "head_lap",
        "gauge_shrink",
        "eave_projection",
        "verge_projection",
        "pack",
        "pack_name",
        "weight",
        "verge_starter",
        "peel",
        "bend_above",
    ],
};
pub(super) const UNIT: Shape = Shape {
    what: "[unit]",
    keys: &[
        "width",
        "height",
        "joint",
        "gauge",
        "gauge_shrink",
        "lap",
        "layers",
        "bond",
        "eave_projection",
        "verge_projection",
        "min_cut",
        "pack",
        "pack_name",
        "weight",
        "starter",
    ],
};
pub(super) const SHEET: Shape = Shape {
    what: "[sheet]",
    keys: &[
        "cover_width",
        "max_length",
        "min_length",
        "length_step",
        "lap",
        "eave_projection",
        "verge_projection",
        "weight",
    ],
};
pub(super) const MIN_PITCH: Shape = Shape { what: "[[min_pitch]]", keys: &["pitch", "rafter_to", "source"] };
pub(super) const MAX_RUN: Shape = Shape { what: "[[max_run]]", keys: &["run", "source"] };
pub(super) const DECK_MIN: Shape = Shape { what: "[[deck_min]]", keys: &["thickness", "spacing_to", "source"] };
pub(super) const OTHER_FIXING: Shape = Shape { what: "[other_fixing]", keys: &["pitch", "source"] };
pub(super) const LAP: Shape = Shape { what: "a lap by pitch", keys: &["pitch_from", "lap", "source"] };
pub(super) const CAPS: Shape =
    Shape { what: "[caps]", keys: &["length", "exposure", "half_cover", "per_strip", "pack", "weight", "source"] };
pub(super) const NAILS: Shape = Shape {
    what: "[nails]",
    keys: &["rule", "per_cap", "per_starter_metre", "least", "spare", "pack", "pack_name", "weight"],
};
pub(super) const NAIL_RULE: Shape =
    Shape { what: "[[nails.rule]]", keys: &["pitch_from", "exposure", "per_piece", "source"] };
pub(super) const UNDERLAY: Shape = Shape {
    what: "[underlay]",
    keys: &["width", "length", "lap", "double_below", "end_lap", "over", "upstand", "ice_inside", "weight"],
};
pub(super) const EAVE_STRIP: Shape = Shape { what: "[eave_strip]", keys: &["piece", "lap", "weight"] };
pub(super) const VERGE_STRIP: Shape = Shape { what: "[verge_strip]", keys: &["piece", "lap", "weight"] };
pub(super) const ADHESIVE: Shape = Shape {
    what: "[adhesive]",
    keys: &["tube", "dab", "per_tab", "per_cap", "per_starter_metre", "per_bedded_metre", "weight", "source"],
};
pub(super) const VALLEY_LINING: Shape =
    Shape { what: "[valley_lining]", keys: &["width", "piece", "lap", "clear", "widen", "weight", "source"] };
pub(super) const ABUTMENT_FLASHING: Shape =
    Shape { what: "[abutment_flashing]", keys: &["piece", "lap", "upstand", "cover", "weight", "source"] };
pub(super) const DECK: Shape =
    Shape { what: "[deck]", keys: &["kind", "width", "length", "thickness", "spacing", "weight"] };
pub(super) const RAIN_GOODS: Shape =
    Shape { what: "[rain_goods]", keys: &["gutter_piece", "outlet_drains", "source", "board"] };
