//! One field: a key of a table of the file, shown as written, written as typed.

use super::tell;
use crate::base::file_tree::{Edit, FileTable, FileValue, Kind, Step, under};
use crate::viewer::app::state::AppState;
use crate::viewer::editors::rename;
use crate::viewer::editors::rename::What;
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::named;
use eframe::egui;
use eframe::egui::{Id, Key, Stroke, vec2};

/// A table of the file: the way to it, and what stands in it.
#[derive(Clone, Copy, Debug)]
pub struct Of<'a> {
    /// The way.
    pub way: &'a [Step],
    /// Its keys.
    pub table: &'a FileTable,
}

/// How a key is shown.
#[derive(Clone, Copy, Debug)]
pub struct Field<'a> {
    /// The key.
    pub key: &'a str,
    /// Its full name, for those who don't see it.
    pub name: &'a str,
    /// Its width, points.
    pub width: f32,
    /// What is typed.
    pub kind: Kind,
    /// Shown while it is empty.
    pub hint: &'a str,
}

/// What is being typed, as typed: the file may hold it in another spelling, without the blank at its end.
#[derive(Clone, Debug)]
struct Typing {
    text: String,
    /// What the file says since; nothing until it has been read again.
    file: Option<String>,
}

/// A field for a key that is typed.
pub fn typed(ui: &mut egui::Ui, app: &mut AppState, of: Of, key: &Field) {
    let value = of.table.field(key.key);
    let id = Id::unique(("field", of.way, key.key));
    if let Some(lines) = pasted(ui, id) {
        fill_down(app, of.way, key, &lines);
        ui.data_mut(|data| data.remove::<Typing>(id));
    }
    if let Some(typed) = text_field(ui, app, id, of, key, &value) {
        app.set(of.way, key.key, &typed, key.kind);
    }
}

/// A column that is pasted into the field in focus, as a spreadsheet copies it: a line a cell, the first of several cells in
/// a line; nothing where it is one line, which the field takes as it is.
fn pasted(ui: &egui::Ui, id: Id) -> Option<Vec<String>> {
    if !ui.memory(|memory| memory.has_focus(id)) {
        return None;
    }
    let is_column = |text: &str| text.trim_end().contains('\n');
    let text = ui.input_mut(|input| {
        let at = input.events.iter().position(|event| matches!(event, egui::Event::Paste(text) if is_column(text)))?;
        match input.events.remove(at) {
            egui::Event::Paste(text) => Some(text),
            _ => None,
        }
    })?;
    let cell = |line: &str| line.split('\t').next().unwrap_or_default().trim().to_owned();
    Some(text.trim_end().lines().map(cell).collect())
}

/// Writes lines into the same key of this row and those below it, in one step. What finds no row is told.
fn fill_down(app: &mut AppState, way: &[Step], key: &Field, lines: &[String]) {
    let Some((Step::At(row), list)) = way.split_last() else {
        app.said = ("a column is pasted into a list; here there is one field".to_owned(), true);
        return;
    };
    let room = app.written.as_ref().map_or(0, |file| rows(file, list)).saturating_sub(*row);
    let set = |(below, line): (usize, &String)| Edit::Set {
        at: under(list, [Step::At(row + below), key.key.into()]),
        value: Some(line.clone()).filter(|line| !line.is_empty()),
        kind: key.kind,
    };
    let edits: Vec<Edit> = lines.iter().take(room).enumerate().map(set).collect();
    app.edit(&edits, "paste a column");
    if lines.len() > room {
        app.said = (format!("{} lines pasted into {room} rows: add rows for the rest", lines.len()), true);
    }
}

/// How many rows a list of the file has.
fn rows(file: &FileTable, list: &[Step]) -> usize {
    match list {
        [Step::Key(key)] => file.list(key).len(),
        [Step::Key(key), Step::At(row), rest @ ..] => file.list(key).get(*row).map_or(0, |table| rows(table, rest)),
        [Step::Key(key), rest @ ..] => file.table(key).map_or(0, |table| rows(table, rest)),
        _ => 0,
    }
}

