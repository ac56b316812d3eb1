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
//! | `framing` | `[framing]` |
//! | `compare` | `[compare]` |
//! | `offer` | `[offer]`, `[[as_laid]]`, `[prices.hours]` |
//! | `repair` | `[[repair]]` |
//! | `cards`, `goods` | the material card |
//! | `limits` | which numbers a building can have |
//! | `words` | words with what they are read as |

pub mod block;
pub mod cards;
pub mod compare;
pub mod covering;
mod entry;
pub mod fittings;
pub mod framing;
pub mod goods;
pub mod lap;
pub mod limits;
pub mod observed;
pub mod offer;
pub mod photos;
pub mod points;
pub mod repair;
pub mod site;
pub mod words;

use crate::base::schema::Table;
use entry::{
    angle, bearing, choice, count, date, flag, length, lengths, name, number, numbers, of, pitch, rule_pitch, share,
    source, table, tables, text,
};

/// The roof file: its first level, which holds all other tables.
#[must_use]
pub fn roof_file() -> &'static Table {
    &site::ROOF
}

/// A price file: its first level, the same as `[prices]`.
#[must_use]
pub fn price_file() -> &'static Table {
    &covering::PRICES
}

/// The material card: its first level, which holds all other tables.
#[must_use]
pub fn material_card() -> &'static Table {
    &cards::CARD
}
