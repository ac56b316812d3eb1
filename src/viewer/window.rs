//! The window on the system's desktop.

use super::backend::Backend;
use super::desk::Desk;
use super::theme::Theme;
use eframe::egui;
use std::path::PathBuf;
use std::sync::Arc;

struct Window(Desk);

impl eframe::App for Window {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.0.show(ui);
        let title = title(&self.0);
        if ui.ctx().input(|input| input.viewport().title.as_deref() != Some(title.as_str())) {
            ui.ctx().send_viewport_cmd(egui::ViewportCommand::Title(title));
        }
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.0.close();
    }
}

fn title(desk: &Desk) -> String {
    let name = desk.path.as_ref().and_then(|path| path.file_name()).map(|name| name.to_string_lossy().into_owned());
    let mark = if desk.is_changed() { ", changed" } else { "" };
    format!("{}{mark}: eavewright", name.unwrap_or_else(|| "new roof".to_owned()))
}

/// Opens the window and returns when it is closed.
///
/// # Errors
/// Why it can't be opened: no display, no OpenGL.
pub fn open(backend: Arc<dyn Backend>, text: String, path: Option<PathBuf>, theme: Theme) -> Result<(), String> {
    let viewport = egui::ViewportBuilder::default()
        .with_title("eavewright")
        .with_app_id("eavewright")
        .with_inner_size([1280.0, 800.0])
        .with_min_inner_size([900.0, 560.0])
        .with_drag_and_drop(true);
    let options = eframe::NativeOptions { viewport, ..eframe::NativeOptions::default() };
    let make = move |creation: &eframe::CreationContext<'_>| {
        let context = creation.egui_ctx.clone();
        let mut desk = Desk::new(backend, text, path, move || context.request_repaint());
        desk.theme = theme;
        Ok(Box::new(Window(desk)) as Box<dyn eframe::App>)
    };
    eframe::run_native("eavewright", options, Box::new(make)).map_err(|error| error.to_string())
}
