//! The window's flows, found by accessible names and drawn without a display, the real 3D view in the picture.
#![cfg(feature = "viewer")]
#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "support/renderer.rs"]
mod renderer;

use eavewright::base::diagnostic::Diagnostic;
use eavewright::cli::view::Tool;
use eavewright::takeoff::compare::Row;
use eavewright::viewer::backend::{Answered, Backend, BlockRow, Edit};
use eavewright::viewer::desk::Desk;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// The program itself, except that unsaved text is kept in memory.
#[derive(Default)]
struct Plain {
    kept: Mutex<Option<String>>,
}

impl Backend for Plain {
    fn answer(&self, text: &str, path: Option<&Path>, sure: bool) -> Result<Answered, Vec<Diagnostic>> {
        Tool.answer(text, path, sure)
    }
    fn rows(&self, text: &str) -> Option<Vec<BlockRow>> {
        Tool.rows(text)
    }
    fn edit(&self, text: &str, edit: &Edit) -> Result<String, String> {
        Tool.edit(text, edit)
    }
    fn read(&self, path: &Path) -> Result<String, String> {
        Tool.read(path)
    }
    fn write(&self, path: &Path, text: &str) -> Result<(), String> {
        Tool.write(path, text)
    }
    fn export(&self, answered: &Answered, path: &Path) -> Result<(), String> {
        Tool.export(answered, path)
    }
    fn shapes(&self) -> Vec<(String, String)> {
        Tool.shapes()
    }
    fn keep(&self, _: Option<&Path>, text: Option<&str>) {
        *self.kept.lock().unwrap() = text.map(str::to_owned);
    }
    fn kept(&self, _: Option<&Path>) -> Option<String> {
        self.kept.lock().unwrap().clone()
    }
    fn compare(&self, text: &str, path: Option<&Path>, degrees: &[f64]) -> Result<Vec<Row>, String> {
        Tool.compare(text, path, degrees)
    }
}

const HIP: &str = r#"# kept
title = "Boat store"
units = "m"

[[block]]
name = "store"
height = 2.40 # to the drip edge
sides = [
  { from = "A", length = 9.20, turn = "L", pitch = 35 }, # towards the lake
  { from = "B", length = 5.60, turn = "L", pitch = 35 },
  { from = "C", length = 9.20, turn = "L", pitch = 35 },
  { from = "D", length = 5.60, turn = "L", pitch = 35 },
]

[covering]
card = "strip-shingle"
"#;

fn window(backend: Arc<dyn Backend>, text: &str, size: [f32; 2]) -> Harness<'static, Desk> {
    let desk = Desk::new(backend, text.to_owned(), None, || {});
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let pixels = size.map(|side| side as u32);
    let mut harness = Harness::builder()
        .with_size(size)
        .with_max_steps(30)
        .renderer(renderer::Renderer::new(pixels))
        .build_ui_state(|ui, desk: &mut Desk| desk.show(ui), desk);
    settle(&mut harness);
    harness
}

/// Passes until the worker has answered the newest text and the window is still.
fn settle(harness: &mut Harness<'static, Desk>) {
    let start = Instant::now();
    loop {
        harness.run_steps(2);
        if harness.state().is_idle() {
            break;
        }
        assert!(start.elapsed() < Duration::from_secs(20), "no answer");
        std::thread::sleep(Duration::from_millis(5));
    }
    harness.run_steps(3);
}

/// Keeps the window's picture where SHOTS says, to look at.
fn keep(harness: &mut Harness<'static, Desk>, name: &str) -> image::RgbaImage {
    let image = harness.render().unwrap();
    if let Some(folder) = std::env::var_os("SHOTS") {
        image.save(Path::new(&folder).join(format!("{name}.png"))).unwrap();
    }
    image
}

fn area(harness: &Harness<'static, Desk>) -> f64 {
    harness.state().shown.as_ref().unwrap().areas().0
}

fn type_into(harness: &mut Harness<'static, Desk>, name: &str, text: &str) {
    harness.get_by_label(name).focus();
    harness.run_steps(1);
    harness.key_press_modifiers(eframe::egui::Modifiers::COMMAND, eframe::egui::Key::A);
    harness.get_by_label(name).type_text(text);
    settle(harness);
}

#[test]
fn a_length_typed_changes_the_roof_and_only_its_place_in_the_file() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    let before = 9.2 * 5.6 / 35_f64.to_radians().cos();
    assert!((area(&harness) - before).abs() < 1e-6);
    keep(&mut harness, "window");
    type_into(&mut harness, "length of side A", "10.20");
    type_into(&mut harness, "length of side C", "10.20");
    assert!((area(&harness) - 10.2 * 5.6 / 35_f64.to_radians().cos()).abs() < 1e-6);
    assert_eq!(harness.state().text, HIP.replace("9.20", "10.20"));
    assert!(harness.state().is_changed());
}
