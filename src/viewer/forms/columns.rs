//! Keys of the file as columns and lines of a form.

use super::field::{self, Key, Of};
use crate::base::written::{Kind, Step, under};
use crate::viewer::desk::Desk;
use crate::viewer::rename::What;
use eframe::egui;

/// What bears a name; which one of a list, its place in the file tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bears {
    /// A block.
    Block,
    /// A corner of a block.
    Corner,
    /// A face by points.
    Face,
    /// A camera.
    Camera,
}

/// How a key is edited.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Typed.
    Typed(Kind),
    /// One of several words; the first is what counts where none is written.
    Choice(&'static [&'static str]),
    /// One of the ways to take a length.
    LengthMethod,
    /// One of the ways to read a pitch.
    PitchMethod,
    /// One of the cards that come with the program, or a card file's path.
    Card,
    /// True or false, where neither counts as the word given.
    Truth(&'static str),
    /// A switch; off takes the key out.
    Flag,
    /// A name that stands elsewhere in the file too.
    Name(Bears),
}

/// Typed as a measure.
pub const MEASURE: Form = Form::Typed(Kind::Measure);
/// Typed as a word or name.
pub const WORDS: Form = Form::Typed(Kind::Words);
/// Typed as measures between commas.
pub const MEASURES: Form = Form::Typed(Kind::Measures);
/// Typed as names between commas.
pub const NAMES: Form = Form::Typed(Kind::Names);

/// A key of a table.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// The key.
    pub key: &'static str,
    /// Its word for people.
    pub head: &'static str,
    /// Width, points.
    pub width: f32,
    /// How it is edited.
    pub form: Form,
    /// Shown while it is empty: an example, or what counts then.
    pub hint: &'static str,
}

/// A column.
pub const fn column(key: &'static str, head: &'static str, width: f32, form: Form, hint: &'static str) -> Column {
    Column { key, head, width, form, hint }
}

/// The widget of a key. `whose` completes its name: "tape 1".
pub fn widget(ui: &mut egui::Ui, desk: &mut Desk, of: Of, column: &Column, whose: &str) {
    let head = if column.head.is_empty() { column.hint } else { column.head };
    let name = format!("{head} of {whose}");
    let kind = match column.form {
        Form::Typed(kind) => kind,
        Form::Flag | Form::Truth(_) => Kind::Measure,
        _ => Kind::Words,
    };
    let key = Key { key: column.key, name: &name, width: column.width, kind, hint: column.hint };
    match column.form {
        Form::Name(bears) => bearer(ui, desk, of, &key, bears),
        Form::Typed(_) => field::typed(ui, desk, of, &key),
        Form::Flag => field::flag(ui, desk, of, &key, column.hint),
        Form::Choice(words) => field::choice(ui, desk, of, &key, words.first().unwrap_or(&""), words),
        Form::Truth(usual) => field::choice(ui, desk, of, &key, usual, &["true", "false"]),
        Form::LengthMethod => {
            let words = desk.vocabulary.length_methods.clone();
            named(ui, desk, of, &key, &words);
        }
        Form::PitchMethod => {
            let words = desk.vocabulary.pitch_methods.clone();
            named(ui, desk, of, &key, &words);
        }
        Form::Card => card(ui, desk, of, &key),
    }
}

fn named(ui: &mut egui::Ui, desk: &mut Desk, of: Of, key: &Key, words: &[String]) {
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    field::choice(ui, desk, of, key, words.first().unwrap_or(&""), &words);
}

/// A name, by the place it stands in: the list's first number, and all of them for its field.
fn bearer(ui: &mut egui::Ui, desk: &mut Desk, of: Of, key: &Key, bears: Bears) {
    let number = |step: &Step| if let Step::At(number) = step { Some(*number) } else { None };
    let what = match bears {
        Bears::Block => What::Block,
        Bears::Corner => What::Corner(of.way.iter().find_map(number).unwrap_or_default()),
        Bears::Face => What::Face,
        Bears::Camera => What::Camera,
    };
    let own = under(of.way, [key.key.into()]);
    let place = format!("{own:?}");
    let old = of.table.field(key.key).text;
    let Key { name: label, width, hint, .. } = *key;
    field::name(ui, desk, &field::Name { what, own: &own, old: &old, place: (&place, 0), label, width, hint });
}

fn card(ui: &mut egui::Ui, desk: &mut Desk, of: Of, key: &Key) {
    field::typed(ui, desk, of, key);
    let menu = ui.menu_button("cards", |ui| {
        for word in desk.vocabulary.cards.clone() {
            if ui.button(&word).clicked() {
                desk.set(of.way, key.key, &word, Kind::Words);
                ui.close();
            }
        }
    });
    crate::viewer::toolbar::named(ui, &menu.response, "cards that come with the program");
}

/// Keys one under the other, each after its word.
pub fn lines(ui: &mut egui::Ui, desk: &mut Desk, of: Of, columns: &[Column], whose: &str) {
    egui::Grid::new(("lines", of.way, whose)).num_columns(2).spacing([10.0, 5.0]).show(ui, |ui| {
        for column in columns {
            ui.label(column.head);
            ui.horizontal(|ui| widget(ui, desk, of, column, whose));
            ui.end_row();
        }
    });
}
