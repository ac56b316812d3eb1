//! Every part of the file has its fields, and the file stays its author's.

use super::state::{HIP, Plain, area, settle, type_into, window};
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::editors::forms::Page;
use eframe::egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::sync::Arc;

/// Comments before, behind and between; odd spacing and order; every table.
const FILE: &str = r#"# measured in the rain
title = "Field shed"   # as on the gate
units = "m"

[[tape]] # the diagonal
from = "A"   # by the gate
to = "C"
length = 10.770

[[block]]
name = "store"
height = 2.40
sides = [
  { from = "A", length = 9.20, turn = "L", pitch = 35 }, # street
  { from = "B", length = 5.60, turn = "L",   pitch = 35 },
  # the long one
  { from = "C", length = 9.20, turn = "L", pitch = 35 },
  { from = "D", length = 5.60, turn = "L", pitch = 35 },
]

[prices]
strip-shingle = 31.50  # a bundle

[covering]
card = "strip-shingle" # seen in the shed

[points]
P = [1.0, 2.0, 2.4] # a nail

[[opening]]
face = "store/A"
at = [2.0, 1.2]
size = [0.78,  1.18] # as its frame
kind = "roof window"

# the end
"#;

fn open(text: &str, page: Page) -> Harness<'static, AppState> {
    let mut harness = window(Arc::new(Plain::default()), text, [1280.0, 1400.0]);
    harness.state_mut().forms.page = page;
    harness.run_steps(3);
    harness
}

#[track_caller]
fn typed(page: Page, field: &str, text: &str, from: &str, to: &str) {
    let mut harness = open(FILE, page);
    type_into(&mut harness, field, text);
    assert_eq!(harness.state().text, FILE.replace(from, to), "{field}");
    assert_eq!(harness.state().errors().count(), 0, "{field}: {:?}", harness.state().diagnostics);
    harness.key_press_modifiers(eframe::egui::Modifiers::COMMAND, eframe::egui::Key::Z);
    settle(&mut harness);
    assert_eq!(harness.state().text, FILE, "{field}");
}

#[test]
fn a_value_typed_changes_its_place_alone_and_is_undone() {
    typed(Page::Job, "title of the job", "Boat shed", "\"Field shed\"", "\"Boat shed\"");
    typed(Page::Measures, "length of tape 1", "10.75", "10.770", "10.75");
    typed(Page::Measures, "to of tape 1", "store.C", "to = \"C\"", "to = \"store.C\"");
    typed(Page::Openings, "size: along, up of opening 1", "0.78, 1.10", "0.78,  1.18", "0.78,  1.10");
    typed(Page::Openings, "what of opening 1", "vent", "roof window", "vent");
    typed(Page::Covering, "price of strip-shingle", "29.90", "31.50", "29.90");
    typed(
        Page::Covering,
        "waste of the covering",
        "15 %",
        "card = \"strip-shingle\" # seen in the shed\n",
        "card = \"strip-shingle\" # seen in the shed\nwaste = \"15 %\"\n",
    );
    typed(Page::Points, "place of point P", "1.0, 2.5, 2.4", "[1.0, 2.0, 2.4]", "[1.0, 2.5, 2.4]");
    typed(
        Page::Sides,
        "length of side B",
        "18' 4 1/2\"",
        "5.60, turn = \"L\",   pitch",
        "\"18' 4 1/2\\\"\", turn = \"L\",   pitch",
    );
    typed(Page::Sides, "height of store", "2.45", "2.40", "2.45");
}

#[test]
fn a_site_that_was_not_there_is_made() {
    let mut harness = open(FILE, Page::Job);
    type_into(&mut harness, "north of the site", "20");
    assert!(harness.state().text.contains("\n[site]\nnorth = 20\n"), "{}", harness.state().text);
    type_into(&mut harness, "wind from of the site", "SW");
    assert!(harness.state().text.contains("\n[site]\nnorth = 20\nwind_from = \"SW\"\n"), "{}", harness.state().text);
    assert_eq!(harness.state().errors().count(), 0);
}

#[test]
fn rows_come_and_go_and_what_is_missing_is_told_at_its_field() {
    let mut harness = open(FILE, Page::Measures);
    harness.get_by_label("Add a pitch reading").click();
    settle(&mut harness);
    assert!(harness.state().text.contains("[[pitch_reading]]\n"), "{}", harness.state().text);
    assert!(harness.query_all_by_label("pitch reading 1:").next().is_some());
    type_into(&mut harness, "face of pitch reading 1", "store/A");
    type_into(&mut harness, "pitch of pitch reading 1", "34.5");
    harness.get_by_label("more about tape 1").click();
    harness.run_steps(3);
    harness.get_by_label("Put another after it").click();
    settle(&mut harness);
    type_into(&mut harness, "from of tape 2", "B");
    type_into(&mut harness, "to of tape 2", "D");
    assert!(harness.state().text.contains("from = \"B\"   # by the gate\nto = \"D\"\nlength = 10.770\n"));
    harness.get_by_label("more about tape 1").click();
    harness.run_steps(3);
    harness.get_by_label("Remove it").click();
    settle(&mut harness);
    let text = &harness.state().text;
    assert!(!text.contains("the diagonal") && text.contains("from = \"B\"") && text.ends_with("# the end\n"), "{text}");
}

