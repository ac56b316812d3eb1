//! Corners and sides moved on the plan, by the pointer and by key.

use super::state::{HIP, Plain, keep, settle, window};
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::editors::views::Tab;
use eframe::egui::{Event, Key, Modifiers, PointerButton, Pos2, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::sync::Arc;

fn plan(text: &str) -> Harness<'static, AppState> {
    let mut harness = window(Arc::new(Plain::default()), text, [1280.0, 800.0]);
    harness.state_mut().views.tab = Tab::Plan;
    harness.run_steps(3);
    harness
}

/// Points of the screen a metre, from two corners of the store.
fn scale(harness: &Harness<'static, AppState>) -> f32 {
    let at = |name: &str| harness.get_by_label(name).rect().center();
    (at("corner B of store") - at("corner A of store")).length() / 9.2
}

/// Drags what bears a name, in several steps, with or without Shift.
fn drag(harness: &mut Harness<'static, AppState>, name: &str, by: Vec2, shift: bool) {
    let modifiers = if shift { Modifiers::SHIFT } else { Modifiers::NONE };
    let from = harness.get_by_label(name).rect().center();
    let button =
        |pos: Pos2, pressed: bool| Event::PointerButton { pos, button: PointerButton::Primary, pressed, modifiers };
    harness.event(Event::ModifiersChanged(modifiers));
    harness.event(Event::PointerMoved(from));
    harness.run_steps(1);
    harness.event(button(from, true));
    harness.run_steps(1);
    for step in 1..=8_u8 {
        harness.event(Event::PointerMoved(from + by * f32::from(step) / 8.0));
        harness.run_steps(1);
    }
    harness.event(button(from + by, false));
    harness.run_steps(1);
    harness.event(Event::ModifiersChanged(Modifiers::NONE));
    settle(harness);
}

fn lengths(harness: &Harness<'static, AppState>) -> Vec<String> {
    let file = harness.state().written.clone().unwrap();
    file.list("block")[0].list("sides").iter().map(|side| side.field("length").text).collect()
}

#[test]
fn a_side_dragged_lengthens_its_neighbours_and_is_one_step() {
    let mut harness = plan(HIP);
    keep(&mut harness, "plan");
    let scale = scale(&harness);
    // Side B is the right end: out to the right by 1.03 m, tidied to 1.0.
    drag(&mut harness, "plan side B of store", vec2(1.03 * scale, 0.0), true);
    assert_eq!(harness.state().text, HIP.replace("9.20", "10.20"));
    assert_eq!(harness.state().errors().count(), 0);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut harness);
    assert_eq!(harness.state().text, HIP);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Y);
    settle(&mut harness);
    assert_eq!(lengths(&harness), ["10.20", "5.60", "10.20", "5.60"]);
}

#[test]
fn a_corner_dragged_writes_lengths_and_turns() {
    let mut harness = plan(HIP);
    let scale = scale(&harness);
    drag(&mut harness, "corner C of store", vec2(0.8 * scale, -0.6 * scale), false);
    let file = harness.state().written.clone().unwrap();
    let sides = file.list("block")[0].list("sides").to_vec();
    // C went from (9.2, 5.6) to (10.0, 6.2); a pixel is some 16 mm.
    let number = |index: usize, key: &str| sides[index].field(key).text.parse::<f64>().unwrap();
    assert!((number(1, "length") - 0.8_f64.hypot(6.2)).abs() < 0.03, "{sides:?}");
    assert!((number(2, "length") - 10.0_f64.hypot(0.6)).abs() < 0.03, "{sides:?}");
    let turn = 90.0 - (0.8_f64 / 6.2).atan().to_degrees();
    assert!((number(0, "turn") - turn).abs() < 0.4, "{sides:?}");
    assert_eq!([number(0, "length"), number(3, "length")], [9.2, 5.6]);
    assert_eq!(harness.state().errors().count(), 0, "{:?}", harness.state().diagnostics);
    // The corner stands where the hand left it.
    let corner = harness.state().shown.as_ref().unwrap().answered.answer.corners[0][0][2];
    assert!((corner - nalgebra::Point2::new(10.0, 6.2)).norm() < 0.05, "{corner}");
    keep(&mut harness, "plan-dragged");
}

#[test]
fn the_first_corner_takes_the_start_with_it() {
    let mut harness = plan(HIP);
    let scale = scale(&harness);
    drag(&mut harness, "corner A of store", vec2(-0.5 * scale, 0.4 * scale), false);
    assert_eq!(harness.state().errors().count(), 0, "{:?}", harness.state().diagnostics);
    let corners = harness.state().shown.as_ref().unwrap().answered.answer.corners[0][0].clone();
    let wanted = [[-0.5, -0.4], [9.2, 0.0], [9.2, 5.6], [0.0, 5.6]].map(nalgebra::Point2::from);
    for (corner, wanted) in corners.iter().zip(wanted) {
        assert!((corner - wanted).norm() < 0.05, "{corners:?}");
    }
    assert!(harness.state().text.contains("start = [") && harness.state().text.contains("heading = "));
}

