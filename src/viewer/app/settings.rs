//! How the window is set: theme, units of answers, size of its text, its own size; kept for the next one.

use crate::base::units::LengthUnit;
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

/// What answers can be shown in.
pub const UNITS: [(Option<LengthUnit>, &str); 3] =
    [(None, "as in the file"), (Some(LengthUnit::Metre), "metric"), (Some(LengthUnit::Foot), "feet and inches")];

/// What the menu sets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// Colours.
    pub theme: Theme,
    /// What answers are shown in.
    pub display: Option<LengthUnit>,
    /// How many times the usual size text has.
    pub text_size: f32,
}

/// The menu.
pub(crate) fn menu(ui: &mut egui::Ui, set: &mut Settings, has_word: bool) {
    let tool = Tool::new(Icon::Settings, "Settings", "theme, units of answers, size of text").with_word(has_word);
    tool.menu(ui, |ui| {
        heading(ui, "Theme");
        for theme in Theme::ALL {
            ui.radio_value(&mut set.theme, theme, theme.word());
        }
        ui.separator();
        heading(ui, "Units of answers");
        for (units, word) in UNITS {
            ui.radio_value(&mut set.display, units, word);
        }
        ui.separator();
        heading(ui, "Size of text");
        for (times, word) in TEXT_SIZES {
            ui.radio_value(&mut set.text_size, times, word);
        }
    });
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
