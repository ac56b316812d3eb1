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

/// Where the keyboard goes by F6.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// The open page of what is typed.
    Left,
    /// The open view.
    View,
    /// What it means.
    Right,
}

/// What is open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Panes {
    /// In a wide window.
    wide: [bool; 2],
    /// In a narrow one.
    narrow: Option<Pane>,
    /// Where the keyboard was sent last.
    last: Stop,
    /// Where it is to go in this pass.
    wanted: Option<Stop>,
    /// The window's width when last shown, points.
    width: f32,
}

impl Default for Panes {
    fn default() -> Self {
        Self { wide: [true, true], narrow: Some(Pane::Left), last: Stop::View, wanted: None, width: NARROW }
    }
}

impl Panes {
    /// Whether the left and the right pane are open in a window of some width, points.
    #[must_use]
    pub fn open(&self, width: f32) -> [bool; 2] {
        if width < NARROW { [self.narrow == Some(Pane::Left), self.narrow == Some(Pane::Right)] } else { self.wide }
    }

    /// Notes the window's width, points.
    pub fn measure(&mut self, width: f32) {
        self.width = width;
    }

    /// Sends the keyboard to the next pane that is open, or to the one before.
    pub fn step(&mut self, forward: bool) {
        let [left, right] = self.open(self.width);
        let open = [(left, Stop::Left), (true, Stop::View), (right, Stop::Right)];
        let stops: Vec<Stop> = open.into_iter().filter(|(is_open, _)| *is_open).map(|(_, stop)| stop).collect();
        let at = stops.iter().position(|stop| *stop == self.last).unwrap_or(0);
        let by = if forward { 1 } else { stops.len() - 1 };
        self.last = stops[(at + by) % stops.len()];
        self.wanted = Some(self.last);
    }

    /// Gives a widget the focus where the keyboard is to go to its pane; once, and noted when it has it anyhow.
    pub fn stop(&mut self, stop: Stop, response: &egui::Response) {
        if self.wanted == Some(stop) {
            response.request_focus();
            self.wanted = None;
        } else if response.has_focus() {
            self.last = stop;
        }
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
