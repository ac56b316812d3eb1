//! Lesson, section, measuring, water and photos: found by accessible names and drawn without a display.

mod lesson;
mod marking;
mod photos;
mod plain;
mod roof;

use super::renderer;
use super::state;
