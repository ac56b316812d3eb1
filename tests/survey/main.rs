//! Surveys as roof files and recorded cases hold them, and what is said of them.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod answers;
mod coverage;
mod example_photos;
mod monte_carlo;
mod network;
mod photo;
mod photo_scene;
mod plan;
mod walk;
