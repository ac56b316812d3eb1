//! What the keys do: one list, which both the window obeys and the page of keys shows.

use crate::viewer::render::camera::View;
use eframe::egui;
use eframe::egui::{Key, KeyboardShortcut, Modifiers};

/// Something a key does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Action {
    /// Shows a standard view.
    Look(View),
    /// Moves the roof into the middle and fills the view.
    Fit,
    /// Turns the view: steps to the left and up.
    Turn(i8, i8),
    /// Nearer or farther.
    Zoom(i8),
    /// Next shade.
    NextShade,
    /// Names and lengths of edges on or off.
    EdgeLabels,
    /// Names and areas of faces on or off.
    FaceLabels,
    /// Chooses the next face, or the one before.
    NextFace(bool),
    /// Chooses nothing.
    Nothing,
    /// Measures between two places.
    Measure,
    /// Measures from or to the next corner, or the one before.
    MeasureCorner(bool),
    /// Next kind of section.
    NextSection,
    /// Moves what the view moves by hundredths: the section plane, the lesson's eaves, the opening net.
    Step(i8),
    /// Lets the lesson run, or stops it.
    Play,
    /// Opens a file.
    Open,
    /// Saves.
    Save,
    /// Begins a new roof.
    New,
    /// Saves under another name.
    SaveAs,
    /// Writes a model.
    Export,
    /// Writes the job sheet.
    Sheet,
    /// Writes all drawings.
    Drawings,
    /// Writes the order with its prices.
    Order,
    /// Writes the offer.
    Offer,
    /// Writes the handover.
    Handover,
    /// Takes the last change back.
    Undo,
    /// Makes it again.
    Redo,
    /// Opens a view of the middle, by its number from 0.
    Show(u8),
    /// Next theme.
    NextTheme,
    /// Shows or hides the list of keys.
    Keys,
    /// Goes to the next pane, or the one before.
    Pane(bool),
}

impl Action {
    /// Whether it is of the view of the roof alone: its key acts there and where nothing has the focus.
    fn is_of_view(self) -> bool {
        !matches!(self, Self::Nothing | Self::Keys | Self::Pane(_) | Self::Step(_))
    }
}

const CTRL: Modifiers = Modifiers::COMMAND;
const SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };
const NONE: Modifiers = Modifiers::NONE;

/// Every key, what it does, and in which words.
pub const KEYS: [(Modifiers, Key, Action, &str); 51] = [
    (NONE, Key::Num1, Action::Look(View::Corner), "view from a corner"),
    (NONE, Key::Num2, Action::Look(View::FarCorner), "view from the far corner"),
    (NONE, Key::Num3, Action::Look(View::Plan), "plan"),
    (NONE, Key::Num4, Action::Look(View::Front), "front"),
    (NONE, Key::Num5, Action::Look(View::Right), "right"),
    (NONE, Key::Num6, Action::Look(View::Back), "back"),
    (NONE, Key::Num7, Action::Look(View::Left), "left"),
    (NONE, Key::Num8, Action::Look(View::Ground), "from the ground"),
    (NONE, Key::F, Action::Fit, "fit the view"),
    (NONE, Key::ArrowLeft, Action::Turn(1, 0), "turn the view left"),
    (NONE, Key::ArrowRight, Action::Turn(-1, 0), "turn the view right"),
    (NONE, Key::ArrowUp, Action::Turn(0, 1), "look from higher"),
    (NONE, Key::ArrowDown, Action::Turn(0, -1), "look from lower"),
    (NONE, Key::Plus, Action::Zoom(1), "nearer"),
    (NONE, Key::Equals, Action::Zoom(1), "nearer"),
    (NONE, Key::Minus, Action::Zoom(-1), "farther"),
    (NONE, Key::C, Action::NextShade, "next shade"),
    (NONE, Key::L, Action::EdgeLabels, "edge names and lengths on or off"),
    (NONE, Key::N, Action::FaceLabels, "face names and areas on or off"),
    (NONE, Key::CloseBracket, Action::NextFace(true), "choose the next face"),
    (NONE, Key::OpenBracket, Action::NextFace(false), "choose the face before"),
    (NONE, Key::M, Action::Measure, "measure between two places"),
    (NONE, Key::Period, Action::MeasureCorner(true), "measure from, then to, the next corner"),
    (NONE, Key::Comma, Action::MeasureCorner(false), "measure from, then to, the corner before"),
    (NONE, Key::X, Action::NextSection, "next section: level, across, along, none"),
    (NONE, Key::PageUp, Action::Step(2), "move the section or the lesson on"),
    (NONE, Key::PageDown, Action::Step(-2), "move the section or the lesson back"),
    (NONE, Key::P, Action::Play, "let the lesson run, or stop it"),
    (NONE, Key::Escape, Action::Nothing, "call a drag off, leave a question, choose nothing"),
    (CTRL, Key::N, Action::New, "begin a new roof"),
    (CTRL, Key::O, Action::Open, "open a file"),
    (SHIFT, Key::S, Action::SaveAs, "save under another name"),
    (CTRL, Key::S, Action::Save, "save"),
    (SHIFT, Key::E, Action::Order, "write the order with prices"),
    (CTRL, Key::E, Action::Export, "write a model"),
    (CTRL, Key::D, Action::Drawings, "write all drawings"),
    (SHIFT, Key::P, Action::Offer, "write the offer"),
    (SHIFT, Key::H, Action::Handover, "write the handover"),
    (CTRL, Key::P, Action::Sheet, "write the job sheet, to print"),
    (SHIFT, Key::Z, Action::Redo, "make it again"),
    (CTRL, Key::Z, Action::Undo, "take the last change back"),
    (CTRL, Key::Y, Action::Redo, "make it again"),
    (CTRL, Key::Num1, Action::Show(0), "the views of the middle"),
    (CTRL, Key::Num2, Action::Show(1), "the views of the middle"),
    (CTRL, Key::Num3, Action::Show(2), "the views of the middle"),
    (CTRL, Key::Num4, Action::Show(3), "the views of the middle"),
    (CTRL, Key::Num5, Action::Show(4), "the views of the middle"),
    (CTRL, Key::T, Action::NextTheme, "next theme"),
    (NONE, Key::F1, Action::Keys, "list of keys"),
    (Modifiers::SHIFT, Key::F6, Action::Pane(false), "next pane: what is typed, the view, what it means"),
    (NONE, Key::F6, Action::Pane(true), "next pane: what is typed, the view, what it means"),
];

