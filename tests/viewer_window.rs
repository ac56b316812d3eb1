//! The window's flows, found by accessible names and drawn without a display, the real 3D view in the picture.
#![cfg(feature = "viewer")]
#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "support/renderer.rs"]
mod renderer;

use eavewright::base::diagnostic::Diagnostic;
use eavewright::base::written::{Edit, WrittenTable};
use eavewright::cli::view::Tool;
use eavewright::takeoff::compare::Row;
use eavewright::viewer::backend::{Answered, Backend, Output, Vocabulary};
use eavewright::viewer::desk::Desk;
use eavewright::viewer::errand::Progress;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// The program itself, except that unsaved text is kept in memory.
#[derive(Default)]
struct Plain {
    kept: Mutex<Option<String>>,
    used: Mutex<Vec<PathBuf>>,
}

impl Backend for Plain {
    fn answer(&self, text: &str, path: Option<&Path>, sure: bool) -> Result<Answered, Vec<Diagnostic>> {
        Tool.answer(text, path, sure)
    }
    fn written(&self, text: &str) -> Option<WrittenTable> {
        Tool.written(text)
    }
    fn vocabulary(&self) -> Vocabulary {
        Tool.vocabulary()
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
    fn write_out(
        &self,
        text: &str,
        path: Option<&Path>,
        output: Output,
        to: &Path,
        progress: &Progress,
    ) -> Result<String, String> {
        Tool.write_out(text, path, output, to, progress)
    }
    fn recent(&self) -> Vec<PathBuf> {
        self.used.lock().unwrap().clone()
    }
    fn used(&self, path: &Path) {
        self.used.lock().unwrap().insert(0, path.to_path_buf());
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

#[test]
fn a_mistake_is_told_at_its_field_and_the_last_roof_stays() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    let before = area(&harness);
    type_into(&mut harness, "length of side B", "nonsense");
    assert!(harness.state().errors().count() > 0);
    assert!((area(&harness) - before).abs() < 1e-9);
    assert!(harness.query_by_label_contains("the roof shown is the last that could be solved").is_some());
    assert!(harness.query_all_by_label("side B:").next().is_some());
    keep(&mut harness, "mistake");
    type_into(&mut harness, "length of side B", "5.60");
    assert_eq!(harness.state().errors().count(), 0);
    assert_eq!(harness.state().text, HIP);
}

#[test]
fn every_change_is_undone_and_made_again_by_key() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    type_into(&mut harness, "pitch of side A", "40");
    type_into(&mut harness, "pitch of side C", "40");
    let changed = harness.state().text.clone();
    let press = |harness: &mut Harness<'static, Desk>, name: &str| {
        harness.get_by_label(name).click();
        settle(harness);
    };
    press(&mut harness, "Undo");
    press(&mut harness, "Undo");
    assert_eq!(harness.state().text, HIP);
    assert!((area(&harness) - 9.2 * 5.6 / 35_f64.to_radians().cos()).abs() < 1e-6);
    press(&mut harness, "Redo");
    press(&mut harness, "Redo");
    assert_eq!(harness.state().text, changed);
}

#[test]
fn a_face_clicked_says_its_name_area_and_pitch() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    let view = harness.get_by_label_contains("roof in 3D").rect();
    let place = {
        let desk = harness.state();
        let shown = desk.shown.as_ref().unwrap();
        let face = shown.answered.roof.face_named("store/A").unwrap();
        let ring = shown.answered.roof.ring(&shown.answered.roof.faces[face.index()]);
        let sum = ring.iter().fold(nalgebra::Vector3::zeros(), |sum, corner| sum + corner.coords);
        let middle = nalgebra::Point3::from(sum / ring.len() as f64) - shown.scene.origin;
        let at = desk.canvas.camera.unwrap().appears(&middle, desk.canvas.aspect).unwrap();
        #[allow(clippy::cast_possible_truncation)]
        let share = eframe::egui::vec2(at.x as f32, at.y as f32);
        view.min + share * view.size()
    };
    harness.hover_at(place);
    harness.run_steps(2);
    harness.drag_at(place);
    harness.run_steps(1);
    harness.drop_at(place);
    harness.run_steps(3);
    assert!(harness.query_by_label("face store/A").is_some());
    assert!(harness.query_by_label_contains("face store/A chosen").is_some());
    assert!(harness.query_by_label_contains("21.88 m²").is_some());
    // The 3D view really is in the picture: many more colours than panels alone have.
    let image = keep(&mut harness, "chosen");
    let mut colours = std::collections::HashSet::new();
    for (x, y, pixel) in image.enumerate_pixels() {
        #[allow(clippy::cast_precision_loss)]
        if view.contains(eframe::egui::pos2(x as f32, y as f32)) {
            colours.insert(pixel.0);
        }
    }
    assert!(colours.len() > 500, "{}", colours.len());
}

#[test]
fn a_side_becomes_a_verge_and_its_pitch_goes() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    harness.get_by_label("kind of side B").click();
    harness.run_steps(3);
    harness.get_by_label("verge").click();
    settle(&mut harness);
    assert!(harness.state().text.contains("{ from = \"B\", length = 5.60, turn = \"L\", verge = true }"));
    assert!(harness.query_by_label("pitch of side B").is_none());
    assert_eq!(harness.state().errors().count(), 0);
}

#[test]
fn what_a_killed_window_left_is_offered_and_taken_up() {
    let backend = Arc::new(Plain::default());
    let mut first = window(backend.clone(), HIP, [1280.0, 800.0]);
    type_into(&mut first, "length of side A", "9.31");
    let typed = Instant::now();
    while backend.kept.lock().unwrap().is_none() {
        assert!(typed.elapsed() < Duration::from_secs(2), "not kept within two seconds");
        std::thread::sleep(Duration::from_millis(50));
        first.run_steps(1);
    }
    let text = first.state().text.clone();
    // Nothing in order: the window is gone.
    std::mem::forget(first);
    let mut second = window(backend, HIP, [1280.0, 800.0]);
    assert_eq!(second.state().text, HIP);
    second.get_by_label("Take them up").click();
    settle(&mut second);
    assert_eq!(second.state().text, text);
}

#[test]
fn a_first_start_offers_shapes() {
    let mut harness = window(Arc::new(Plain::default()), "", [1280.0, 800.0]);
    keep(&mut harness, "start");
    harness.get_by_label_contains("Begin with a slope from every side").click();
    settle(&mut harness);
    assert!(harness.state().shown.is_some());
}

#[test]
fn it_looks_right_in_every_theme_and_size() {
    use eavewright::viewer::theme::Theme;
    for (name, theme) in [("light", Theme::Light), ("dark", Theme::Dark), ("contrast", Theme::Contrast)] {
        for size in [[1280.0, 800.0], [1920.0, 1080.0]] {
            let text = include_str!("../examples/stable_l.toml");
            let mut harness = window(Arc::new(Plain::default()), text, size);
            harness.state_mut().theme = theme;
            harness.run_steps(4);
            let image = keep(&mut harness, &format!("{name}-{}", size[0]));
            // The panel's own colour stands in the left side, so the theme was taken.
            let [r, g, b] = theme.palette().panel;
            assert_eq!(image.get_pixel(14, image.height() / 2).0, [r, g, b, 255], "{name}");
        }
    }
}
