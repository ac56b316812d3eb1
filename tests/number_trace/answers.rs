//! The numbers of the answers' JSON by what they measure: areas are looked for among areas, angles among angles.

use super::printed::{Class, Printed};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// What keys mean. A key that is not here is an error, so that nothing is matched by chance.
const KEYS: &[(Class, &[&str])] = &[
    (
        Class::Area,
        &[
            "area",
            "area_95",
            "area_95_after",
            "area_95_now",
            "plan_area",
            "plan_area_95",
            "net_area_95",
            "openings_area",
            "net_area",
            "net_area_95",
            "walls_area",
            "walls_area_95",
            "drains",
            "rain_area",
            "headroom_area",
            "deck_to_renew",
            "scrap",
            "area_sd",
            "area_sd_after",
            "outside_area",
            "each_area",
            "pond_area",
            "vent_area",
        ],
    ),
    (
        Class::Length,
        &[
            "length",
            "length_95",
            "length_sd",
            "plan_length",
            "plan_length_95",
            "ridge_height",
            "ridge_height_95",
            "run",
            "rise",
            "height",
            "width",
            "offsets",
            "over_all",
            "elevations",
            "construction",
            "levels",
            "steps",
            "whole",
            "size",
            "at",
            "off_95",
            "difference",
            "spacing",
            "planning_height",
            "headroom",
            "drop_100_mm",
            "drop_1_in",
            "misclosure",
            "misclosures",
            "gauge",
            "rafter",
            "head_lap",
            "end_lap",
            "corner_clip",
            "cut_length",
            "exposure",
            "last_covers",
            "butt",
            "first",
            "last",
            "from",
            "to",
            "clear",
            "clear_at_foot",
            "clear_at_head",
            "widen",
            "no_joint_within",
            "no_nail_within",
            "past",
            "short",
            "tab",
            "least_end",
            "least_offset",
            "shortest_offcut",
            "starter_offset",
            "from_butt",
            "from_ends",
            "shifts",
            "step",
            "joints",
            "overhang",
            "covers",
            "head",
            "v",
            "uncut_from",
            "thickness",
            "heel",
            "long_point",
            "lowered",
            "notch",
            "packing",
            "seat",
            "tail",
            "section",
            "shortening_foot",
            "shortening_head",
            "theoretical",
            "top",
            "centres",
            "from_left",
            "from_right",
            "up_slope",
            "distance",
            "edge_depth",
            "saw_cut",
            "left",
        ],
    ),
    (
        Class::Angle,
        &[
            "pitch",
            "pitch_95",
            "present_pitches",
            "pitch_sd",
            "slope",
            "slope_95",
            "dihedral",
            "from_flat",
            "plumb_cut",
            "level_cut",
            "backing",
            "fold_side_cut",
            "jack_side_cut",
            "plan_angle",
            "sheathing",
            "square_mitre",
            "square_bevel",
            "bevel",
            "angles",
            "aspect",
            "plumb",
            "tilt",
            "across_top",
        ],
    ),
    (Class::Volume, &["volume", "volume_95", "skip_volume"]),
    (Class::Weight, &["weight", "weight_95", "weight_on_deck", "weight_on_deck_95", "van_payload"]),
    (Class::Spread, &["spread"]),
    (
        Class::Percent,
        &["tax_rate", "waste", "share", "bought_over_area", "for_cuts", "for_starter", "for_caps", "for_packs"],
    ),
    (
        Class::Bare,
        &[
            "count",
            "across_top_12",
            "faces",
            "openings",
            "packs",
            "packs_low",
            "packs_high",
            "rule_of_thumb",
            "chi2",
            "chi2_bounds",
            "dof",
            "widened_by",
            "w",
            "redundancy",
            "cost",
            "cost_95",
            "work",
            "underlay_layers",
            "underlay_packs",
            "first_course",
            "last_course",
            "lifted_courses",
            "lifted_pieces",
            "on_top",
            "price",
            "sum",
            "net",
            "on_top",
            "each",
            "margin",
            "markup",
            "van_trips",
            "before_tax",
            "tax",
            "total",
            "courses",
            "pieces_cut",
            "pieces_whole",
            "pieces_from_offcuts",
            "pieces_of_worst_bond",
            "bonds_tried",
            "cuts",
            "caps",
            "closing",
            "doubled",
            "narrow_ends",
            "layers",
            "pieces",
            "snow_mu1",
            "snow_mu2",
            "per_piece",
            "course",
            "row",
            "piece",
            "rows",
            "caps_each",
            "uneven",
            "folds",
            "surplus",
            "widening",
            "saved",
            "least",
            "verge_starters",
            "roll",
            "rolls",
        ],
    ),
    // Ids and places: nobody reads them as numbers.
    (
        Class::Pixels,
        &[
            "id",
            "edge",
            "edges",
            "ring",
            "holes",
            "polygon",
            "sd",
            "drop_per_thickness",
            "by",
            "outline",
            "turn",
            "opening",
        ],
    ),
];

