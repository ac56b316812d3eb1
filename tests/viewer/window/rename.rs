//! A name changed in its field changes wherever the file names it, in one step.

use super::state::{Plain, settle, type_into, window};
use eavewright::base::schema::{Kind, Naming, Table};
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::editors::forms::Page;
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

fn open(text: &str, page: Page) -> Harness<'static, AppState> {
    let mut harness = window(Arc::new(Plain::default()), text, [1280.0, 2200.0]);
    harness.state_mut().forms.page = page;
    harness.run_steps(3);
    harness
}

fn undo(harness: &mut Harness<'static, AppState>) {
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
        // Not waiting for answers: a hand types on.
        harness.run_steps(2);
    }
    settle(&mut harness);
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
    use eavewright::base::file_tree::{Edit, Step};
    use eavewright::input::schema::roof_file;
    use eavewright::viewer::editors::rename::{What, edits};
    let text = BLOCKS.replace("face = \"A\"", "face = \"A:2\"");
    let file = eavewright::input::edit::outline(&text).unwrap();
    let own: Vec<Step> = vec!["block".into(), 0.into(), "sides".into(), 0.into(), "from".into()];
    let edits = edits(roof_file(), &file, What::Corner(0), &own, "A", "north").unwrap();
    let sets = |value: &str| {
        edits.iter().filter(|edit| matches!(edit, Edit::Set { value: Some(set), .. } if set == value)).count()
    };
    assert_eq!((sets("north:2"), sets("store/north"), sets("store.north"), sets("north")), (1, 1, 1, 3));
}

/// Every key that names: the lines that lead to it, with a blank for the name.
fn places(table: &'static Table, before: &str, found: &mut Vec<(String, Naming)>) {
    for key in table.keys {
        match key.kind {
            Kind::Of(naming) => found.push((before.replace('@', &format!("{} = \"#\"", key.key)), naming)),
            Kind::AllOf(naming, _) => found.push((before.replace('@', &format!("{} = [\"#\"]", key.key)), naming)),
            Kind::Table(inner) | Kind::Tables(inner) if !before.contains(&format!("{} =", key.key)) => {
                let within = match (before, key.kind) {
                    ("@", Kind::Table(_)) => format!("[{}]\n@", key.key),
                    ("@", _) => format!("[[{}]]\n@", key.key),
                    (_, Kind::Table(_)) => before.replace('@', &format!("{} = {{ @ }}", key.key)),
                    _ => before.replace('@', &format!("{} = [{{ @ }}]", key.key)),
                };
                if let Some(own) = inner.names.filter(|own| own.are != Naming::Point && own.are != Naming::Card) {
                    found.push((within.replace('@', "\"#\" = [1, 2]"), own.are));
                }
                places(inner, &within, found);
            }
            _ => {}
        }
    }
}

/// Whatever the schema says names something is followed, at every place there is: no list of keys beside it.
#[test]
fn every_key_that_names_something_is_followed() {
    use eavewright::base::file_tree::{Edit, Step};
    use eavewright::input::edit::outline;
    use eavewright::input::schema::roof_file;
    use eavewright::viewer::editors::rename::{What, edits};
    // What is renamed, where its name stands, and how each kind of key would name it.
    let things: [(What, &[&str], &str); 5] = [
        (What::Point, &["points", "E1"], "E1"),
        (What::Face, &["face", "name"], "south"),
        (What::Camera, &["camera", "name"], "phone"),
        (What::Dormer, &["dormer", "name"], "d1"),
        (What::Block, &["block", "name"], "store"),
    ];
    let named = |what: What, naming: Naming| match (what, naming) {
        (What::Point, Naming::PointOrCorner) => Some("E1"),
        (What::Point, Naming::Ends) => Some("E1-E2"),
        (What::Face, Naming::Face | Naming::AnyFace) => Some("south"),
        (What::Camera, Naming::Camera) => Some("phone"),
        (What::Dormer, Naming::AnyFace) => Some("d1/A"),
        (What::Block, Naming::PointOrCorner) => Some("store.A"),
        (What::Block, Naming::Side | Naming::AnyFace | Naming::OwnSide) => Some("store/A"),
        _ => None,
    };
    let mut found = Vec::new();
    places(roof_file(), "@", &mut found);
    let mut followed = 0;
    for (what, own, old) in things {
        let own: Vec<Step> = own.iter().map(|key| Step::from(*key)).collect();
        for (lines, naming) in &found {
            let Some(name) = named(what, *naming) else { continue };
            let text = format!("{}\n[points]\nE1 = []\nE2 = []\n", lines.replace('#', name));
            let file = outline(&text).unwrap_or_else(|| panic!("{text}"));
            let edits = edits(roof_file(), &file, what, &own, old, "new").unwrap();
            let changes = |edit: &Edit| match edit {
                Edit::Set { value, .. } => value.as_ref().is_some_and(|value| *value == name.replace(old, "new")),
                Edit::Rename { to, .. } => *to == name.replace(old, "new"),
                _ => false,
            };
            assert_eq!(edits[1..].iter().filter(|edit| changes(edit)).count(), 1, "{what:?} in {text}: {edits:?}");
            followed += 1;
        }
    }
    assert!(followed > 30, "{followed}");
}

#[test]
fn a_dormer_takes_its_openings_with_it() {
    let text = r#"units = "m"
[[block]]
name = "store"
height = 2.4
sides = [
  { from = "A", length = 9.2, turn = "L", pitch = 40 },
  { from = "B", length = 7.2, turn = "L", verge = true },
  { from = "C", length = 9.2, turn = "L", pitch = 40 },
  { from = "D", length = 7.2, verge = true },
]
[[dormer]]
name = "d1" # over the door
face = "store/A"
at = [3.5, 0.8]
width = 1.6
front_height = 0.9
pitch = 35
kind = "gable"
[[opening]]
kind = "vent"
face = "d1/left"
at = [0.1, 0.1]
size = [0.1, 0.1]
"#;
    let mut harness = open(text, Page::Openings);
    type_into(&mut harness, "name of dormer 1", "gate");
    assert_eq!(harness.state().text, text.replace("\"d1\"", "\"gate\"").replace("d1/left", "gate/left"));
    undo(&mut harness);
    assert_eq!(harness.state().text, text);
}