fn text_field(ui: &mut egui::Ui, app: &AppState, id: Id, of: Of, key: &Field, value: &FileValue) -> Option<String> {
    let palette = app.theme.palette();
    let fault = tell::at_key(app, of.table, key.key, value);
    let has_focus = ui.memory(|memory| memory.has_focus(id));
    let before: Option<Typing> = ui.data(|data| data.get_temp(id)).filter(|_| has_focus);
    // The file said something else meanwhile, by undo for one: then the file counts.
    let before = before.filter(|typing| typing.file.as_ref().is_none_or(|file| *file == value.text));
    let mut text = before.as_ref().map_or_else(|| value.text.clone(), |typing| typing.text.clone());
    let edit = egui::TextEdit::singleline(&mut text).id(id).hint_text(key.hint).desired_width(key.width);
    let edit = if fault.is_some() { edit.text_color(colour(palette.fault)) } else { edit };
    // A row offers no room of its own: the field takes what it needs.
    let response = ui.add_sized(vec2(key.width, 24.0), edit);
    named(ui, &response, key.name);
    if let Some(fault) = fault {
        let edge = Stroke::new(1.6, colour(palette.fault));
        ui.painter().rect_stroke(response.rect, 3.0, edge, egui::StrokeKind::Outside);
        response.clone().on_hover_text(tell::words(fault));
    }
    let changed = response.changed();
    if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
        go_down(ui, of.way, key.key);
    }
    if response.gained_focus() && !ui.input(|input| input.pointer.any_down() || input.pointer.any_released()) {
        select_all(ui, id, &text);
    }
    if response.has_focus() {
        let file = (!changed).then(|| value.text.clone());
        ui.data_mut(|data| data.insert_temp(id, Typing { text: text.clone(), file }));
    } else {
        ui.data_mut(|data| data.remove::<Typing>(id));
    }
    (changed && text != value.text).then_some(text)
}

/// Enter goes to the same key of the next row.
fn go_down(ui: &egui::Ui, way: &[Step], key: &str) {
    let Some((Step::At(row), list)) = way.split_last() else { return };
    let next: Vec<Step> = list.iter().cloned().chain([Step::At(row + 1)]).collect();
    // In the next pass: in this one the field below would take the same Enter for its own.
    let below = Id::unique(("field", next.as_slice(), key));
    ui.data_mut(|data| data.insert_temp(Id::unique(BELOW), Some(below)));
    ui.ctx().request_repaint();
}

/// Where the field that gets the focus next is noted.
const BELOW: &str = "the field below";

/// Gives the focus to the field that Enter went to. Called before the fields are shown.
pub(crate) fn take_focus(ui: &egui::Ui) {
    if let Some(below) = ui.data_mut(|data| data.remove_temp::<Option<Id>>(Id::unique(BELOW)).flatten()) {
        ui.memory_mut(|memory| memory.request_focus(below));
    }
}

/// All of a field's text is chosen: what is typed next takes its place.
pub fn select_all(ui: &egui::Ui, id: Id, text: &str) {
    let mut state = egui::TextEdit::load_state(ui.ctx(), id).unwrap_or_default();
    let all =
        egui::text::CCursorRange::two(egui::text::CCursor::new(0), egui::text::CCursor::new(text.chars().count()));
    state.cursor.set_char_range(Some(all));
    state.store(ui.ctx(), id);
}

/// A name that stands elsewhere in the file too.
#[derive(Clone, Copy, Debug)]
pub struct Name<'a> {
    /// What bears it.
    pub what: What,
    /// Where it stands: a key, or the value of one.
    pub own: &'a [Step],
    /// The name now; empty where there is none yet.
    pub old: &'a str,
    /// The field's own place, which stays while the name changes.
    pub place: (&'a str, usize),
    /// The field's full name, for those who don't see it.
    pub label: &'a str,
    /// Its width, points.
    pub width: f32,
    /// Shown while it is empty.
    pub hint: &'a str,
}

