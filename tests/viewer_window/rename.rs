//! A name changed in its field changes wherever the file names it, in one step.

use crate::desk::{Plain, settle, type_into, window};
use eavewright::viewer::desk::Desk;
use eavewright::viewer::forms::Page;
use eframe::egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::sync::Arc;

/// Points named in every place a point can be named; `E1` besides as part of other words, which are to stay.
pub const POINTS: &str = r#"title = "E1 and others" # E1 is by the gate
units = "m"

[points]
E1 = [0, 0, 2.3] # E1
E2 = [6.4, 0, 2.3]
E3 = [6.4, 4.2, 2.3]
E4 = [0, 4.2, 2.3]
E10 = [0, 0, 0]
R1 = { near = [2.1, 2.1, 3.5] }
R2 = { near = [4.3, 2.1, 3.5] }

[[face]]
name = "E1 side"
points = ["E1",  "E2", "R2", "R1"] # from E1

[[face]]
name = "east"
points = ["E2", "E3", "R2"]

[[face]]
name = "north"
points = ["E3", "E4", "R1", "R2"]

[[face]]
name = "west"
points = ["E4", "E1", "R1"]

[[tape]]
from = "E1"
to = "R1"
length = 3.195

[[tape]]
from = "R2"
to = "E1"
length = 4.936

[[level]]
points = ["R1", "R2"]

[[level]]
points = ["E1", "E4"]

[[plumb]]
points = ["E10", "E1"]

[[square]]
at = "E1"
arms = ["E2", "E4"]

[[square]]
at = "E2"
arms = ["E1", "E3"]

[[upright]]
point = "R1"
over = ["E1", "E3"]

[[axis]]
from = "E1"
to = "E2"
along = "+x"

[[camera]]
name = "phone"
focal = 900

[[photo]]
camera = "phone"
size = [1600, 1200]
marks = { E1 = [100.0, 900.0], E2 = [1400.0, 880.0], E10 = [110.0, 1100.0] }
"#;

/// Two blocks that share names of corners, and everything that can name one.
const BLOCKS: &str = r#"units = "m"

[[block]]
name = "store"
height = 2.40
rafter = { side = "A", length = 3.42 }
sides = [
  { from = "A", length = 9.20, turn = "L", pitch = "?" }, # A
  { from = "B", length = 5.60, turn = "L", pitch = "?" },
  { from = "C", length = 9.20, turn = "L", pitch = "?" },
  { from = "D", length = 5.60, turn = "L", pitch = "?" },
]

[[block]]
name = "shed"
height = 2.40
at_side = "store/A"
offset = 2
sides = [
  { from = "P", length = 3.0, turn = "R", pitch = 35 },
  { from = "Q", length = 2.0, turn = "R", pitch = 35 },
  { from = "R", length = 3.0, turn = "R", pitch = 35 },
  { from = "S", length = 2.0, turn = "R", pitch = 35 },
]

[[tape]]
from = "store.A"
to = "C"
length = 10.77

[[tape]]
from = "A"
to = "Q"
length = 5.385

[[opening]]
face = "store/C"
at = [2.0, 1.2]
size = [0.5, 0.5]
kind = "vent"

[[opening]]
face = "A"
at = [2.0, 1.2]
size = [0.5, 0.5]
kind = "vent"
"#;

fn open(text: &str, page: Page) -> Harness<'static, Desk> {
    let mut harness = window(Arc::new(Plain::default()), text, [1280.0, 2200.0]);
    harness.state_mut().forms.page = page;
    harness.run_steps(3);
    harness
}

fn undo(harness: &mut Harness<'static, Desk>) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(harness);
}

#[test]
fn a_point_renamed_is_renamed_wherever_it_is_named_and_nowhere_else() {
    let mut harness = open(POINTS, Page::Points);
    let before: Vec<String> = harness.state().diagnostics.iter().map(|diagnostic| diagnostic.message.clone()).collect();
    type_into(&mut harness, "name of point E1", "gate");
    // Every E1 that is a name of the point: in quotes, or a key.
    let wanted = POINTS.replace("\"E1\"", "\"gate\"").replace("\nE1 = ", "\ngate = ").replace("{ E1 = ", "{ gate = ");
    assert_eq!(harness.state().text, wanted);
    assert_eq!(wanted.matches("E1").count() - wanted.matches("E10").count(), 5, "the title, three comments, a face");
    let after: Vec<String> = harness.state().diagnostics.iter().map(|diagnostic| diagnostic.message.clone()).collect();
    assert_eq!(before, after);
    undo(&mut harness);
    assert_eq!(harness.state().text, POINTS, "one step");
}

