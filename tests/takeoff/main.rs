//! Layout, order and steps of work of whole roofs with their cards.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod card_values;
mod cases;
mod closed_forms;
mod counted;
mod feet;
mod follow_the_sheet;
mod forty_jobs;
mod laying;
mod prices;
mod renewal;
mod repair;
mod several_coverings;
mod solved;
mod stock_lengths;
mod trade_values;
mod work;
