//! Lesson, section, measuring, water and photos: found by accessible names and drawn without a display.
#![cfg(feature = "viewer")]
#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "support/desk.rs"]
mod desk;
#[path = "viewer_views/lesson.rs"]
mod lesson;
#[path = "viewer_views/photos.rs"]
mod photos;
#[path = "viewer_views/plain.rs"]
mod plain;
#[path = "support/renderer.rs"]
mod renderer;
#[path = "viewer_views/roof.rs"]
mod roof;
