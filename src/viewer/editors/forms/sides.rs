//! Blocks and their sides: the outline as it was walked.

use super::columns;
use super::field::{self, Field, Of};
use super::list;
use super::split::split;
use super::tell;
use crate::base::file_tree::{Edit, FileTable, Kind, Step, under};
use crate::base::quantity;
use crate::base::schema::{self, Key, Table};
use crate::base::units::Pitch;
use crate::viewer::app::state::AppState;
use crate::viewer::editors::begin;
use crate::viewer::editors::rows;
use crate::viewer::editors::rows::{BlockRow, RingRow, RoleWord, SideRow};
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::named;
use eframe::egui;
use eframe::egui::{Align, CollapsingHeader, Layout, RichText, vec2};

/// Keys of a side that its row holds: where it runs and what it is.
const IN_ROW: [&str; 8] = ["length", "turn", "at", "pitch", "verge", "hip_from", "verge_from", "abutment"];

/// What a block may hold.
fn block_shape(app: &AppState) -> Option<&'static Table> {
    app.schema.key("block").and_then(Key::table)
}

/// A light well to begin from.
const NEW_HOLE: &str = r#"start = ["1 m", "1 m"]
sides = [
  { from = "a", length = "1 m", turn = "L", pitch = 35 },
  { from = "b", length = "1 m", turn = "L", pitch = 35 },
  { from = "c", length = "1 m", turn = "L", pitch = 35 },
  { from = "d", length = "1 m", turn = "L", pitch = 35 },
]
"#;

/// The whole page.
pub fn show(ui: &mut egui::Ui, app: &mut AppState, file: &FileTable) {
    let blocks = rows::blocks(file);
    if blocks.is_empty() {
        ui.label("This roof has no walked outline; its points and faces are on the page Points.");
    }
    for block in &blocks {
        // A side of the only block needs no block's name.
        let of = if blocks.len() > 1 { format!(" of {}", block.name) } else { String::new() };
        block_of(ui, app, block, &of);
        ui.add_space(10.0);
    }
    if ui.button("Add a block").clicked() {
        let entry = begin::block(app, file);
        app.edit(&[Edit::Add { list: vec!["block".into()], entry }], "add a block");
    }
}

fn block_of(ui: &mut egui::Ui, app: &mut AppState, block: &BlockRow, of: &str) {
    let Some(shape) = block_shape(app) else { return };
    let faint = colour(app.theme.palette().faint);
    let whole = Of { way: &block.at, table: &block.written };
    ui.horizontal(|ui| {
        ui.heading(&block.name);
        ui.add_space(8.0);
        ui.label("eaves at");
        let name = format!("height of {}", block.name);
        field::typed(
            ui,
            app,
            whole,
            &Field { key: "height", name: &name, width: 72.0, kind: Kind::Measure, hint: "0" },
        );
        ui.label(RichText::new("above datum").color(faint));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| block_menu(ui, app, block));
    });
    all_eaves(ui, app, block);
    for (number, ring) in block.rings.iter().enumerate() {
        if number > 0 {
            ui.add_space(4.0);
            courtyard(ui, app, block, ring, number);
        }
        ring_of(ui, app, block, ring, of);
    }
    if let Some(shown) = &app.shown {
        let gap = shown.answered.answer.survey.misclosures.iter().find(|(name, _)| *name == block.name);
        if let Some((_, gap)) = gap.filter(|(_, gap)| *gap >= 0.0005) {
            let words =
                format!("As walked, the outline misses closing by {:.0} mm; shared out over its sides.", gap * 1e3);
            ui.label(RichText::new(words).color(faint));
        }
    }
    let more = CollapsingHeader::new(format!("More about {}", block.name)).id_salt(&block.at);
    more.show(ui, |ui| {
        // The height stands beside the block's name.
        let keys = columns::values(shape).filter(|key| key.key != "height");
        columns::lines(ui, app, whole, keys, &block.name);
        for (key, inner) in tables_of(shape) {
            let table = list::table(&block.written, key);
            let way = under(&block.at, [key.into()]);
            let whose = format!("{} {key}", block.name);
            columns::lines(ui, app, Of { way: &way, table: &table }, columns::values(inner), &whose);
        }
    });
    for key in columns::values(shape) {
        let value = block.written.field(key.key);
        tell::about(app, key.key, value.span.as_ref());
    }
    for (key, _) in tables_of(shape) {
        tell::about(app, key, list::table(&block.written, key).span.as_ref());
    }
}

