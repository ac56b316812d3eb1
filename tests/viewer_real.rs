//! The program itself in a real window under a virtual display: typed, dragged, saved, killed, opened again. Where things
//! are is found out by drawing the same window without a display.
#![cfg(all(feature = "viewer", target_os = "linux"))]
#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "support/desk.rs"]
mod desk;
#[path = "support/display.rs"]
mod display;
#[path = "support/renderer.rs"]
mod renderer;

use desk::{HIP, Plain, settle, window};
use display::{Display, Program};
use eavewright::viewer::desk::Desk;
use eavewright::viewer::views::Tab;
use eframe::egui::Pos2;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

/// What the real window opens with.
const SIZE: [f32; 2] = [1280.0, 800.0];

/// The same window, without a display.
fn twin(text: &str, path: &Path) -> Harness<'static, Desk> {
    let mut twin = window(Arc::new(Plain::default()), text, SIZE);
    twin.state_mut().path = Some(path.to_path_buf());
    settle(&mut twin);
    twin
}

fn place(twin: &Harness<'static, Desk>, name: &str) -> Pos2 {
    twin.get_by_label(name).rect().center()
}

#[test]
fn typed_dragged_saved_and_opened_again() {
    let Some(display) = Display::start() else { return };
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.toml");
    std::fs::write(&path, HIP).unwrap();
    let mut program = Program::start(&display, &path, folder.path());

    let mut twin = twin(HIP, &path);
    program.click(place(&twin, "length of side A"));
    program.key("ctrl+a");
    program.type_text("10.20");
    program.rest();
    program.click(place(&twin, "length of side C"));
    program.key("ctrl+a");
    program.type_text("10.20");
    program.rest();
    program.key("ctrl+s");
    let wanted = HIP.replace("9.20", "10.20");
    program.until("the typed lengths in the file", || std::fs::read_to_string(&path).unwrap() == wanted);

    program.key("ctrl+2");
    program.rest();
    twin.state_mut().change(wanted.clone(), "twin");
    twin.state_mut().saved.clone_from(&wanted);
    twin.state_mut().views.tab = Tab::Plan;
    settle(&mut twin);
    let from = place(&twin, "plan side B of store");
    let scale = (place(&twin, "corner B of store") - place(&twin, "corner A of store")).length() / 10.2;
    program.drag(from, from + eframe::egui::vec2(scale, 0.0));
    program.key("ctrl+s");
    let moved = |text: &str| {
        let length = text.lines().find(|line| line.contains("from = \"A\"")).unwrap();
        let length = length.split("length = ").nth(1).unwrap().split(',').next().unwrap();
        (length.parse::<f64>().unwrap() - 11.2).abs() < 0.1
    };
    program.until("the dragged side in the file", || moved(&std::fs::read_to_string(&path).unwrap()));
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains("# towards the lake") && text.contains("# to the drip edge"), "{text}");

    // At rest it costs nothing.
    program.rest();
    let before = program.ticks();
    std::thread::sleep(Duration::from_secs(3));
    let spent = program.ticks() - before;
    assert!(spent <= 3, "{spent} hundredths of a second of processor time in three seconds of rest");

    program.end();
    let mut again = Program::start(&display, &path, folder.path());
    again.rest();
    assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
    again.end();
}

#[test]
fn killed_while_editing_it_loses_no_more_than_two_seconds() {
    let Some(display) = Display::start() else { return };
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.toml");
    std::fs::write(&path, HIP).unwrap();
    let mut program = Program::start(&display, &path, folder.path());
    let mut twin = twin(HIP, &path);
    program.click(place(&twin, "length of side A"));
    program.key("ctrl+a");
    program.type_text("9.31");
    // All that was typed two seconds ago must be safe.
    std::thread::sleep(Duration::from_secs(2));
    program.kill();
    assert_eq!(std::fs::read_to_string(&path).unwrap(), HIP, "what was not saved is not in the file itself");
    let wanted = HIP.replacen("9.20", "9.31", 1);

    let mut again = Program::start(&display, &path, folder.path());
    twin.state_mut().recovered = Some(wanted.clone());
    settle(&mut twin);
    again.click(place(&twin, "Take them up"));
    again.rest();
    again.key("ctrl+s");
    again.until("what was typed before the kill", || std::fs::read_to_string(&path).unwrap() == wanted);
    again.end();
}
