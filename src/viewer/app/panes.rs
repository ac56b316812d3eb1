//! Which panes beside the view are open: both where there is room, one at a time in a narrow window.

use crate::viewer::render::theme::Palette;
use crate::viewer::render::theme::colour;
use eframe::egui;

/// A pane beside the view.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pane {
    /// What is typed.
    Left,
    /// What the roof means.
    Right,
}

/// A window narrower than this has room for one pane beside the view, points.
const NARROW: f32 = 1000.0;

/// What is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Panes {
    /// In a wide window.
    wide: [bool; 2],
    /// In a narrow one.
    narrow: Option<Pane>,
}

impl Default for Panes {
    fn default() -> Self {
        Self { wide: [true, true], narrow: Some(Pane::Left) }
    }
}

impl Panes {
    /// Whether the left and the right pane are open in a window of some width, points.
    #[must_use]
    pub fn open(&self, width: f32) -> [bool; 2] {
        if width < NARROW { [self.narrow == Some(Pane::Left), self.narrow == Some(Pane::Right)] } else { self.wide }
    }

    /// Opens a pane or closes it. In a narrow window it takes the other's place.
    pub fn turn(&mut self, pane: Pane, width: f32) {
        if width < NARROW {
            self.narrow = (self.narrow != Some(pane)).then_some(pane);
        } else {
            self.wide[pane as usize] ^= true;
        }
    }
}

/// Widths that a pane may have, points, and the one it opens with: less of them in a narrow window.
#[must_use]
pub fn widths(pane: Pane, width: f32) -> (f32, std::ops::RangeInclusive<f32>) {
    let most = (width - 320.0).max(240.0);
    match pane {
        Pane::Left => (388.0_f32.min(most), 320.0_f32.min(most)..=560.0_f32.min(most)),
        Pane::Right => (300.0_f32.min(most), 240.0_f32.min(most)..=480.0_f32.min(most)),
    }
}

/// The frame of a pane.
pub fn frame(palette: &Palette) -> egui::Frame {
    egui::Frame::NONE.fill(colour(palette.panel)).inner_margin(egui::Margin::symmetric(12, 10))
}