/// The tables a block has one of: its overhang, its rafter.
fn tables_of(shape: &'static Table) -> impl Iterator<Item = (&'static str, &'static Table)> {
    shape.keys.iter().filter_map(|key| match key.kind {
        schema::Kind::Table(table) => Some((key.key, table)),
        _ => None,
    })
}

fn block_menu(ui: &mut egui::Ui, app: &mut AppState, block: &BlockRow) {
    let list: Vec<Step> = vec!["block".into()];
    let Some(Step::At(index)) = block.at.last().cloned() else { return };
    let menu = ui.menu_button("…", |ui| {
        if ui.button("Put a block like it after it").clicked() {
            app.edit(&[Edit::Repeat { list: list.clone(), index }], "repeat a block");
            ui.close();
        }
        if ui.button("Add a courtyard").clicked() {
            let list = under(&block.at, ["holes".into()]);
            app.edit(&[Edit::Add { list, entry: NEW_HOLE.to_owned() }], "add a courtyard");
            ui.close();
        }
        if ui.button("Remove the block").clicked() {
            app.edit(&[Edit::Remove { list: list.clone(), index }], "remove a block");
            ui.close();
        }
    });
    named(ui, &menu.response, &format!("more about block {}", block.name));
}

fn courtyard(ui: &mut egui::Ui, app: &mut AppState, block: &BlockRow, ring: &RingRow, number: usize) {
    ui.horizontal(|ui| {
        ui.strong(format!("courtyard {number}"));
        let remove = ui.button("Remove it");
        named(ui, &remove, &format!("remove courtyard {number} of {}", block.name));
        if remove.clicked() {
            let list = under(&block.at, ["holes".into()]);
            app.edit(&[Edit::Remove { list, index: number - 1 }], "remove a courtyard");
        }
    });
    let table = block.written.list("holes").get(number - 1).cloned().unwrap_or_default();
    let Some(shape) = block_shape(app).and_then(|block| block.key("holes")?.table()) else { return };
    let of = Of { way: &ring.owner, table: &table };
    columns::lines(ui, app, of, columns::values(shape), &format!("courtyard {number}"));
}

/// One slider for every eave of a block: the roof follows while it is dragged.
fn all_eaves(ui: &mut egui::Ui, app: &mut AppState, block: &BlockRow) {
    let sides = block.rings.iter().flat_map(|ring| &ring.sides).filter(|side| side.role == RoleWord::Eave);
    let eaves: Vec<&SideRow> = sides.filter(|side| side.field("pitch").text != "?").collect();
    let pitches = eaves.iter().filter_map(|side| quantity::pitch(&side.field("pitch").text).ok());
    let Some(steepest) = pitches.map(Pitch::degrees).reduce(f64::max) else { return };
    let mut degrees = steepest;
    ui.horizontal(|ui| {
        ui.label("all eaves");
        ui.spacing_mut().slider_width = 150.0;
        // It shows pitches between its steps and beyond its ends as they are: only a hand on it changes the file.
        let slider = egui::Slider::new(&mut degrees, 3.0..=75.0).step_by(0.5).suffix("°").max_decimals(1);
        let slider = slider.clamping(egui::SliderClamping::Edits);
        let slider = ui.add(slider);
        named(ui, &slider, &format!("pitch of all eaves of {}", block.name));
        if slider.drag_started() {
            app.hold();
        }
        if slider.changed() && !app.is_called_off() {
            let edits: Vec<Edit> = eaves.iter().map(|side| pitch_edit(side, degrees)).collect();
            app.edit(&edits, &format!("pitch of all eaves of {}", block.name));
        }
        if slider.drag_stopped() {
            app.let_go();
        }
    });
}