#[test]
fn arrow_keys_nudge_what_is_in_focus() {
    let mut harness = plan(HIP);
    harness.get_by_label("plan side B of store").focus();
    harness.run_steps(2);
    for _ in 0..3 {
        harness.key_press(Key::ArrowRight);
        settle(&mut harness);
    }
    assert_eq!(lengths(&harness), ["9.23", "5.60", "9.23", "5.60"]);
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowLeft);
    settle(&mut harness);
    assert_eq!(lengths(&harness), ["9.13", "5.60", "9.13", "5.60"]);
}

#[test]
fn corners_by_place_move_in_their_own_frame() {
    let text = r#"units = "m"
[[block]]
name = "store"
height = 2.4
start = [2, 1]
heading = 90
sides = [
  { from = "A", at = [0, 0], pitch = 35 },
  { from = "B", at = [9.2, 0], pitch = 35 }, # the far one
  { from = "C", at = [9.2, 5.6], pitch = 35 },
  { from = "D", at = [0, 5.6], pitch = 35 },
]
"#;
    let mut harness = plan(text);
    let scale = scale(&harness);
    // The frame is turned by a right angle: up on the screen is along its x.
    drag(&mut harness, "corner B of store", vec2(0.0, -0.5 * scale), false);
    let file = harness.state().written.clone().unwrap();
    let at = file.list("block")[0].list("sides")[1].field("at").text;
    let numbers: Vec<f64> = at.split(',').map(|number| number.trim().parse().unwrap()).collect();
    assert!((numbers[0] - 9.7).abs() < 0.03 && numbers[1].abs() < 0.03, "{at}");
    assert!(harness.state().text.contains("# the far one"));
    assert_eq!(harness.state().errors().count(), 0);
}

/// Holds what bears a name and moves it, without letting go.
fn take_hold(harness: &mut Harness<'static, AppState>, name: &str, by: Vec2) -> Pos2 {
    let from = harness.get_by_label(name).rect().center();
    harness.event(Event::PointerMoved(from));
    harness.run_steps(1);
    let button = PointerButton::Primary;
    harness.event(Event::PointerButton { pos: from, button, pressed: true, modifiers: Modifiers::NONE });
    harness.run_steps(1);
    for step in 1..=8_u8 {
        harness.event(Event::PointerMoved(from + by * f32::from(step) / 8.0));
        harness.run_steps(1);
    }
    from + by
}

fn let_go(harness: &mut Harness<'static, AppState>, at: Pos2) {
    let button = PointerButton::Primary;
    harness.event(Event::PointerButton { pos: at, button, pressed: false, modifiers: Modifiers::NONE });
    harness.run_steps(1);
    settle(harness);
}

#[test]
fn esc_calls_a_drag_off() {
    let mut harness = plan(HIP);
    drag(&mut harness, "plan side B of store", vec2(60.0, 0.0), false);
    let first = harness.state().text.clone();
    assert_ne!(first, HIP);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut harness);
    let at = take_hold(&mut harness, "corner C of store", vec2(50.0, -40.0));
    assert_ne!(harness.state().text, HIP);
    harness.key_press(Key::Escape);
    harness.run_steps(1);
    assert_eq!(harness.state().text, HIP);
    // The hand goes on and lets go: nothing changes any more.
    harness.event(Event::PointerMoved(at + vec2(70.0, 10.0)));
    harness.run_steps(2);
    let_go(&mut harness, at + vec2(70.0, 10.0));
    assert_eq!(harness.state().text, HIP);
    assert!(!harness.state().history.can_undo(), "nothing of it is left to undo");
    // What could be made again before can be made again.
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Y);
    settle(&mut harness);
    assert_eq!(harness.state().text, first);
    // The next drag is one like any other.
    drag(&mut harness, "plan side C of store", vec2(0.0, -60.0), false);
    assert_ne!(harness.state().text, first);
}

#[test]
fn esc_calls_the_drag_of_a_pitch_off() {
    let mut harness = plan(HIP);
    let slider = "pitch of all eaves of store";
    let at = take_hold(&mut harness, slider, vec2(40.0, 0.0));
    assert_ne!(harness.state().text, HIP);
    harness.key_press(Key::Escape);
    harness.run_steps(1);
    harness.event(Event::PointerMoved(at + vec2(30.0, 0.0)));
    harness.run_steps(2);
    assert_eq!(harness.state().text, HIP);
    let_go(&mut harness, at + vec2(30.0, 0.0));
    assert_eq!(harness.state().text, HIP);
    assert!(!harness.state().history.can_undo());
    let at = take_hold(&mut harness, slider, vec2(40.0, 0.0));
    let_go(&mut harness, at);
    assert_ne!(harness.state().text, HIP);
}
