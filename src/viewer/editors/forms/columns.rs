//! Keys of the file as columns and lines of a form, each by its entry in the schema.

use super::field::{self, Field, Of};
use crate::base::file_tree::{self, Edit, Step, under};
use crate::base::schema::{Key, Kind, Naming, Table, Usual};
use crate::base::units::LengthUnit;
use crate::viewer::app::state::AppState;
use crate::viewer::editors::rename::What;
use crate::viewer::editors::units;
use crate::wording::schema::placeholder;
use eframe::egui;

/// Width of all columns of a row together, points.
const ROW: f32 = 244.0;

/// The keys of a table that a row shows at once, each with its width.
pub fn columns(table: &'static Table) -> Vec<(&'static Key, f32)> {
    let first: Vec<&Key> = table.keys.iter().filter(|key| key.is_first).collect();
    let share = |key: &Key| match key.kind {
        Kind::AllOf(..) => 2.2,
        Kind::Length(_) => 1.4,
        Kind::Text(_) | Kind::File => 1.3,
        _ => 1.0,
    };
    let all: f32 = first.iter().map(|key| share(key)).sum();
    let wide = |key: &Key| (ROW * share(key) / all).min(if matches!(key.kind, Kind::AllOf(..)) { ROW } else { 130.0 });
    first.into_iter().map(|key| (key, wide(key))).collect()
}

/// The keys of a table that stand one under the other: values, not tables within it.
pub fn values(table: &'static Table) -> impl Iterator<Item = &'static Key> {
    table.keys.iter().filter(|key| key.table().is_none() && !matches!(key.kind, Kind::Price(..)))
}

/// Width of a key that stands alone, points.
fn width(key: &Key) -> f32 {
    match key.kind {
        Kind::Text(_) | Kind::Outline(_) => 190.0,
        Kind::Choice(words) if words.iter().any(|word| word.len() > 12) => 190.0,
        Kind::Card(_)
        | Kind::File
        | Kind::Texts(_)
        | Kind::AllOf(..)
        | Kind::Lengths(..)
        | Kind::AnyLengths(_)
        | Kind::Numbers(..) => 150.0,
        Kind::Choice(_) | Kind::Name(_) | Kind::Of(_) => 130.0,
        _ => 110.0,
    }
}

/// The widget of a key. `whose` completes its name: "tape 1".
pub fn widget(ui: &mut egui::Ui, app: &mut AppState, of: Of, key: &'static Key, width: f32, whose: &str) {
    let name = format!("{} of {whose}", key.label);
    let hint = placeholder(key);
    let field = Field { key: key.key, name: &name, width, kind: key.typed_as(), hint: &hint };
    match (&key.kind, key.usual) {
        (Kind::Name(naming), _) => bearer(ui, app, of, &field, *naming),
        (Kind::Flag, Usual::Flag(true)) => field::choice(ui, app, of, &field, "true", &["true", "false"]),
        (Kind::Flag, _) => field::flag(ui, app, of, &field, key.label),
        (Kind::Choice(words), _) if of.way.is_empty() && key.key == "units" => unit_of_file(ui, app, of, &field, words),
        (Kind::Choice(words), Usual::Needed) => field::choice(ui, app, of, &field, "", words),
        (Kind::Choice(words), _) => field::choice(ui, app, of, &field, &hint, words),
        (Kind::Card(names), _) => card(ui, app, of, &field, names),
        _ => field::typed(ui, app, of, &field),
    }
}

/// A name, by the place it stands in: the list's first number, and all of them for its field.
fn bearer(ui: &mut egui::Ui, app: &mut AppState, of: Of, field: &Field, naming: Naming) {
    let number = |step: &Step| if let Step::At(number) = step { Some(*number) } else { None };
    let what = match naming {
        Naming::Corner => What::Corner(of.way.iter().find_map(number).unwrap_or_default()),
        Naming::Face => What::Face,
        Naming::Dormer => What::Dormer,
        Naming::Camera => What::Camera,
        Naming::Point => What::Point,
        _ => What::Block,
    };
    let own = under(of.way, [field.key.into()]);
    let place = format!("{own:?}");
    let old = of.table.field(field.key).text;
    let Field { name: label, width, hint, .. } = *field;
    field::name(ui, app, &field::Name { what, own: &own, old: &old, place: (&place, 0), label, width, hint });
}

/// The unit of bare numbers: what they shall mean then is asked first, where there are any.
fn unit_of_file(ui: &mut egui::Ui, app: &mut AppState, of: Of, field: &Field, words: &[&str]) {
    let before = of.table.field(field.key).text;
    let Some(chosen) = field::chosen(ui, app, of, field, "", words) else { return };
    let units = [before.as_str(), chosen.as_str()].map(LengthUnit::from_symbol);
    if let [Some(from), Some(to)] = units
        && !units::edits(app.schema, of.table, [from, to]).is_empty()
    {
        app.unit_change = Some([from, to]);
    } else {
        app.set(of.way, field.key, &chosen, field.kind);
    }
}

/// The line that asks what bare numbers shall mean in another unit.
pub(crate) fn unit_question(ui: &mut egui::Ui, app: &mut AppState) {
    let Some(change) = app.unit_change else { return };
    let [from, to] = change;
    let Some(file) = app.written.clone() else {
        app.unit_change = None;
        return;
    };
    let set = |app: &mut AppState, mut edits: Vec<Edit>| {
        let value = Some(to.symbol().to_owned());
        edits.push(Edit::Set { at: vec!["units".into()], value, kind: file_tree::Kind::Words });
        app.edit(&edits, "units");
        app.unit_change = None;
    };
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        let [from, to] = [from, to].map(LengthUnit::symbol);
        ui.label(format!("Numbers without a unit were {from} so far. In {to}:"));
        if ui.button(format!("convert them to {to}")).on_hover_text("the roof stays as it is").clicked() {
            set(app, units::edits(app.schema, &file, change));
        } else if ui.button(format!("read them as {to}")).on_hover_text("the roof changes its size").clicked() {
            set(app, Vec::new());
        } else if ui.button(format!("leave them in {from}")).clicked() {
            app.unit_change = None;
        }
    });
}

fn card(ui: &mut egui::Ui, app: &mut AppState, of: Of, field: &Field, names: &[&str]) {
    field::typed(ui, app, of, field);
    let menu = ui.menu_button("cards", |ui| {
        for name in names {
            if ui.button(*name).clicked() {
                app.set(of.way, field.key, name, file_tree::Kind::Words);
                ui.close();
            }
        }
    });
    crate::viewer::widgets::named(ui, &menu.response, "cards that come with the program");
}

/// Keys one under the other, each after its word.
pub fn lines(ui: &mut egui::Ui, app: &mut AppState, of: Of, keys: impl Iterator<Item = &'static Key>, whose: &str) {
    egui::Grid::new(("keys", of.way, whose)).num_columns(2).spacing([10.0, 5.0]).show(ui, |ui| {
        for key in keys {
            // A switch has its word beside it.
            let is_switch = matches!((&key.kind, key.usual), (Kind::Flag, usual) if usual != Usual::Flag(true));
            ui.label(if is_switch { "" } else { key.label }).on_hover_text(key.about);
            ui.horizontal(|ui| widget(ui, app, of, key, width(key), whose));
            ui.end_row();
        }
    });
}