#[test]
fn letters_typed_one_by_one_pass_names_that_are_taken() {
    let mut harness = open(POINTS, Page::Points);
    harness.get_by_label("name of point E2").focus();
    harness.run_steps(1);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    for letter in ["E", "1", "2"] {
        let name = harness.state().written.as_ref().unwrap().table("points").unwrap().entries[1].0.clone();
        harness.get_by_label(&format!("name of point {name}")).type_text(letter);
        settle(&mut harness);
    }
    let wanted = POINTS.replace("\"E2\"", "\"E12\"").replace("\nE2 = ", "\nE12 = ").replace(" E2 = ", " E12 = ");
    assert_eq!(harness.state().text, wanted);
    undo(&mut harness);
    assert_eq!(harness.state().text, POINTS, "one step");
}

#[test]
fn a_name_that_is_taken_changes_nothing() {
    let mut harness = open(POINTS, Page::Points);
    type_into(&mut harness, "name of point E1", "E2");
    assert_eq!(harness.state().text, POINTS);
    assert_eq!(harness.state().said, ("E2 is taken: another one is called so".to_owned(), true));
    type_into(&mut harness, "name of point E1", "a, b");
    assert_eq!(harness.state().text, POINTS);
}

#[test]
fn faces_and_cameras_take_their_readings_and_photos_with_them() {
    let text = POINTS.replace(
        "[[square]]\nat = \"E1\"",
        "[[pitch_reading]]\nface = \"east\"\npitch = 30\n\n[[square]]\nat = \"E1\"",
    );
    let mut harness = open(&text, Page::Points);
    type_into(&mut harness, "name of face 2", "sunrise");
    assert_eq!(harness.state().text, text.replace("\"east\"", "\"sunrise\""));
    undo(&mut harness);
    harness.state_mut().forms.page = Page::Measures;
    harness.run_steps(3);
    type_into(&mut harness, "name of camera 1", "old phone");
    assert_eq!(harness.state().text, text.replace("\"phone\"", "\"old phone\""));
}

#[test]
fn corners_and_blocks_are_named_with_their_block_where_need_be() {
    let rename = |field: &str, side: Option<&str>, to: &str| {
        let mut harness = open(BLOCKS, Page::Sides);
        assert_eq!(harness.state().errors().count(), 0, "{:?}", harness.state().diagnostics);
        if let Some(side) = side {
            harness.get_by_label(&format!("more about side {side}")).click();
            harness.run_steps(3);
            harness.get_by_label("More about it").click();
        } else {
            harness.get_by_label("More about store").click();
        }
        harness.run_steps(4);
        type_into(&mut harness, field, to);
        assert_eq!(
            harness.state().errors().count(),
            0,
            "{:?} in {}",
            harness.state().diagnostics,
            harness.state().text
        );
        let text = harness.state().text.clone();
        undo(&mut harness);
        assert_eq!(harness.state().text, BLOCKS);
        text
    };
    let wanted = BLOCKS
        .replace("from = \"A\"", "from = \"north\"")
        .replace("side = \"A\"", "side = \"north\"")
        .replace("store/A", "store/north")
        .replace("store.A", "store.north")
        .replace("face = \"A\"", "face = \"north\"");
    assert_eq!(rename("corner it starts from of side A of store", Some("A of store"), "north"), wanted);
    // Called as a corner of the other block is called: both are told apart by their blocks then.
    let wanted = BLOCKS
        .replace("{ from = \"A\"", "{ from = \"Q\"")
        .replace("side = \"A\"", "side = \"Q\"")
        .replace("store/A", "store/Q")
        .replace("store.A", "store.Q")
        .replace("face = \"A\"", "face = \"store/Q\"")
        .replace("from = \"A\"\nto = \"Q\"", "from = \"store.Q\"\nto = \"shed.Q\"");
    assert_eq!(rename("corner it starts from of side A of store", Some("A of store"), "Q"), wanted);
    let wanted = BLOCKS.replace("\"store\"", "\"barn\"").replace("store/", "barn/").replace("store.", "barn.");
    assert_eq!(rename("name of store", None, "barn"), wanted);
}

#[test]
fn a_piece_of_a_side_keeps_its_number() {
    use eavewright::base::written::{Edit, Step};
    use eavewright::viewer::rename::{What, edits};
    let text = BLOCKS.replace("face = \"A\"", "face = \"A:2\"");
    let file = eavewright::input::edit::outline(&text).unwrap();
    let own: Vec<Step> = vec!["block".into(), 0.into(), "sides".into(), 0.into(), "from".into()];
    let edits = edits(&file, What::Corner(0), &own, "A", "north").unwrap();
    let sets = |value: &str| {
        edits.iter().filter(|edit| matches!(edit, Edit::Set { value: Some(set), .. } if set == value)).count()
    };
    assert_eq!((sets("north:2"), sets("store/north"), sets("store.north"), sets("north")), (1, 1, 1, 3));
}
