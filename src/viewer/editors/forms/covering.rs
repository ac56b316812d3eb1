//! What the roof is covered with, what it costs, what comes off first.

use super::columns;
use super::field::{self, Field, Of};
use super::list;
use super::tell;
use crate::base::file_tree::{Edit, Entry, FileTable, Kind, Step, under};
use crate::base::schema::{self, Key};
use crate::viewer::app::state::AppState;
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::named;
use eframe::egui;
use eframe::egui::RichText;

/// The whole page.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, file: &FileTable) {
    part(ui, app, file, "covering", "the covering");
    prices(ui, app, file);
    ui.add_space(10.0);
    part(ui, app, file, "old_roof", "the old roof");
    if file.table("old_roof").is_some() && ui.button("There is nothing to take off").clicked() {
        let at = vec![Step::from("old_roof")];
        app.edit(&[Edit::Set { at, value: None, kind: Kind::Raw }], "old roof");
    }
    ui.add_space(10.0);
    part(ui, app, file, "offer", "the offer");
    for key in ["repair", "as_laid"].iter().filter_map(|key| app.schema.key(key)) {
        list::show(ui, app, Of { way: &[], table: file }, key);
    }
    ui.add_space(10.0);
    part(ui, app, file, "compare", "the comparison");
    ui.add_space(10.0);
    framing(ui, app, file);
}

/// What timbers are cut to, and faces whose rafters are set out otherwise.
fn framing(ui: &mut egui::Ui, app: &mut AppState, file: &FileTable) {
    let Some(shape) = app.schema.key("framing").and_then(Key::table) else { return };
    part(ui, app, file, "framing", "the framing");
    let table = list::table(file, "framing");
    let way = [Step::from("framing")];
    for key in shape.keys.iter().filter(|key| key.table().is_some()) {
        list::show(ui, app, Of { way: &way, table: &table }, key);
    }
}

/// A table with its heading, its keys one under the other.
fn part(ui: &mut egui::Ui, app: &mut AppState, file: &FileTable, key: &str, whose: &str) {
    let Some(shape) = app.schema.key(key).and_then(Key::table) else { return };
    ui.strong(shape.many);
    let faint = colour(app.theme.palette().faint);
    ui.add(egui::Label::new(RichText::new(shape.about).small().color(faint)).wrap());
    let table = list::table(file, key);
    columns::lines(ui, app, Of { way: &[Step::from(key)], table: &table }, columns::values(shape), whose);
    tell::about(app, shape.one, table.span.as_ref());
}

fn prices(ui: &mut egui::Ui, app: &mut AppState, file: &FileTable) {
    let Some(shape) = app.schema.key("prices").and_then(Key::table) else { return };
    ui.add_space(10.0);
    part(ui, app, file, "prices", "prices");
    let prices = list::table(file, "prices");
    let way = [Step::from("prices")];
    let of = Of { way: &way, table: &prices };
    let is_price = |key: &str| shape.key(key).is_none_or(|key| matches!(key.kind, schema::Kind::Price(..)));
    let priced = prices.entries.iter().filter(|(key, entry)| is_price(key) && matches!(entry, Entry::Value(_)));
    egui::Grid::new("prices").num_columns(3).spacing([10.0, 5.0]).show(ui, |ui| {
        for (item, _) in priced {
            ui.label(item);
            let name = format!("price of {item}");
            field::typed(ui, app, of, &Field { key: item, name: &name, width: 90.0, kind: Kind::Measure, hint: "" });
            let remove = ui.button("Remove it");
            named(ui, &remove, &format!("remove the price of {item}"));
            if remove.clicked() {
                app.edit(
                    &[Edit::Set { at: under(&way, [item.as_str().into()]), value: None, kind: Kind::Measure }],
                    "price",
                );
            }
            ui.end_row();
        }
    });
    ui.horizontal(|ui| {
        let mut chosen = std::mem::take(&mut app.forms.new_price);
        let shown = if chosen.is_empty() { "a line of the order" } else { chosen.as_str() }.to_owned();
        let combo = egui::ComboBox::from_id_salt("new price").selected_text(shown).width(170.0).show_ui(ui, |ui| {
            let priced = shape.keys.iter().filter(|key| matches!(key.kind, schema::Kind::Price(..)));
            for item in priced.map(|key| key.key).filter(|item| prices.entry(item).is_none()) {
                ui.selectable_value(&mut chosen, item.to_owned(), item);
            }
        });
        named(ui, &combo.response, "line of the order to price");
        if ui.add_enabled(!chosen.is_empty(), egui::Button::new("Add its price")).clicked() {
            let at = under(&way, [chosen.as_str().into()]);
            app.edit(&[Edit::Set { at, value: Some("0".to_owned()), kind: Kind::Measure }], "add a price");
            chosen.clear();
        }
        app.forms.new_price = chosen;
    });
    if let Some(hours) = shape.key("hours").and_then(Key::table) {
        ui.add_space(8.0);
        ui.strong(hours.many);
        let faint = colour(app.theme.palette().faint);
        ui.add(egui::Label::new(RichText::new(hours.about).small().color(faint)).wrap());
        let table = list::table(&prices, "hours");
        let way = under(&way, ["hours".into()]);
        columns::lines(ui, app, Of { way: &way, table: &table }, columns::values(hours), "hours");
    }
    for bands in shape.keys.iter().filter(|key| matches!(key.kind, schema::Kind::Tables(_))) {
        list::show(ui, app, of, bands);
    }
}
