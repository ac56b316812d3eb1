//! The left side: what is being edited, as a list of sides or as the file's text.

use super::backend::{BlockRow, Edit, Field, RoleWord, SideRow, Step};
use super::desk::{Desk, Page};
use super::theme::colour;
use super::toolbar::named;
use crate::base::diagnostic::{Diagnostic, Severity};
use eframe::egui::{self, RichText, ScrollArea, Stroke};
use std::ops::Range;

/// The whole side.
pub fn show(ui: &mut egui::Ui, desk: &mut Desk) {
    ui.horizontal(|ui| {
        ui.selectable_value(&mut desk.page, Page::Sides, "Sides");
        ui.selectable_value(&mut desk.page, Page::Text, "File");
    });
    ui.add_space(4.0);
    if desk.text.trim().is_empty() {
        start(ui, desk);
        return;
    }
    match desk.page {
        Page::Sides => ScrollArea::vertical().auto_shrink(false).show(ui, |ui| sides(ui, desk)).inner,
        Page::Text => text(ui, desk),
    }
}

/// Shapes to begin from.
fn start(ui: &mut egui::Ui, desk: &mut Desk) {
    ui.label("Begin from a shape and put your own measures in:");
    let shapes = desk.backend.shapes();
    for (name, text) in shapes {
        if ui.button(format!("Begin with {name}")).clicked() {
            desk.begin(text);
        }
    }
    ui.add_space(8.0);
    ui.label("Or open a roof file: Ctrl+O, or drop it here.");
}

fn sides(ui: &mut egui::Ui, desk: &mut Desk) {
    let Some(rows) = desk.rows.clone() else {
        ui.label("The text can't be read as a list of sides now; see the page File.");
        errors(ui, desk);
        return;
    };
    if rows.is_empty() {
        ui.label("This roof has no walked outline; its points and faces are on the page File.");
    }
    let mut placed = Vec::new();
    for block in &rows {
        block_of(ui, desk, block, &mut placed);
        ui.add_space(10.0);
    }
    // What belongs to no side.
    let spans: Vec<Range<usize>> = placed;
    let elsewhere: Vec<Diagnostic> = desk
        .diagnostics
        .iter()
        .filter(|diagnostic| !spans.iter().any(|span| touches(diagnostic, span)))
        .cloned()
        .collect();
    for diagnostic in &elsewhere {
        tell(ui, desk, diagnostic, true);
    }
}

fn block_of(ui: &mut egui::Ui, desk: &mut Desk, block: &BlockRow, placed: &mut Vec<Range<usize>>) {
    let palette = desk.theme.palette();
    ui.horizontal(|ui| {
        ui.heading(&block.name);
        ui.add_space(8.0);
        ui.label("eaves at");
        if let Some(typed) = field(ui, desk, &format!("height of {}", block.name), &block.height, 72.0) {
            desk.set(&block.at, "height", some(typed));
        }
        ui.label(RichText::new("above datum").color(colour(palette.faint)));
    });
    placed.extend(block.height.span.clone());
    for (ring, (list, sides)) in block.rings.iter().enumerate() {
        if ring > 0 {
            ui.label(format!("courtyard {ring}"));
        }
        let by_place = sides.iter().any(|side| side.place.is_some());
        let id = format!("{}/{ring}", block.name);
        egui::Grid::new(id).num_columns(6).spacing([6.0, 5.0]).min_col_width(20.0).show(ui, |ui| {
            let heads = if by_place {
                ["side", "from", "", "is", "pitch", ""]
            } else {
                ["side", "length", "turn", "is", "pitch", ""]
            };
            for head in heads {
                ui.label(RichText::new(head).small().color(colour(palette.faint)));
            }
            ui.end_row();
            for (index, side) in sides.iter().enumerate() {
                row(ui, desk, block, list, index, side);
                ui.end_row();
            }
        });
        for side in sides {
            placed.extend(side.span.clone());
            let Some(span) = &side.span else { continue };
            let of: Vec<Diagnostic> =
                desk.diagnostics.iter().filter(|diagnostic| touches(diagnostic, span)).cloned().collect();
            for diagnostic in &of {
                ui.horizontal_wrapped(|ui| {
                    ui.label(RichText::new(format!("side {}:", side.name)).strong());
                    tell(ui, desk, diagnostic, false);
                });
            }
        }
    }
    if let Some(shown) = &desk.shown {
        let gap = shown.answered.survey.misclosures.iter().find(|(name, _)| *name == block.name);
        if let Some((_, gap)) = gap.filter(|(_, gap)| *gap >= 0.0005) {
            let words =
                format!("As walked, the outline misses closing by {:.0} mm; shared out over its sides.", gap * 1e3);
            ui.label(RichText::new(words).color(colour(palette.faint)));
        }
    }
}

