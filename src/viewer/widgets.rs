//! Controls of the window: tools with an icon and a word, tabs, menus, headings, and the names by which tools that read the
//! window aloud tell them.

use super::icons::Icon;
use eframe::egui;
use eframe::egui::accesskit::Role;
use eframe::egui::{Color32, Popup, PopupCloseBehavior, Rect, Response, Sense, Stroke, TextStyle, pos2, vec2};

/// Gives a widget its name for those who don't see it.
pub fn named(ui: &egui::Ui, response: &Response, name: &str) {
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(name.to_owned()));
}

/// Gives a part of the window its name for those who don't see it.
pub fn region(ui: &egui::Ui, name: &str) {
    ui.ctx().accesskit_node_builder(ui.unique_id(), |node| {
        node.set_role(Role::Region);
        node.set_label(name.to_owned());
    });
}

/// A heading, told as one.
pub fn heading(ui: &mut egui::Ui, words: &str) -> Response {
    let response = ui.add(egui::Label::new(egui::RichText::new(words).strong()).selectable(false));
    ui.ctx().accesskit_node_builder(response.id, |node| {
        node.set_role(Role::Heading);
        node.set_label(words.to_owned());
    });
    response
}

/// What a tool looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tool<'a> {
    /// Its icon, where it has one.
    pub icon: Option<Icon>,
    /// Its word; for those who hear the window too.
    pub word: &'a str,
    /// What it does, and its key, for those who point at it.
    pub tip: &'a str,
    /// Whether the word stands beside the icon.
    pub has_word: bool,
    /// Whether it is switched on or open.
    pub is_on: bool,
}

impl<'a> Tool<'a> {
    /// A tool with icon and word.
    #[must_use]
    pub fn new(icon: Icon, word: &'a str, tip: &'a str) -> Self {
        Self { icon: Some(icon), word, tip, has_word: true, is_on: false }
    }

    /// A word alone.
    #[must_use]
    pub fn word(word: &'a str, tip: &'a str) -> Self {
        Self { icon: None, word, tip, has_word: true, is_on: false }
    }

    /// Whether it is switched on or open.
    #[must_use]
    pub fn on(self, is_on: bool) -> Self {
        Self { is_on, ..self }
    }

    /// With its word only where there is room.
    #[must_use]
    pub(crate) fn with_word(self, has_word: bool) -> Self {
        Self { has_word: has_word || self.icon.is_none(), ..self }
    }

    /// Shows it as a button: a frame only where it is pointed at or switched on.
    pub fn show(self, ui: &mut egui::Ui) -> Response {
        self.draw(ui, Mark::Frame, false)
    }

    /// Shows it as a tab: the open one stands on a bar of the accent.
    pub fn tab(self, ui: &mut egui::Ui) -> Response {
        let response = self.draw(ui, Mark::Bar, false);
        ui.ctx().accesskit_node_builder(response.id, |node| {
            node.set_role(Role::Tab);
            node.set_selected(self.is_on);
        });
        response
    }

    /// Shows it as a menu that closes once something in it is pressed.
    pub(crate) fn menu(self, ui: &mut egui::Ui, content: impl FnOnce(&mut egui::Ui)) -> Response {
        let response = self.draw(ui, Mark::Frame, true);
        Popup::menu(&response).show(content);
        response
    }

    /// Shows it as a menu of switches, which stays until something else is pressed.
    pub(crate) fn switches(self, ui: &mut egui::Ui, content: impl FnOnce(&mut egui::Ui)) -> Response {
        let response = self.draw(ui, Mark::Frame, true);
        Popup::menu(&response).close_behavior(PopupCloseBehavior::CloseOnClickOutside).show(content);
        response
    }

    fn draw(self, ui: &mut egui::Ui, mark: Mark, is_menu: bool) -> Response {
        let pad = if mark == Mark::Bar && self.icon.is_none() { 4.5 } else { 6.5 };
        let font = TextStyle::Button.resolve(ui.style());
        let galley =
            self.has_word.then(|| ui.painter().layout_no_wrap(self.word.to_owned(), font, Color32::PLACEHOLDER));
        let icon = self.icon.map_or(0.0, |_| ICON);
        let words = galley.as_ref().map_or(0.0, |galley| galley.size().x);
        let gap = if icon > 0.0 && words > 0.0 { 5.0 } else { 0.0 };
        let arrow = if is_menu { 11.0 } else { 0.0 };
        let (rect, response) =
            ui.allocate_exact_size(vec2(pad * 2.0 + icon + gap + words + arrow, 26.0), Sense::click());
        let (is_on, word, enabled) = (self.is_on, self.word, ui.is_enabled());
        response.widget_info(|| egui::WidgetInfo::selected(Role::Button, enabled, is_on, word));
        let shown = *ui.style().interact(&response);
        let accent = ui.visuals().hyperlink_color;
        let ink = if enabled { shown.fg_stroke.color } else { ui.visuals().weak_text_color() };
        let is_met = enabled && (response.hovered() || response.has_focus() || response.is_pointer_button_down_on());
        match mark {
            Mark::Frame if is_met || is_on => {
                let edge = if is_on || response.has_focus() { Stroke::new(1.4, accent) } else { Stroke::NONE };
                let fill = if is_met { shown.weak_bg_fill } else { ui.visuals().widgets.hovered.weak_bg_fill };
                ui.painter().rect(rect, 4.0, fill, edge, egui::StrokeKind::Inside);
            }
            Mark::Bar if is_met => {
                let edge = if response.has_focus() { Stroke::new(1.4, accent) } else { Stroke::NONE };
                ui.painter().rect(rect, 4.0, shown.weak_bg_fill, edge, egui::StrokeKind::Inside);
            }
            _ => {}
        }
        if mark == Mark::Bar && is_on {
            let bar = Rect::from_min_max(
                pos2(rect.left() + 3.0, rect.bottom() - 3.0),
                pos2(rect.right() - 3.0, rect.bottom()),
            );
            ui.painter().rect_filled(bar, 1.0, accent);
        }
        let mut left = rect.left() + pad;
        if let Some(icon) = self.icon {
            let square = Rect::from_center_size(pos2(left + ICON / 2.0, rect.center().y), vec2(ICON, ICON));
            icon.draw(ui.painter(), square, ink);
            left += ICON + gap;
        }
        if let Some(galley) = galley {
            ui.painter().galley(pos2(left, rect.center().y - galley.size().y / 2.0), galley, ink);
        }
        if is_menu {
            let at = pos2(rect.right() - pad - 3.5, rect.center().y);
            let lines = vec![at + vec2(-3.5, -1.8), at + vec2(0.0, 1.8), at + vec2(3.5, -1.8)];
            ui.painter().add(egui::Shape::line(lines, Stroke::new(1.3, ink)));
        }
        if self.tip.is_empty() { response } else { response.on_hover_text(self.tip) }
    }
}

/// Side of an icon beside a word, points.
const ICON: f32 = 16.0;

#[derive(Clone, Copy, PartialEq, Eq)]
enum Mark {
    Frame,
    Bar,
}