/// Keys that belong to what is in focus or in hand, and what they do there.
pub const IN_FOCUS: [(&str, &str); 7] = [
    ("Tab, Shift+Tab", "next and previous widget; on plan and photo the handles"),
    ("Space, Enter", "press what is in focus"),
    ("arrows, on the plan", "move what is in focus by 1 cm or half an inch, with Shift ten times as far"),
    ("arrows, on a photo", "move the mark in focus by a pixel, with Shift by ten"),
    ("Delete, Backspace", "remove the mark in focus"),
    ("N; Enter, on a photo", "the wanted point is not seen here; close the face that is built"),
    ("Shift while dragging", "on the plan tidy lengths and square corners, on a photo finer"),
];

/// What was asked for by key since the last pass. Keys without a modifier belong to what is in focus, unless that is the
/// 3D `view`: letters typed beside it turn nothing there. While something is dragged, Esc belongs to the drag.
#[must_use]
pub fn pressed(context: &egui::Context, view: Option<egui::Id>, is_dragging: bool) -> Vec<Action> {
    let typing = context.text_edit_focused();
    let is_held = context.memory(egui::Memory::focused).is_some_and(|held| Some(held) != view);
    let mut actions = Vec::new();
    context.input_mut(|input| {
        for (modifiers, key, action, _) in KEYS {
            let is_plain = modifiers.is_none() && !matches!(key, Key::F1 | Key::F6);
            let is_others = is_plain && (typing || is_held && action.is_of_view());
            let is_drags = is_dragging && action == Action::Nothing;
            if (is_drags || !is_others) && input.consume_shortcut(&KeyboardShortcut::new(modifiers, key)) {
                actions.push(action);
            }
        }
    });
    actions
}

fn mark(key: Key) -> &'static str {
    match key {
        Key::OpenBracket => "[",
        Key::CloseBracket => "]",
        Key::Plus => "+",
        Key::Equals => "=",
        Key::Minus => "-",
        Key::Period => ".",
        Key::Comma => ",",
        Key::Escape => "Esc",
        Key::PageUp => "Page up",
        Key::PageDown => "Page down",
        other => other.name(),
    }
}

/// The list of keys in two columns, doubles left out.
pub fn list(ui: &mut egui::Ui) {
    // Lines of text, not of buttons.
    ui.spacing_mut().interact_size.y = 16.0;
    let mut lines: Vec<(String, &str)> = Vec::new();
    for (modifiers, key, _, words) in KEYS {
        let text = ui.ctx().format_shortcut(&KeyboardShortcut::new(modifiers, key));
        // As the key itself is marked.
        let text = text.replace(key.name(), mark(key));
        match lines.iter_mut().find(|(_, other)| *other == words) {
            Some((keys, _)) if matches!(key, Key::Num2 | Key::Num3 | Key::Num4 | Key::Num5) => {
                keys.push_str(", ");
                keys.push_str(text.trim_start_matches("Ctrl+"));
            }
            Some((keys, _)) => *keys = format!("{keys} or {text}"),
            None => lines.push((text, words)),
        }
    }
    let half = lines.len().div_ceil(2);
    ui.horizontal_top(|ui| {
        for (number, part) in lines.chunks(half).enumerate() {
            egui::Grid::new(("keys", number)).num_columns(2).spacing([16.0, 4.0]).show(ui, |ui| {
                for (keys, words) in part {
                    ui.strong(keys);
                    ui.label(*words);
                    ui.end_row();
                }
            });
            ui.add_space(24.0);
        }
    });
    ui.add_space(6.0);
    egui::Grid::new("keys in focus").num_columns(2).spacing([16.0, 4.0]).show(ui, |ui| {
        for (keys, words) in IN_FOCUS {
            ui.strong(keys);
            ui.label(words);
            ui.end_row();
        }
    });
    ui.add_space(6.0);
    ui.label("Drag turns the roof; with Shift, or the right button, it moves. The wheel comes nearer.");
}