fn row(ui: &mut egui::Ui, desk: &mut Desk, block: &BlockRow, list: &[Step], index: usize, side: &SideRow) {
    let face = desk.shown.as_ref().and_then(|shown| shown.face_of_side(&format!("{}/{}", block.name, side.name)));
    let is_chosen = face.is_some() && desk.look.chosen == face;
    let name = ui.selectable_label(is_chosen, RichText::new(&side.name).strong());
    named(ui, &name, &format!("side {}", side.name));
    if name.clicked() {
        desk.look.chosen = if is_chosen { None } else { face };
    }
    let of = |what: &str| format!("{what} of side {}", side.name);
    if let Some(place) = &side.place {
        ui.label(place.as_str());
        ui.label("");
    } else {
        if let Some(typed) = field(ui, desk, &of("length"), &side.length, 84.0) {
            desk.set(&side.at, "length", some(typed));
        }
        if let Some(typed) = field(ui, desk, &of("turn"), &side.turn, 44.0) {
            desk.set(&side.at, "turn", some(typed));
        }
    }
    let mut role = side.role;
    let combo = egui::ComboBox::from_id_salt((&block.name, &side.name, index)).selected_text(role.word()).width(82.0);
    let combo = combo.show_ui(ui, |ui| {
        for other in RoleWord::ALL {
            ui.selectable_value(&mut role, other, other.word());
        }
    });
    named(ui, &combo.response, &of("kind"));
    if role != side.role {
        desk.edit(&role_edits(side, role), &format!("role {:?}", side.at));
    }
    ui.horizontal(|ui| {
        let has_pitch = !matches!(side.role, RoleWord::Verge | RoleWord::Abutment);
        let typed = has_pitch.then(|| field(ui, desk, &of("pitch"), &side.pitch, 56.0)).flatten();
        if let Some(typed) = typed {
            desk.set(&side.at, "pitch", some(typed));
        }
        let rise = match side.role {
            RoleWord::HalfHip => Some(("hip_from", "rise of the hip")),
            RoleWord::Gablet => Some(("verge_from", "rise of the gablet")),
            _ => None,
        };
        if let Some((key, words)) = rise {
            ui.label("from");
            if let Some(typed) = field(ui, desk, &of(words), &side.rise, 44.0) {
                desk.set(&side.at, key, some(typed));
            }
        }
    });
    let menu = ui.menu_button("…", |ui| {
        if ui.button("Put a side after it").clicked() {
            desk.edit(&[Edit::Repeat { list: list.to_vec(), index }], "sides");
            ui.close();
        }
        if ui.button("Remove it").clicked() {
            desk.edit(&[Edit::Remove { list: list.to_vec(), index }], "sides");
            ui.close();
        }
    });
    named(ui, &menu.response, &of("more"));
}

/// The changes that make a side another thing; what it no longer needs goes.
fn role_edits(side: &SideRow, role: RoleWord) -> Vec<Edit> {
    let set = |key: &str, value: Option<&str>| {
        let mut at = side.at.clone();
        at.push(Step::Key(key.to_owned()));
        Edit::Set { at, value: value.map(str::to_owned) }
    };
    let pitch = if side.pitch.text.is_empty() { "35" } else { side.pitch.text.as_str() };
    let rise = if side.rise.text.is_empty() { "1 m" } else { side.rise.text.as_str() };
    let wanted: [(&str, Option<&str>); 5] = match role {
        RoleWord::Eave => {
            [("verge", None), ("abutment", None), ("hip_from", None), ("verge_from", None), ("pitch", Some(pitch))]
        }
        RoleWord::Verge => {
            [("pitch", None), ("abutment", None), ("hip_from", None), ("verge_from", None), ("verge", Some("true"))]
        }
        RoleWord::HalfHip => [
            ("abutment", None),
            ("verge_from", None),
            ("verge", Some("true")),
            ("hip_from", Some(rise)),
            ("pitch", Some(pitch)),
        ],
        RoleWord::Gablet => [
            ("abutment", None),
            ("verge", None),
            ("hip_from", None),
            ("pitch", Some(pitch)),
            ("verge_from", Some(rise)),
        ],
        RoleWord::Abutment => {
            [("pitch", None), ("verge", None), ("hip_from", None), ("verge_from", None), ("abutment", Some("true"))]
        }
    };
    let breaks = matches!(role, RoleWord::Eave).then_some(()).is_none().then(|| set("breaks", None));
    wanted.into_iter().map(|(key, value)| set(key, value)).chain(breaks).collect()
}

