//! Layout, order and steps of work of whole roofs with their cards.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod closed_forms;
mod follow_the_sheet;
mod laying;
mod prices;
mod solved;
mod trade_values;
mod work;
