//! The window without a display: the program around it, typing and settling.

use crate::renderer;
use eavewright::base::diagnostic::Diagnostic;
use eavewright::base::file_tree::{Edit, FileTable};
use eavewright::base::schema::Table;
use eavewright::cli::view::Tool;
use eavewright::job::Job;
use eavewright::job::marking::Marking;
use eavewright::job::order::Row;
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::backend::{Answered, Backend, Pixels, Slot, Source, Writing};
use eframe::egui;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// The program itself, except that unsaved text is kept in memory.
#[derive(Default)]
pub struct Plain {
    pub kept: Mutex<Vec<(Slot, String)>>,
    pub used: Mutex<Vec<PathBuf>>,
    /// Files that were written and opened by the system.
    pub opened: Mutex<Vec<PathBuf>>,
    pub settings: Mutex<BTreeMap<String, String>>,
    /// How long each answer takes at least.
    pub pause: Mutex<Duration>,
    /// Whether writing goes on until it is called off.
    pub is_slow: bool,
}

impl Backend for Plain {
    fn answer(&self, source: Source, sure: bool) -> Result<Answered, Vec<Diagnostic>> {
        std::thread::sleep(*self.pause.lock().unwrap());
        Tool.answer(source, sure)
    }
    fn marking(&self, source: Source) -> Result<(Job, Marking), Vec<Diagnostic>> {
        Tool.marking(source)
    }
    fn written(&self, text: &str) -> Option<FileTable> {
        Tool.written(text)
    }
    fn schema(&self) -> &'static Table {
        Tool.schema()
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
    fn write_out(&self, writing: &Writing) -> Result<String, String> {
        if self.is_slow {
            while writing.progress.step(1, 2, "dawdling") {
                std::thread::sleep(Duration::from_millis(5));
            }
            return Err("called off".to_owned());
        }
        Tool.write_out(writing)
    }
    fn open_written(&self, path: &Path) -> Result<(), String> {
        self.opened.lock().unwrap().push(path.to_path_buf());
        Ok(())
    }
    fn recent(&self) -> Vec<PathBuf> {
        self.used.lock().unwrap().clone()
    }
    fn used(&self, path: &Path) {
        let mut used = self.used.lock().unwrap();
        used.retain(|other| other != path);
        used.insert(0, path.to_path_buf());
    }
    fn setting(&self, name: &str) -> Option<String> {
        self.settings.lock().unwrap().get(name).cloned()
    }
    fn set(&self, name: &str, value: Option<&str>) {
        let mut settings = self.settings.lock().unwrap();
        match value {
            Some(value) => drop(settings.insert(name.to_owned(), value.to_owned())),
            None => drop(settings.remove(name)),
        }
    }
    fn examples(&self) -> Vec<(String, String)> {
        Tool.examples()
    }
    fn shapes(&self) -> Vec<(String, String)> {
        Tool.shapes()
    }
    fn keep(&self, slot: &Slot, text: Option<&str>) -> Result<(), String> {
        let mut kept = self.kept.lock().unwrap();
        kept.retain(|(known, _)| known != slot);
        if let Some(text) = text {
            kept.insert(0, (slot.clone(), text.to_owned()));
        }
        Ok(())
    }
    fn kept(&self, path: Option<&Path>) -> Vec<(Slot, String)> {
        self.kept.lock().unwrap().iter().filter(|(slot, _)| slot.path.as_deref() == path).cloned().collect()
    }
    fn time_of_day(&self) -> String {
        "14:02".to_owned()
    }
    fn compare(&self, source: Source, degrees: &[f64]) -> Result<Vec<Row>, String> {
        Tool.compare(source, degrees)
    }
    fn photo(&self, path: Option<&Path>, file: &str) -> Result<Pixels, String> {
        Tool.photo(path, file)
    }
}

pub const HIP: &str = r#"# kept
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

pub fn window(backend: Arc<dyn Backend>, text: &str, size: [f32; 2]) -> Harness<'static, AppState> {
    scaled_window(backend, text, size, 1.0)
}

/// The same on a screen of finer pixels.
pub fn scaled_window(backend: Arc<dyn Backend>, text: &str, size: [f32; 2], scale: f32) -> Harness<'static, AppState> {
    let app = AppState::new(backend, text.to_owned(), None, || {});
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let pixels = size.map(|side| (side * scale) as u32);
    let mut harness = Harness::builder()
        .with_size(size)
        .with_pixels_per_point(scale)
        .with_max_steps(30)
        .renderer(renderer::Renderer::new(pixels))
        .build_ui_state(whole, app);
    settle(&mut harness);
    harness
}

/// The window fills all there is, as on a desktop; the harness would leave a margin.
fn whole(ui: &mut egui::Ui, app: &mut AppState) {
    let all = ui.ctx().content_rect();
    ui.scope_builder(egui::UiBuilder::new().max_rect(all), |ui| {
        ui.set_clip_rect(all);
        app.show(ui);
    });
}

/// Passes until the worker has answered the newest text and the window is still.
pub fn settle(harness: &mut Harness<'static, AppState>) {
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
pub fn keep(harness: &mut Harness<'static, AppState>, name: &str) -> image::RgbaImage {
    let image = harness.render().unwrap();
    if let Some(folder) = std::env::var_os("SHOTS") {
        image.save(Path::new(&folder).join(format!("{name}.png"))).unwrap();
    }
    image
}

pub fn area(harness: &Harness<'static, AppState>) -> f64 {
    harness.state().shown.as_ref().unwrap().answered.answer.totals().area.value().unwrap()
}

pub fn type_into(harness: &mut Harness<'static, AppState>, name: &str, text: &str) {
    harness.get_by_label(name).focus();
    harness.run_steps(1);
    harness.key_press_modifiers(eframe::egui::Modifiers::COMMAND, eframe::egui::Key::A);
    harness.get_by_label(name).type_text(text);
    settle(harness);
}

#[derive(Debug)]
pub struct Dropped(pub PathBuf);

impl eframe::egui::DroppedFile for Dropped {
    fn path(&self) -> &std::path::Path {
        &self.0
    }
    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}