/// Sets a side's pitch in degrees.
#[must_use]
pub(crate) fn pitch_edit(side: &SideRow, degrees: f64) -> Edit {
    let value = Some(format!("{}", (degrees * 10.0).round() / 10.0));
    Edit::Set { at: under(&side.at, ["pitch".into()]), value, kind: Kind::Measure }
}

const WIDTHS: [f32; 5] = [30.0, 82.0, 44.0, 86.0, 54.0];

fn ring_of(ui: &mut egui::Ui, app: &mut AppState, block: &BlockRow, ring: &RingRow, of: &str) {
    let faint = colour(app.theme.palette().faint);
    let heads = if ring.sides.iter().any(SideRow::is_placed) {
        ["side", "at", "", "is", "pitch"]
    } else {
        ["side", "length", "turn", "is", "pitch"]
    };
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        for (head, width) in heads.into_iter().zip(WIDTHS) {
            ui.allocate_ui_with_layout(vec2(width, 16.0), Layout::left_to_right(Align::Center), |ui| {
                ui.set_min_width(width);
                ui.label(RichText::new(head).small().color(faint));
            });
        }
    });
    let shape = block_shape(app).and_then(|block| block.key("sides")?.table());
    for (index, side) in ring.sides.iter().enumerate() {
        let whose = format!("side {}{of}", side.name);
        row(ui, app, block, ring, index, side, &whose);
        if app.forms.opened.contains(&side.at) {
            ui.indent((&side.at, "more"), |ui| {
                let of = Of { way: &side.at, table: &side.written };
                if let Some(shape) = shape {
                    let more = columns::values(shape).filter(|key| !IN_ROW.contains(&key.key));
                    columns::lines(ui, app, of, more, &whose);
                }
                breaks(ui, app, of, shape);
            });
        } else if !side.written.list("breaks").is_empty() {
            ui.indent((&side.at, "breaks"), |ui| {
                breaks(ui, app, Of { way: &side.at, table: &side.written }, shape);
            });
        }
        tell::about(app, &format!("side {}", side.name), side.span());
    }
}

fn breaks(ui: &mut egui::Ui, app: &mut AppState, of: Of, side: Option<&'static Table>) {
    if let Some(key) = side.and_then(|side| side.key("breaks")) {
        list::show(ui, app, of, key);
    }
}

fn row(
    ui: &mut egui::Ui,
    app: &mut AppState,
    block: &BlockRow,
    ring: &RingRow,
    index: usize,
    side: &SideRow,
    whose: &str,
) {
    let face = app.shown.as_ref().and_then(|shown| shown.face_of_side(&block.name, &side.name));
    let is_chosen = face.is_some() && app.look.chosen == face;
    let of = Of { way: &side.at, table: &side.written };
    let words = |what: &str| format!("{what} of {whose}");
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let label = egui::Button::selectable(is_chosen, RichText::new(&side.name).strong()).truncate();
        let name = ui.add_sized(vec2(WIDTHS[0], 24.0), label);
        named(ui, &name, whose);
        if name.clicked() {
            app.look.chosen = if is_chosen { None } else { face };
        }
        let mut key = |ui: &mut egui::Ui, key, width, kind| {
            let name = words(if key == "at" { "place" } else { key });
            field::typed(ui, app, of, &Field { key, name: &name, width, kind, hint: "" });
        };
        if side.is_placed() {
            let width = WIDTHS[1] + WIDTHS[2] + 6.0;
            key(ui, "at", width, Kind::Measures);
        } else {
            key(ui, "length", WIDTHS[1], Kind::Measure);
            key(ui, "turn", WIDTHS[2], Kind::Measure);
        }
        let mut role = side.role;
        let combo = egui::ComboBox::from_id_salt(&side.at).selected_text(role.word()).width(WIDTHS[3]);
        let combo = combo.show_ui(ui, |ui| {
            for other in RoleWord::ALL {
                ui.selectable_value(&mut role, other, other.word());
            }
        });
        named(ui, &combo.response, &words("kind"));
        if role != side.role {
            app.edit(&role_edits(side, role), &format!("role {:?}", side.at));
        }
        if matches!(side.role, RoleWord::Verge | RoleWord::Abutment) {
            ui.allocate_space(vec2(WIDTHS[4], 1.0));
        } else {
            let name = words("pitch");
            let key = Field { key: "pitch", name: &name, width: WIDTHS[4], kind: Kind::Measure, hint: "" };
            field::typed(ui, app, of, &key);
        }
        side_menu(ui, app, ring, index, side, whose);
    });
    let rise = match side.role {
        RoleWord::HalfHip => Some(("hip_from", "rise of the hip")),
        RoleWord::Gablet => Some(("verge_from", "rise of the gablet")),
        _ => None,
    };
    if let Some((key, what)) = rise {
        ui.horizontal(|ui| {
            ui.add_space(WIDTHS[0] + 8.0);
            ui.label(format!("{what}:"));
            let name = words(what);
            field::typed(ui, app, of, &Field { key, name: &name, width: 70.0, kind: Kind::Measure, hint: "1.50" });
        });
    }
}

