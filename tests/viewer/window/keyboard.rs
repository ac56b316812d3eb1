//! A first roof by keyboard alone: begun from a shape, measured, a porch put on, opened on the plan, saved and written.

use super::state::{Plain, area, keep, settle, window};
use eavewright::viewer::app::state::AppState;
use eframe::egui::{Event, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::sync::Arc;

/// Somebody without a mouse.
struct Typist {
    harness: Harness<'static, AppState>,
    pressed: usize,
}

impl Typist {
    fn key(&mut self, modifiers: Modifiers, key: Key) {
        self.pressed += 1;
        self.harness.key_press_modifiers(modifiers, key);
        self.harness.run_steps(2);
    }

    fn enter(&mut self) {
        self.key(Modifiers::NONE, Key::Enter);
        settle(&mut self.harness);
    }

    fn text(&mut self, text: &str) {
        self.pressed += text.chars().count();
        self.harness.event(Event::Text(text.to_owned()));
        self.harness.run_steps(1);
        settle(&mut self.harness);
    }

    fn is_at(&self, name: &str) -> bool {
        self.harness.query_all_by_label(name).any(|node| node.accesskit_node().is_focused())
    }

    /// Tab, or Shift+Tab, until what bears a name has the focus.
    fn go_to(&mut self, name: &str, forward: bool) {
        let modifiers = if forward { Modifiers::NONE } else { Modifiers::SHIFT };
        for _ in 0..150 {
            if self.is_at(name) {
                return;
            }
            self.key(modifiers, Key::Tab);
        }
        panic!("Tab never reaches {name:?}");
    }
}

/// A hip of 9.20 by 5.60 m at 40 degrees is 51.52 m² over cos 40, 67.25 m².
#[test]
fn a_first_roof_is_made_saved_and_looked_at_without_a_mouse() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.toml");
    let harness = window(Arc::new(Plain::default()), "", [1280.0, 1000.0]);
    let mut hand = Typist { harness, pressed: 0 };
    hand.go_to("Begin with a slope from every side", true);
    hand.enter();
    assert!(hand.harness.state().shown.is_some());
    // Down the column of lengths: Enter goes to the next, what is typed takes the place of what stood there.
    hand.go_to("length of side A", true);
    for (number, length) in ["9.20", "5,60", "9.20", "5.60"].iter().enumerate() {
        assert!(hand.is_at(&format!("length of side {}", ["A", "B", "C", "D"][number])), "{length}");
        hand.text(length);
        if number < 3 {
            hand.enter();
        }
    }
    hand.go_to("pitch of side A", false);
    for number in 0..4 {
        hand.text("40");
        if number < 3 {
            hand.enter();
        }
    }
    let state = hand.harness.state();
    assert!(state.errors().next().is_none(), "{:?}\n{}", state.diagnostics, state.text);
    assert!((area(&hand.harness) - 9.2 * 5.6 / 40_f64.to_radians().cos()).abs() < 1e-3, "{}", area(&hand.harness));
    let before = area(&hand.harness);
    keep(&mut hand.harness, "keyboard-typed");
    // The plan, a porch on it moved half a metre along, the ghost put down.
    hand.key(Modifiers::COMMAND, Key::Num2);
    settle(&mut hand.harness);
    hand.key(Modifiers::NONE, Key::F6);
    hand.go_to("Add", true);
    hand.enter();
    hand.go_to("a porch", true);
    hand.enter();
    hand.key(Modifiers::SHIFT, Key::ArrowRight);
    settle(&mut hand.harness);
    hand.enter();
    let state = hand.harness.state();
    assert!(state.errors().next().is_none(), "{:?}\n{}", state.diagnostics, state.text);
    assert!(state.text.contains("name = \"porch\"") && state.text.contains("offset = 4.20"), "{}", state.text);
    assert!(area(&hand.harness) > before + 1.0);
    keep(&mut hand.harness, "keyboard-porch");
    // Its width is typed where it stands.
    hand.go_to("width of block porch", true);
    hand.text("2.00");
    hand.enter();
    assert!(hand.harness.state().text.contains("length = 2.00"), "{}", hand.harness.state().text);
    // Back one step and on again, then saved under a path that is typed.
    hand.key(Modifiers::COMMAND, Key::Z);
    settle(&mut hand.harness);
    assert!(!hand.harness.state().text.contains("length = 2.00"));
    hand.key(Modifiers::COMMAND, Key::Y);
    settle(&mut hand.harness);
    hand.key(Modifiers::COMMAND, Key::S);
    settle(&mut hand.harness);
    hand.text(path.to_str().unwrap());
    hand.enter();
    assert_eq!(std::fs::read_to_string(&path).unwrap(), hand.harness.state().text);
    assert!(!hand.harness.state().is_changed());
    // Every view by its key, and the list of keys.
    for number in [Key::Num1, Key::Num3, Key::Num4, Key::Num5, Key::Num2] {
        hand.key(Modifiers::COMMAND, number);
        settle(&mut hand.harness);
    }
    hand.key(Modifiers::NONE, Key::F1);
    settle(&mut hand.harness);
    assert!(hand.harness.query_by_label("begin a new roof").is_some());
    keep(&mut hand.harness, "keyboard-done");
    println!("{} keys in all", hand.pressed);
    assert!(hand.pressed < 400, "{} keys", hand.pressed);
}
