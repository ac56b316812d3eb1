//! Edges and corners found in the pixels of rendered photos.
#![allow(clippy::unwrap_used, clippy::expect_used)]
#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_possible_wrap)]

mod found;
mod joined;
mod scene;
#[path = "../../../../tests/survey/photo_scene/surface.rs"]
#[allow(dead_code)]
mod surface;
