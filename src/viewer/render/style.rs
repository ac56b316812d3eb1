//! egui's style from a theme: calm, flat, one accent.

use super::theme::{BODY, HEADING, Palette, SMALL, Theme, colour};
use eframe::egui;
use eframe::egui::{Color32, CornerRadius, FontFamily, FontId, Stroke, TextStyle, Visuals, vec2};

/// Sets the theme on a context.
pub fn apply(context: &egui::Context, theme: Theme) {
    let palette = theme.palette();
    context.set_theme(if theme == Theme::Dark { egui::Theme::Dark } else { egui::Theme::Light });
    context.all_styles_mut(|style| {
        style.text_styles = [
            (TextStyle::Heading, FontId::new(HEADING, FontFamily::Proportional)),
            (TextStyle::Body, FontId::new(BODY, FontFamily::Proportional)),
            (TextStyle::Button, FontId::new(BODY, FontFamily::Proportional)),
            (TextStyle::Monospace, FontId::new(SMALL, FontFamily::Monospace)),
            (TextStyle::Small, FontId::new(SMALL, FontFamily::Proportional)),
        ]
        .into();
        style.spacing.item_spacing = vec2(8.0, 6.0);
        style.spacing.button_padding = vec2(8.0, 4.0);
        style.spacing.interact_size.y = 24.0;
        style.interaction.selectable_labels = false;
        style.animation_time = 0.0;
        style.visuals = visuals(theme, palette);
    });
}

fn visuals(theme: Theme, palette: &Palette) -> Visuals {
    let mut visuals = if theme == Theme::Dark { Visuals::dark() } else { Visuals::light() };
    let (ink, faint, rule, edge) =
        (colour(palette.ink), colour(palette.faint), colour(palette.rule), colour(palette.edge));
    let (panel, field, accent) = (colour(palette.panel), colour(palette.field), colour(palette.accent));
    visuals.override_text_color = None;
    visuals.weak_text_color = Some(faint);
    visuals.panel_fill = panel;
    visuals.window_fill = colour(palette.paper);
    visuals.window_stroke = Stroke::new(1.0, rule);
    visuals.extreme_bg_color = field;
    visuals.text_edit_bg_color = Some(field);
    visuals.faint_bg_color = colour(palette.paper);
    visuals.hyperlink_color = accent;
    visuals.warn_fg_color = colour(palette.caution);
    visuals.error_fg_color = colour(palette.fault);
    visuals.selection.bg_fill = accent.gamma_multiply(if theme == Theme::Dark { 0.45 } else { 0.28 });
    visuals.selection.stroke = Stroke::new(1.2, ink);
    visuals.slider_trailing_fill = true;
    // A caret that blinks would draw the whole window twice a second for ever.
    visuals.text_cursor.blink = false;
    let heavy = if theme == Theme::Contrast { 1.6 } else { 1.0 };
    let states = [
        (&mut visuals.widgets.noninteractive, panel, Stroke::new(1.0, rule), ink),
        (&mut visuals.widgets.inactive, blend(palette.panel, palette.ink, 0.06), Stroke::new(heavy, edge), ink),
        (&mut visuals.widgets.hovered, blend(palette.panel, palette.accent, 0.16), Stroke::new(heavy, accent), ink),
        (&mut visuals.widgets.active, blend(palette.panel, palette.accent, 0.30), Stroke::new(1.6, accent), ink),
        (&mut visuals.widgets.open, blend(palette.panel, palette.accent, 0.16), Stroke::new(heavy, accent), ink),
    ];
    for (state, fill, edge, text) in states {
        state.bg_fill = fill;
        state.weak_bg_fill = fill;
        state.bg_stroke = edge;
        state.fg_stroke = Stroke::new(1.0, text);
        state.corner_radius = CornerRadius::same(4);
        state.expansion = 0.0;
    }
    visuals
}

fn blend(a: [u8; 3], b: [u8; 3], share: f32) -> Color32 {
    let mix = |i: usize| f32::from(a[i]) + (f32::from(b[i]) - f32::from(a[i])) * share;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let channel = |i: usize| mix(i).round() as u8;
    Color32::from_rgb(channel(0), channel(1), channel(2))
}