/// A field for a name: typed, it changes wherever the name stands, in one step. A name that is taken stays in the field
/// and changes nothing.
pub fn name(ui: &mut egui::Ui, app: &mut AppState, name: &Name) {
    let id = Id::unique(("name", name.place));
    let has_focus = ui.memory(|memory| memory.has_focus(id));
    let typing: Option<Typing> = ui.data(|data| data.get_temp(id)).filter(|_| has_focus);
    let typing = typing.filter(|typing| typing.file.as_ref().is_none_or(|file| *file == name.old));
    let mut text = typing.map_or_else(|| name.old.to_owned(), |typing| typing.text);
    let is_refused = has_focus && text.trim() != name.old;
    let palette = app.theme.palette();
    let edit = egui::TextEdit::singleline(&mut text).id(id).hint_text(name.hint).desired_width(name.width);
    let edit = if is_refused { edit.text_color(colour(palette.fault)) } else { edit };
    let response = ui.add_sized(vec2(name.width, 24.0), edit);
    named(ui, &response, name.label);
    if is_refused {
        let edge = Stroke::new(1.6, colour(palette.fault));
        ui.painter().rect_stroke(response.rect, 3.0, edge, egui::StrokeKind::Outside);
    }
    let mut file = Some(name.old.to_owned());
    if response.changed() {
        let written = app.written.clone();
        match written.map(|written| rename::edits(app.schema, &written, name.what, name.own, name.old, &text)) {
            Some(Ok(edits)) => {
                file = None;
                app.edit(&edits, &format!("rename {:?}", name.place));
            }
            Some(Err(why)) => app.said = (why, true),
            None => {}
        }
    }
    if response.has_focus() {
        ui.data_mut(|data| data.insert_temp(id, Typing { text, file }));
    } else {
        ui.data_mut(|data| data.remove::<Typing>(id));
    }
}

/// A choice between words; the first line takes the key out, under the words `usual`.
pub fn choice(ui: &mut egui::Ui, app: &mut AppState, of: Of, key: &Field, usual: &str, words: &[&str]) {
    if let Some(chosen) = chosen(ui, app, of, key, usual, words) {
        app.set(of.way, key.key, &chosen, key.kind);
    }
}

/// The same, given back instead of written; nothing where all stays.
pub fn chosen(ui: &mut egui::Ui, app: &AppState, of: Of, key: &Field, usual: &str, words: &[&str]) -> Option<String> {
    let value = of.table.field(key.key);
    let mut chosen = value.text.clone();
    let shown = if chosen.is_empty() { usual } else { chosen.as_str() }.to_owned();
    let id = ("choice", of.way, key.key);
    let combo = egui::ComboBox::from_id_salt(id).selected_text(shown).width(key.width).show_ui(ui, |ui| {
        ui.selectable_value(&mut chosen, String::new(), usual);
        for word in words.iter().filter(|word| **word != usual) {
            ui.selectable_value(&mut chosen, (*word).to_owned(), *word);
        }
    });
    named(ui, &combo.response, key.name);
    if let Some(fault) = tell::at_key(app, of.table, key.key, &value) {
        combo.response.on_hover_text(tell::words(fault));
    }
    (chosen != value.text).then_some(chosen)
}

/// A switch; off takes the key out.
pub(crate) fn flag(ui: &mut egui::Ui, app: &mut AppState, of: Of, key: &Field, words: &str) {
    let mut on = of.table.field(key.key).text == "true";
    let response = ui.checkbox(&mut on, words);
    named(ui, &response, key.name);
    if response.changed() {
        app.set(of.way, key.key, if on { "true" } else { "" }, Kind::Measure);
    }
}