fn side_menu(ui: &mut egui::Ui, app: &mut AppState, ring: &RingRow, index: usize, side: &SideRow, whose: &str) {
    let list = || ring.list.clone();
    let menu = ui.menu_button("…", |ui| {
        let is_open = app.forms.opened.contains(&side.at);
        let words = if is_open { "Less about it" } else { "More about it" };
        if ui.button(words).clicked() {
            if !app.forms.opened.remove(&side.at) {
                app.forms.opened.insert(side.at.clone());
            }
            ui.close();
        }
        let halves = split(ring, index);
        if ui.add_enabled(halves.is_some(), egui::Button::new("Split it in two")).clicked() {
            app.edit(&halves.unwrap_or_default(), "split a side");
            ui.close();
        }
        if ui.button("Put a side after it").clicked() {
            app.edit(&[Edit::Repeat { list: list(), index }], "sides");
            ui.close();
        }
        if ui.button("Remove it").clicked() {
            app.forms.opened.clear();
            app.edit(&[Edit::Remove { list: list(), index }], "sides");
            ui.close();
        }
    });
    named(ui, &menu.response, &format!("more about {whose}"));
}

/// The changes that make a side another thing; what it no longer needs goes.
fn role_edits(side: &SideRow, role: RoleWord) -> Vec<Edit> {
    let or = |key: &str, usual: &str| {
        let text = side.field(key).text;
        if text.is_empty() { usual.to_owned() } else { text }
    };
    let pitch = || ("pitch", or("pitch", "35"));
    let rise = |key| {
        let text = side.field("hip_from").text + &side.field("verge_from").text;
        (key, if text.is_empty() { "1 m".to_owned() } else { text })
    };
    let on = |key| (key, "true".to_owned());
    let wanted: Vec<(&str, String)> = match role {
        RoleWord::Eave => vec![pitch()],
        RoleWord::Verge => vec![on("verge")],
        RoleWord::HalfHip => vec![on("verge"), rise("hip_from"), pitch()],
        RoleWord::Gablet => vec![pitch(), rise("verge_from")],
        RoleWord::Abutment => vec![on("abutment")],
    };
    let keys = ["pitch", "verge", "hip_from", "verge_from", "abutment", "breaks"];
    let gone = keys.into_iter().filter(|key| wanted.iter().all(|(wanted, _)| wanted != key));
    let gone = gone.filter(|key| side.written.entry(key).is_some() && !(role == RoleWord::Eave && *key == "breaks"));
    let set = |key: &str, value| Edit::Set { at: under(&side.at, [key.into()]), value, kind: Kind::Measure };
    let gone: Vec<Edit> = gone.map(|key| set(key, None)).collect();
    gone.into_iter().chain(wanted.iter().map(|(key, value)| set(key, Some(value.clone())))).collect()
}
