//! Eave, pitch and ridge of the chosen face are dragged up and down in 3D, and moved by key.

use super::state::{HIP, Plain, area, keep, settle, window};
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::render::theme::Theme;
use eframe::egui::{Key, Modifiers, Pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use nalgebra::Point3;
use std::sync::Arc;

fn chosen(text: &str, face: &str, size: [f32; 2]) -> Harness<'static, AppState> {
    let mut harness = window(Arc::new(Plain::default()), text, size);
    let id = harness.state().shown.as_ref().unwrap().answered.answer.roof.face_named(face);
    harness.state_mut().look.chosen = id;
    settle(&mut harness);
    harness
}

/// Where a place of the site is on the screen.
fn appears(harness: &Harness<'static, AppState>, place: [f64; 3]) -> Pos2 {
    let view = harness.get_by_label_contains("roof in 3D").rect();
    let app = harness.state();
    let scene = &app.shown.as_ref().unwrap().scene;
    let at = app.canvas.camera.unwrap().appears(&(Point3::from(place) - scene.origin), app.canvas.aspect).unwrap();
    #[allow(clippy::cast_possible_truncation)]
    let share = vec2(at.x as f32, at.y as f32);
    view.min + share * view.size()
}

/// Drags what bears a name to a place of the screen.
fn drag(harness: &mut Harness<'static, AppState>, name: &str, to: Pos2) {
    let from = harness.get_by_label(name).rect().center();
    harness.hover_at(from);
    harness.run_steps(1);
    harness.drag_at(from);
    harness.run_steps(1);
    for step in 1..=8_u8 {
        harness.hover_at(from + (to - from) * (f32::from(step) / 8.0));
        harness.run_steps(1);
    }
    keep(harness, &format!("lifting-{}", name.split(' ').next().unwrap()));
    harness.drop_at(to);
    settle(harness);
}

fn value(harness: &Harness<'static, AppState>, side: usize, key: &str) -> String {
    let file = harness.state().written.clone().unwrap();
    file.list("block")[0].list("sides")[side].field(key).text
}

#[test]
fn an_eave_is_lifted_and_the_roof_with_it() {
    let mut harness = chosen(HIP, "store/A", [1280.0, 800.0]);
    let before = area(&harness);
    let to = appears(&harness, [4.6, 0.0, 2.91]);
    drag(&mut harness, "eave height of store/A", to);
    // To the next five centimetres, its comment kept.
    assert_eq!(harness.state().text, HIP.replace("height = 2.40", "height = 2.90"));
    assert!((area(&harness) - before).abs() < 1e-9);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut harness);
    assert_eq!(harness.state().text, HIP);
}

#[test]
fn a_pitch_is_turned_about_its_eave() {
    let mut harness = chosen(HIP, "store/A", [1280.0, 800.0]);
    // Six tenths up the slope, 1.68 m in from the eave; at 45 degrees as much above it.
    let to = appears(&harness, [4.6, 1.68, 2.4 + 1.68]);
    drag(&mut harness, "pitch of store/A, by hand", to);
    assert_eq!(
        ["A", "B", "C", "D"].iter().enumerate().map(|(side, _)| value(&harness, side, "pitch")).collect::<Vec<_>>(),
        ["45", "35", "35", "35"]
    );
    assert_eq!(harness.state().errors().count(), 0, "{:?}", harness.state().diagnostics);
}

#[test]
fn a_ridge_takes_both_slopes_with_it() {
    let mut harness = chosen(HIP, "store/A", [1280.0, 800.0]);
    let to = appears(&harness, [4.6, 2.8, 4.81]);
    drag(&mut harness, "ridge height of store/A", to);
    // From the eaves at 2.40 m, 2.80 m in: atan(2.40 / 2.80) is 40.60 degrees.
    assert_eq!([value(&harness, 0, "pitch"), value(&harness, 2, "pitch")], ["40.6", "40.6"]);
    assert_eq!([value(&harness, 1, "pitch"), value(&harness, 3, "pitch")], ["35", "35"]);
    let ridge = harness.state().shown.as_ref().unwrap().answered.answer.roof.ridge_height().unwrap();
    assert!((ridge - 4.8).abs() < 0.002, "{ridge}");
}

#[test]
fn esc_calls_a_lift_off_and_arrows_lift_by_a_step() {
    let mut harness = chosen(HIP, "store/A", [1280.0, 800.0]);
    let from = harness.get_by_label("pitch of store/A, by hand").rect().center();
    harness.hover_at(from);
    harness.run_steps(1);
    harness.drag_at(from);
    harness.run_steps(1);
    for step in 1..=5_u8 {
        harness.hover_at(from - vec2(0.0, 8.0 * f32::from(step)));
        harness.run_steps(1);
    }
    assert_ne!(harness.state().text, HIP);
    harness.key_press(Key::Escape);
    harness.run_steps(1);
    harness.drop_at(from);
    settle(&mut harness);
    assert_eq!(harness.state().text, HIP);
    for (name, expected) in [
        ("eave height of store/A", HIP.replace("height = 2.40", "height = 2.45")),
        ("pitch of store/A, by hand", HIP.replacen("pitch = 35", "pitch = 35.5", 1)),
    ] {
        harness.get_by_label(name).focus();
        harness.run_steps(2);
        harness.key_press(Key::ArrowUp);
        settle(&mut harness);
        assert_eq!(harness.state().text, expected, "{name}");
        harness.key_press(Key::ArrowDown);
        settle(&mut harness);
        assert_eq!(harness.state().text, HIP, "{name}");
    }
}

/// At the wall's plate the slope turns about the plate, not about the drip edge.
#[test]
fn a_roof_measured_at_the_wall_turns_about_its_plate() {
    let text = HIP.replace(
        "height = 2.40 # to the drip edge",
        "height = 2.40\nmeasured_at = \"wall\"\noverhang = { eave = 0.40, verge = 0.20, fascia = \"equal\" }",
    );
    let mut harness = chosen(&text, "store/A", [1280.0, 800.0]);
    let handle = harness.get_by_label("ridge height of store/A").rect().center();
    let ridge = |harness: &Harness<'static, AppState>| {
        harness.state().shown.as_ref().unwrap().answered.answer.roof.ridge_height().unwrap()
    };
    let now = ridge(&harness);
    let at = appears(&harness, [4.6, 2.8, now]);
    assert!((at - handle).length() < 2.0, "{at:?} {handle:?}");
    let to = appears(&harness, [4.6, 2.8, 4.80]);
    drag(&mut harness, "ridge height of store/A", to);
    assert!((ridge(&harness) - 4.8).abs() < 0.01, "{}", ridge(&harness));
}

#[test]
fn handles_look_right_in_both_themes() {
    for (name, theme, size) in [
        ("light", Theme::Light, [1280.0, 800.0]),
        ("dark", Theme::Dark, [1920.0, 1080.0]),
        ("small", Theme::Light, [800.0, 600.0]),
    ] {
        let mut harness = chosen(HIP, "store/A", size);
        harness.state_mut().theme = theme;
        settle(&mut harness);
        harness.get_by_label("ridge height of store/A").focus();
        harness.run_steps(3);
        keep(&mut harness, &format!("lifting-{name}"));
    }
}
