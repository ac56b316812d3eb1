//! Follows the sheet: roofs are laid piece after piece by nothing but what `takeoff --json --rows` says of them.
// Counts of small cases: far below any limit.
#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
#![allow(dead_code, clippy::unwrap_used, clippy::expect_used)]

#[path = "../support/blocks.rs"]
mod blocks;
mod broken;
mod follow;
mod gables;
#[path = "../support/random.rs"]
mod random;
mod roofs;
mod shape;
mod sheet;

use eavewright::input::{self, Files};
use eavewright::job::{self, Options, order};
use eavewright::write::takeoff_json::TakeoffTwin;
use follow::{Followed, follow};
use serde_json::Value;
use sheet::Sheet;
use std::io;

/// A card of plain tiles beside the roof file: one layer, straight bond, no starter. Invented.
const TILE: &str = r#"
name = "tile"
title = "Interlocking tiles on battens"
[unit]
width = "300 mm"
height = "420 mm"
gauge = "340 mm"
gauge_shrink = "20 mm"
layers = 1
bond = 0
eave_projection = "40 mm"
verge_projection = "30 mm"
min_cut = "100 mm"
pack = 60
weight = 3.0
starter = false
[[unit.lap]]
pitch_from = 0
lap = "75 mm"
source = "common practice"
[[min_pitch]]
pitch = 20
source = "common practice"
"#;

struct Cards;

impl Files for Cards {
    fn read(&self, name: &str) -> io::Result<Vec<u8>> {
        if name == "tile.toml" { Ok(TILE.into()) } else { Err(io::ErrorKind::NotFound.into()) }
    }
}

/// Each covering: what `[covering] card` says, and what it is called in the order.
pub const CARDS: [(&str, &str); 5] = [
    ("strip-shingle", "strip-shingle"),
    ("single-tab", "single-tab"),
    ("slate", "slate"),
    ("tile.toml", "tile"),
    ("profiled-sheet", "profiled-sheet"),
];

/// `takeoff --json --rows` of a roof file; `None` where the tool gives no answer.
pub fn taken_off(text: &str) -> Option<Value> {
    let (job, ..) = input::read("roof.toml", text, &Cards).unwrap_or_else(|errors| panic!("{errors:?}\n{text}"));
    let answer = job::solve(&job, &Options { steps: false, spread: false }).ok()?;
    Some(serde_json::to_value(TakeoffTwin::new(&order::take_off(&job, &answer), true)).unwrap())
}

/// Follows a roof file's sheet with a card.
fn followed(text: &str, card: &str, item: &str, options: &str) -> Option<Followed> {
    let text = format!("{text}\n[covering]\ncard = \"{card}\"\n{options}");
    let mut found = follow(&Sheet::read(&taken_off(&text)?), item);
    for fault in &mut found.faults {
        *fault = format!("{card} {options}: {fault}");
    }
    Some(found)
}

/// Fails with the first faults of many.
fn none_wrong(found: &Followed) {
    let first: Vec<&String> = found.faults.iter().take(40).collect();
    assert!(found.faults.is_empty(), "{} faults, the first:\n{first:#?}", found.faults.len());
}