fn some(typed: String) -> Option<String> {
    (!typed.trim().is_empty()).then_some(typed)
}

/// A field for one value; what was typed, if anything was.
fn field(ui: &mut egui::Ui, desk: &Desk, name: &str, value: &Field, width: f32) -> Option<String> {
    let palette = desk.theme.palette();
    let fault = value.span.as_ref().and_then(|span| desk.errors().find(|error| touches(error, span)));
    let mut typed = value.text.clone();
    let edit = egui::TextEdit::singleline(&mut typed).desired_width(width).id_salt(name);
    let edit = if fault.is_some() { edit.text_color(colour(palette.fault)) } else { edit };
    // A grid offers no room of its own: the field takes what it needs.
    let response = ui.add_sized([width, 24.0], edit);
    named(ui, &response, name);
    if let Some(fault) = fault {
        let edge = Stroke::new(1.6, colour(palette.fault));
        ui.painter().rect_stroke(response.rect, 3.0, edge, egui::StrokeKind::Outside);
        response.clone().on_hover_text(words(fault));
    }
    (response.changed() && typed != value.text).then_some(typed)
}

/// Whether a diagnostic is about a place in the text.
fn touches(diagnostic: &Diagnostic, span: &Range<usize>) -> bool {
    diagnostic.span.as_ref().is_some_and(|at| at.start < span.end && span.start < at.end.max(at.start + 1))
}

/// A diagnostic in words, its hint with it.
#[must_use]
pub fn words(diagnostic: &Diagnostic) -> String {
    let found = diagnostic.found.iter().map(|found| format!("; found {found}"));
    let expected = diagnostic.expected.iter().map(|expected| format!(", expected {expected}"));
    let hints = diagnostic.hints.iter().map(|hint| format!(". {hint}"));
    std::iter::once(diagnostic.message.clone()).chain(found).chain(expected).chain(hints).collect()
}

fn tell(ui: &mut egui::Ui, desk: &Desk, diagnostic: &Diagnostic, with_place: bool) {
    let palette = desk.theme.palette();
    let (mark, ink) = match diagnostic.severity {
        Severity::Error => ("error", palette.fault),
        Severity::Warning => ("look here", palette.caution),
        Severity::Note => ("note", palette.faint),
    };
    let place = diagnostic.span.as_ref().filter(|_| with_place).map(|span| {
        let line = desk.text.get(..span.start).map_or(1, |before| before.matches('\n').count() + 1);
        format!(", line {line}")
    });
    let text = format!("{mark}{}: {}", place.unwrap_or_default(), words(diagnostic));
    ui.label(RichText::new(text).color(colour(ink)));
}

fn errors(ui: &mut egui::Ui, desk: &Desk) {
    for diagnostic in &desk.diagnostics {
        tell(ui, desk, diagnostic, true);
    }
}

/// The file's text, for everything the list of sides does not show.
fn text(ui: &mut egui::Ui, desk: &mut Desk) {
    let errors_high = if desk.diagnostics.is_empty() { 0.0 } else { 110.0 };
    let mut typed = desk.text.clone();
    let high = (ui.available_height() - errors_high).max(80.0);
    ScrollArea::both().id_salt("text").max_height(high).auto_shrink(false).show(ui, |ui| {
        let edit = egui::TextEdit::multiline(&mut typed).code_editor().desired_width(f32::INFINITY).desired_rows(30);
        let response = ui.add(edit);
        named(ui, &response, "text of the roof file");
    });
    if typed != desk.text {
        desk.change(typed, "text");
    }
    ScrollArea::vertical().id_salt("errors").auto_shrink(false).show(ui, |ui| errors(ui, desk));
}
