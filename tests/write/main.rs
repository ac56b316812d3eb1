//! What the writers write, read back.
#![allow(clippy::unwrap_used, clippy::expect_used)]

#[allow(dead_code)]
#[path = "../drawing/by_hand.rs"]
mod by_hand;
mod dxf_pieces;
mod gltf;
mod models;
mod page;
mod read_back;
mod solids;
mod spreadsheet;