/// What numbers of findings and steps of work mean, by their names or the ends of these; the others as in [`KEYS`].
const VALUES: &[(Class, &[&str])] = &[
    (Class::Bare, &["nails_least", "nails_square", "your_count", "card_count"]),
    (Class::Area, &["area", "by_thumb", "drains", "renew"]),
    (Class::Angle, &["pitch", "angle", "slope", "turn", "degrees", "limit", "least"]),
    (Class::Volume, &["volume"]),
    (Class::Weight, &["weight", "load"]),
    (Class::Percent, &["share", "allowance"]),
    (Class::Temperature, &["cold_below", "warm_below"]),
    (
        Class::Length,
        &[
            "by",
            "clip",
            "cover",
            "dab",
            "ladder_above",
            "lap",
            "from_butt",
            "from_ends",
            "from_side",
            "over",
            "past_side",
            "projection",
            "starter_up",
            "first_batten",
            "height",
            "width",
            "stagger",
            "protected_from",
            "step_length",
            "upstand",
            "widen_over",
            "start",
            "gap",
            "barrier",
            "piece",
            "least_length",
            "depth",
            "length",
            "run",
            "rise",
            "folds",
        ],
    ),
    (
        Class::Bare,
        &[
            "course",
            "repeat",
            "nails",
            "nails_least",
            "outlets",
            "kick_outs",
            "step_pieces",
            "starter",
            "screws",
            "vents",
            "stays",
        ],
    ),
];

/// The numbers of one or more answers.
#[derive(Clone, Default)]
pub struct Answers {
    values: BTreeMap<Class, Vec<f64>>,
    pub unknown: BTreeSet<String>,
    /// Names and names of goods, that may have digits.
    pub names: BTreeSet<String>,
}

impl Answers {
    /// Takes up an answer.
    pub fn take(&mut self, answer: &Value) {
        self.walk(answer, &mut Vec::new(), None);
        for values in self.values.values_mut() {
            values.sort_by(f64::total_cmp);
        }
    }

    fn walk(&mut self, value: &Value, path: &mut Vec<String>, unit: Option<&str>) {
        match value {
            Value::Object(map) => {
                let unit = map.get("unit").and_then(Value::as_str);
                for (key, value) in map {
                    path.push(key.clone());
                    self.walk(value, path, unit);
                    path.pop();
                }
            }
            Value::Array(list) => list.iter().for_each(|value| self.walk(value, path, unit)),
            Value::Number(number) => {
                let class = self.class_of(path, unit);
                if let (Some(class), Some(value)) = (class, number.as_f64()) {
                    let value = if class == Class::Percent { value * 100.0 } else { value };
                    self.values.entry(class).or_default().push(value);
                }
            }
            Value::String(text) => {
                let told = path.iter().any(|key| matches!(key.as_str(), "message" | "cautions" | "detail" | "told"));
                if !told && text.contains(|letter: char| letter.is_ascii_digit()) {
                    self.names.insert(text.clone());
                }
            }
            _ => {}
        }
    }

    fn class_of(&mut self, path: &[String], unit: Option<&str>) -> Option<Class> {
        let key = path.last()?.as_str();
        let parent = path.len().checked_sub(2).map(|at| path[at].as_str());
        if matches!(key, "quantity" | "left_over") {
            return Some(unit.and_then(super::printed::unit).map_or(Class::Bare, |(class, _)| class));
        }
        // Hours by what they are for.
        if parent == Some("usual_hours") {
            return Some(Class::Bare);
        }
        if parent == Some("misclosures") {
            return Some(Class::Length);
        }
        if key == "edges" && matches!(parent, Some("underlay" | "deck" | "faces")) {
            return Some(Class::Length);
        }
        // Numbers a finding tells are held to their unit by the sentence: whatever they are, in SI and degrees.
        if parent == Some("values") {
            return self.finding(key);
        }
        let found = KEYS.iter().find(|(_, keys)| keys.contains(&key)).map(|(class, _)| *class);
        if found.is_none() {
            self.unknown.insert(path.join("/"));
        }
        found
    }

    /// The class of a number of a finding or a step of work, by its name or the end of it.
    fn finding(&mut self, key: &str) -> Option<Class> {
        let key = key.trim_end_matches(|letter: char| letter.is_ascii_digit()).trim_end_matches('_');
        let ends = |words: &[&str]| words.iter().any(|word| key == *word || key.ends_with(&format!("_{word}")));
        let known = VALUES.iter().find(|(_, words)| ends(words)).map(|(class, _)| *class);
        let known = known.or_else(|| KEYS.iter().find(|(_, keys)| keys.contains(&key)).map(|(class, _)| *class));
        if known.is_none() {
            self.unknown.insert(format!("values/{key}"));
        }
        known
    }

    /// These and more numbers.
    #[cfg(feature = "viewer")]
    #[must_use]
    pub fn with(&self, more: &[(Class, f64)]) -> Self {
        let mut answers = self.clone();
        for (class, value) in more {
            answers.values.entry(*class).or_default().push(*value);
        }
        for values in answers.values.values_mut() {
            values.sort_by(f64::total_cmp);
        }
        answers
    }

    /// Whether a printed number is one of these within its printed digits.
    #[must_use]
    pub fn hold(&self, printed: &Printed) -> bool {
        let Some(values) = self.values.get(&printed.class) else { return false };
        let reach = printed.half * (1.0 + 1e-6) + printed.value.abs() * 1e-12;
        let holds = |wanted: f64| {
            let from = values.partition_point(|value| *value < wanted - reach);
            values.get(from).is_some_and(|value| *value <= wanted + reach)
        };
        holds(printed.value) || holds(-printed.value)
    }
}
