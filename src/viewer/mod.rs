//! The window, and pictures without a display.

pub mod camera;
pub mod gpu;
pub mod labels;
pub mod legend;
pub mod pick;
pub mod scene;
pub mod shadow;
pub mod shot;
pub mod stage;
pub mod theme;
pub mod words;
