//! How the window is set: theme, units of answers, size of its text, its own size; kept for the next one.

use super::state::{AppState, UNITS};
use crate::viewer::backend::Backend;
use crate::viewer::icons::Icon;
use crate::viewer::render::theme::Theme;
use crate::viewer::widgets::{Tool, heading};
use eframe::egui;

/// Sizes of text: how many times the usual, and the word.
pub const TEXT_SIZES: [(f32, &str); 4] = [(0.85, "small"), (1.0, "usual"), (1.2, "large"), (1.45, "very large")];

/// What the window opens with for the first time, points of the screen.
pub const FIRST_SIZE: [f32; 2] = [1280.0, 800.0];

/// The smallest window, points of the screen.
pub const LEAST_SIZE: [f32; 2] = [640.0, 480.0];

/// The menu.
pub fn menu(ui: &mut egui::Ui, app: &mut AppState, has_word: bool) {
    let tool = Tool::new(Icon::Settings, "Settings", "theme, units of answers, size of text").with_word(has_word);
    tool.menu(ui, |ui| {
        heading(ui, "Theme");
        for theme in Theme::ALL {
            ui.radio_value(&mut app.theme, theme, theme.word());
        }
        ui.separator();
        heading(ui, "Units of answers");
        let mut display = app.display;
        for (units, word) in UNITS {
            ui.radio_value(&mut display, units, word);
        }
        if display != app.display {
            app.show_in(display);
        }
        ui.separator();
        heading(ui, "Size of text");
        for (times, word) in TEXT_SIZES {
            ui.radio_value(&mut app.text_size, times, word);
        }
    });
}

impl AppState {
    /// Sets the window as the last one was; `theme` comes before its.
    pub fn recall(&mut self, theme: Option<Theme>) {
        let last = self.backend.setting("theme");
        let last = Theme::ALL.into_iter().find(|theme| last.as_deref() == Some(theme.word()));
        self.theme = theme.or(last).unwrap_or_default();
        let units = self.backend.setting("units");
        if let Some((units, _)) = UNITS.into_iter().find(|(_, word)| units.as_deref() == Some(word)) {
            self.show_in(units);
        }
        let text = self.backend.setting("text-size");
        if let Some((times, _)) = TEXT_SIZES.into_iter().find(|(_, word)| text.as_deref() == Some(word)) {
            self.text_size = times;
        }
    }

    /// Keeps how the window is set for the next one.
    pub(super) fn remember(&self) {
        self.backend.set("theme", Some(self.theme.word()));
        let units = UNITS.into_iter().find(|(units, _)| units.is_some() && *units == self.display);
        self.backend.set("units", units.map(|(_, word)| word));
        let text = TEXT_SIZES.into_iter().find(|(times, _)| *times == self.text_size && *times != 1.0);
        self.backend.set("text-size", text.map(|(_, word)| word));
        if let Some([width, height]) = self.size {
            self.backend.set("window-size", Some(&format!("{width:.0} {height:.0}")));
        }
    }

    /// Follows the size of the text and notes that of the window.
    pub(super) fn size_up(&mut self, context: &egui::Context) {
        if self.sized_text != Some(self.text_size) {
            context.set_zoom_factor(self.text_size);
            self.sized_text = Some(self.text_size);
            return;
        }
        let size = context.content_rect().size() * context.zoom_factor();
        self.size = Some([size.x, size.y]);
    }
}

/// The size the last window had, points of the screen; the usual one where none is known.
#[must_use]
pub fn last_size(backend: &dyn Backend) -> [f32; 2] {
    let read = || {
        let text = backend.setting("window-size")?;
        let mut sides = text.split(' ').map(str::parse::<f32>);
        let size = [sides.next()?.ok()?, sides.next()?.ok()?];
        let is_one = |side: f32, least: f32| side.is_finite() && (least..=20_000.0).contains(&side);
        (is_one(size[0], LEAST_SIZE[0]) && is_one(size[1], LEAST_SIZE[1])).then_some(size)
    };
    read().unwrap_or(FIRST_SIZE)
}
