//! The roof kernel: closed forms, outside answers, an exact simulator, random outlines.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod building_outlines;
mod buildings;
mod closed_forms;
mod derivatives;
mod dormers;
mod drainage;
mod invariance;
mod joined_random;
mod metamorphic;
mod oracle;
mod oracle_differential;
mod outside_differential;
mod points;
mod random_roofs;
mod reference_roofs;
mod standing;
mod upper;
