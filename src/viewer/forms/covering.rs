//! What the roof is covered with, what it costs, what comes off first.

use super::columns::{self, Column, Form, MEASURE, NAMES, WORDS, column};
use super::field::{self, Key, Of};
use super::list::{self, List};
use super::tell;
use crate::base::written::{Edit, Entry, Kind, Step, WrittenTable, under};
use crate::viewer::desk::Desk;
use crate::viewer::toolbar::named;
use eframe::egui;

const COVERING: &[Column] = &[
    column("card", "material card", 150.0, Form::Card, "strip-shingle"),
    column("waste", "waste", 150.0, MEASURE, "layout, or 15 %"),
    column("valley", "valleys", 110.0, Form::Choice(&["open", "closed", "woven"]), ""),
    column("hip", "hips", 110.0, Form::Choice(&["trimmed", "over"]), ""),
    column("exposure", "exposure", 110.0, Form::Choice(&["normal", "exposed"]), ""),
    column("spare_packs", "spare packs", 110.0, MEASURE, "usual"),
    column("wall_inside", "wall line inside eaves", 110.0, MEASURE, "not said"),
    column("level_ceiling", "level ceiling, m²", 110.0, MEASURE, "none"),
];

const PRICES: &[Column] = &[
    column("currency", "currency", 90.0, WORDS, "EUR"),
    column("margin", "margin", 90.0, MEASURE, "12 %"),
    column("tax", "tax", 90.0, MEASURE, "20 %"),
];

const BANDS: List = List {
    key: "pitch_band",
    one: "pitch band",
    many: "Labour by pitch",
    about: "From a pitch on, labour counts this many times.",
    columns: &[
        column("pitch_from", "from pitch", 100.0, MEASURE, "45"),
        column("factor", "times", 100.0, MEASURE, "1.3"),
    ],
    more: &[],
};

const OLD: &[Column] = &[
    column("kind", "what lies there", 150.0, WORDS, "nothing to take off"),
    column("layers", "layers", 90.0, MEASURE, "1"),
    column("weight", "kg/m² a layer", 90.0, MEASURE, "10"),
    column("loose_thickness", "thickness, loose", 90.0, MEASURE, "40 mm"),
    column("deck_share", "deck to renew", 90.0, MEASURE, "0 %"),
    column("asbestos_possible", "asbestos", 110.0, Form::Truth("possible"), ""),
    column("stays", "stays", 150.0, NAMES, "gutters"),
];

/// The whole page.
pub fn show(ui: &mut egui::Ui, desk: &mut Desk, file: &WrittenTable) {
    ui.strong("Covering");
    let covering = list::table(file, "covering");
    columns::lines(ui, desk, Of { way: &[Step::from("covering")], table: &covering }, COVERING, "the covering");
    tell::about(ui, desk, "covering", covering.span.as_ref());
    prices(ui, desk, file);
    ui.add_space(10.0);
    ui.strong("The old roof");
    let old = list::table(file, "old_roof");
    let way = [Step::from("old_roof")];
    let of = Of { way: &way, table: &old };
    columns::lines(ui, desk, of, OLD, "the old roof");
    tell::about(ui, desk, "old roof", old.span.as_ref());
    if old.span.is_some() && ui.button("There is nothing to take off").clicked() {
        desk.edit(&[Edit::Set { at: way.to_vec(), value: None, kind: Kind::Raw }], "old roof");
    }
}

fn prices(ui: &mut egui::Ui, desk: &mut Desk, file: &WrittenTable) {
    ui.add_space(10.0);
    ui.strong("Prices");
    let prices = list::table(file, "prices");
    let way = [Step::from("prices")];
    let of = Of { way: &way, table: &prices };
    columns::lines(ui, desk, of, PRICES, "prices");
    let is_own = |key: &str| PRICES.iter().any(|column| column.key == key) || key == BANDS.key;
    let priced = prices.entries.iter().filter(|(key, entry)| !is_own(key) && matches!(entry, Entry::Value(_)));
    egui::Grid::new("prices").num_columns(3).spacing([10.0, 5.0]).show(ui, |ui| {
        for (item, _) in priced {
            ui.label(item);
            let name = format!("price of {item}");
            field::typed(ui, desk, of, &Key { key: item, name: &name, width: 90.0, kind: Kind::Measure, hint: "" });
            let remove = ui.button("Remove it");
            named(ui, &remove, &format!("remove the price of {item}"));
            if remove.clicked() {
                desk.edit(
                    &[Edit::Set { at: under(&way, [item.as_str().into()]), value: None, kind: Kind::Measure }],
                    "price",
                );
            }
            ui.end_row();
        }
    });
    ui.horizontal(|ui| {
        let mut chosen = std::mem::take(&mut desk.forms.new_price);
        let shown = if chosen.is_empty() { "a line of the order" } else { chosen.as_str() }.to_owned();
        let combo = egui::ComboBox::from_id_salt("new price").selected_text(shown).width(170.0).show_ui(ui, |ui| {
            for item in desk.vocabulary.priced.iter().filter(|item| prices.entry(item).is_none()) {
                ui.selectable_value(&mut chosen, item.clone(), item);
            }
        });
        named(ui, &combo.response, "line of the order to price");
        if ui.add_enabled(!chosen.is_empty(), egui::Button::new("Add its price")).clicked() {
            let at = under(&way, [chosen.as_str().into()]);
            desk.edit(&[Edit::Set { at, value: Some("0".to_owned()), kind: Kind::Measure }], "add a price");
            chosen.clear();
        }
        desk.forms.new_price = chosen;
    });
    list::show(ui, desk, of, &BANDS);
    tell::about(ui, desk, "prices", prices.span.as_ref());
}
