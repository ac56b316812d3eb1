//! Drawings and the sheet: what stands on them, where, and that measures read back.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod as_it_stands;
mod by_hand;
mod critic;
mod drawn_as_laid;
mod first_page;
mod photo_overlay;
mod plan_and_faces;
mod rising;
mod sheet;
mod views;
