//! Settings of the window from one to the next.

use super::settings::{TEXT_SIZES, UNITS};
use super::state::AppState;
use crate::viewer::render::theme::Theme;
use eframe::egui;

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