#[test]
fn a_blank_typed_at_the_end_is_not_lost() {
    let mut harness = open(FILE, Page::Sides);
    harness.get_by_label("pitch of side A").focus();
    harness.run_steps(1);
    harness.key_press_modifiers(eframe::egui::Modifiers::COMMAND, eframe::egui::Key::A);
    for letter in ["7", " ", "in", " ", "12"] {
        harness.get_by_label("pitch of side A").type_text(letter);
        harness.run_steps(2);
    }
    settle(&mut harness);
    assert!(harness.state().text.contains("pitch = \"7 in 12\" }, # street"), "{}", harness.state().text);
    assert_eq!(harness.state().errors().count(), 0);
}

#[test]
fn a_page_says_how_many_errors_stand_on_it() {
    let mut harness = open(FILE, Page::Measures);
    type_into(&mut harness, "from of tape 1", "Q");
    assert!(harness.query_by_label("Measures (1)").is_some());
    type_into(&mut harness, "from of tape 1", "A");
    assert!(harness.query_by_label("Measures").is_some());
    assert_eq!(harness.state().text, FILE);
}

/// As on a spreadsheet: Tab chooses what stands there, Enter goes down, a comma is a decimal.
#[test]
fn a_column_is_typed_without_the_mouse() {
    let mut harness = open(HIP, Page::Sides);
    harness.get_by_label("length of side A").focus();
    settle(&mut harness);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.get_by_label("length of side A").type_text("10,20");
    for (below, length) in [("B", "6.10"), ("C", "10,20")] {
        harness.key_press(Key::Enter);
        settle(&mut harness);
        let field = format!("length of side {below}");
        assert!(harness.get_by_label(&field).is_focused(), "Enter goes to {field}");
        harness.get_by_label(&field).type_text(length);
        settle(&mut harness);
    }
    harness.key_press(Key::Tab);
    settle(&mut harness);
    harness.key_press_modifiers(Modifiers::SHIFT, Key::Tab);
    settle(&mut harness);
    harness.get_by_label("length of side C").type_text("10.21");
    settle(&mut harness);
    let wanted = HIP.replacen("9.20", "10.20", 1).replacen("9.20", "10.21", 1).replacen("5.60", "6.10", 1);
    assert_eq!(harness.state().text, wanted);
}

/// A column as a spreadsheet copies it, a decimal comma and a second column among it, fills the rows below in one step.
#[test]
fn a_column_is_pasted_into_a_list_of_fields() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    harness.get_by_label("length of side A").focus();
    harness.run_steps(2);
    harness.event(eframe::egui::Event::Paste("8,40\t1\r\n5.00\t2\r\n8.40\r\n5.00\r\n".to_owned()));
    settle(&mut harness);
    let pasted = HIP.replace("9.20", "8.40").replace("5.60", "5.00");
    let text = harness.state().text.replace("8,40", "8.40").replace("\"8.40\"", "8.40");
    assert_eq!(text, pasted);
    assert_eq!(harness.state().errors().count(), 0);
    assert!((area(&harness) - 8.4 * 5.0 / 35_f64.to_radians().cos()).abs() < 1e-6);
    harness.state_mut().act(eavewright::viewer::app::keys::Action::Undo);
    settle(&mut harness);
    assert_eq!(harness.state().text, HIP);
    harness.get_by_label("length of side C").focus();
    harness.run_steps(2);
    harness.event(eframe::egui::Event::Paste("9.20\n5.60\n3\n4\n".to_owned()));
    settle(&mut harness);
    assert_eq!(harness.state().text, HIP);
    assert!(harness.state().said.0.contains("4 lines pasted into 2 rows"), "{:?}", harness.state().said);
}

/// What a repair renews and what a comparison keeps to stand on the page of the covering, where work and offer are.
#[test]
fn repairs_and_the_comparison_have_their_fields_beside_the_covering() {
    let text = format!("{HIP}\n[[repair]]\nface = \"store/A\"\n\n[compare]\nplanning_height = 6\n");
    let mut harness = window(Arc::new(Plain::default()), &text, [1280.0, 4000.0]);
    harness.state_mut().forms.page = Page::Covering;
    settle(&mut harness);
    let shown =
        |harness: &Harness<'static, AppState>, part: &str| harness.query_all_by_label_contains(part).next().is_some();
    assert!(shown(&harness, "Add a repair") && shown(&harness, "of the comparison"));
    harness.state_mut().forms.page = Page::Measures;
    settle(&mut harness);
    assert!(!shown(&harness, "Add a repair"));
}
