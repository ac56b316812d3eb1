//! The material cards that come with the program: a list of them, or one to copy and change.

use crate::input::card;
use crate::takeoff::card::CoveringKind;
use serde_json::{Value, json};

/// Every card with what it is.
#[must_use]
pub fn text() -> String {
    let mut table = super::table::Table::new(&[
        ("card", super::table::Align::Left),
        ("what lies on the roof", super::table::Align::Left),
        ("by its title", super::table::Align::Left),
    ]);
    for card in card::names().filter_map(card::named) {
        let kind = kind(&card.covering).to_owned();
        table.row([card.name, kind, card.title]);
    }
    format!(
        "{}\nOne of them is printed by `eavewright cards NAME`: save it beside the roof file, change what differs, and name\n\
         its path in the roof file: [covering] card = \"mine.toml\". `eavewright keys card` says what every key means.\n",
        table.render()
    )
}

fn kind(covering: &CoveringKind) -> &'static str {
    match covering {
        CoveringKind::Strip(_) => "strips",
        CoveringKind::Unit(_) => "single pieces",
        CoveringKind::Sheet(_) => "sheets",
        CoveringKind::Felt(_) => "roll felt",
    }
}

/// The same for a program.
#[must_use]
pub fn document() -> Value {
    let one = |card: crate::takeoff::card::Card| json!({ "name": card.name, "kind": kind(&card.covering), "title": card.title });
    let cards: Vec<Value> = card::names().filter_map(card::named).map(one).collect();
    json!({ "format": "eavewright-cards/1", "cards": cards })
}

/// The text of one card.
///
/// # Errors
/// The cards there are, in a sentence.
pub fn one(name: &str) -> Result<&'static str, String> {
    card::text(name).ok_or_else(|| {
        let known: Vec<&str> = card::names().collect();
        format!("there is no material card {name:?}, expected one of {}", known.join(", "))
    })
}
