//! Every table of a roof file and of a material card, with its keys: the one place that says what a file may say. A new
//! key is one entry here, and the line that uses its value.
//!
//! | file | tables |
//! |---|---|
//! | `site` | the file's first level, `[site]` |
//! | `block` | `[[block]]`, its sides, breaks, holes, overhang, rafter |
//! | `fittings` | `[[dormer]]`, `[[opening]]` |
//! | `points` | `[points]`, `[[face]]` |
//! | `observed` | tapes, readings, levels and what else was checked |
//! | `photos` | `[[camera]]`, `[[photo]]` |
//! | `covering` | `[covering]`, `[prices]`, `[old_roof]` |
//! | `cards`, `goods` | the material card |
//! | `limits` | which numbers a building can have |
//! | `words` | words with what they are read as |

pub mod block;
pub mod cards;
pub mod covering;
pub mod fittings;
pub mod goods;
pub mod limits;
pub mod observed;
pub mod photos;
pub mod points;
pub mod site;
pub mod words;

use crate::base::schema::{Bounds, Key, Kind, Naming, Table};

/// The roof file: its first level, which holds all other tables.
#[must_use]
pub fn roof_file() -> &'static Table {
    &site::ROOF
}

/// The material card: its first level, which holds all other tables.
#[must_use]
pub fn material_card() -> &'static Table {
    &cards::CARD
}

const fn text(key: &'static str, most: usize, label: &'static str, example: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::Text(most), label, example, about)
}

const fn name(
    key: &'static str,
    naming: Naming,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Name(naming), label, example, about)
}

const fn of(key: &'static str, naming: Naming, label: &'static str, example: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::Of(naming), label, example, about)
}

const fn length(
    key: &'static str,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Length(bounds), label, example, about)
}

const fn lengths(
    key: &'static str,
    count: usize,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Lengths(count, bounds), label, example, about)
}

const fn angle(
    key: &'static str,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Angle(bounds), label, example, about)
}

const fn number(
    key: &'static str,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Number(bounds), label, example, about)
}

const fn numbers(
    key: &'static str,
    count: usize,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Numbers(count, bounds), label, example, about)
}

const fn count(
    key: &'static str,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Count(bounds), label, example, about)
}

const fn share(
    key: &'static str,
    bounds: Bounds,
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Share(bounds), label, example, about)
}

const fn pitch(key: &'static str, label: &'static str, example: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::Pitch, label, example, about)
}

const fn rule_pitch(key: &'static str, label: &'static str, example: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::RulePitch, label, example, about)
}

const fn bearing(key: &'static str, label: &'static str, example: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::Bearing, label, example, about)
}

const fn flag(key: &'static str, label: &'static str, example: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::Flag, label, example, about)
}

const fn date(key: &'static str, label: &'static str, example: &'static str, about: &'static str) -> Key {
    Key::new(key, Kind::Date, label, example, about)
}

const fn choice(
    key: &'static str,
    words: &'static [&'static str],
    label: &'static str,
    example: &'static str,
    about: &'static str,
) -> Key {
    Key::new(key, Kind::Choice(words), label, example, about)
}

const fn table(key: &'static str, of: &'static Table, about: &'static str) -> Key {
    Key::new(key, Kind::Table(of), key, "", about)
}

const fn tables(key: &'static str, of: &'static Table, about: &'static str) -> Key {
    Key::new(key, Kind::Tables(of), key, "", about)
}

/// Where a card's rule comes from.
const fn source() -> Key {
    text("source", limits::LINE, "source", "\"common practice\"", "where the rule comes from, or \"common practice\"")
        .needed()
}
