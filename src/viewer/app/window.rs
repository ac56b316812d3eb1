//! The window on the system's desktop.

use super::settings;
use super::state::AppState;
use crate::viewer::backend::Backend;
use crate::viewer::render::theme::Theme;
use eframe::egui;
use std::path::PathBuf;
use std::sync::Arc;

struct Window {
    app: AppState,
    /// As sent to the system last: sending it again would ask for another pass, and so for ever.
    title: String,
}

impl eframe::App for Window {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.app.show(ui);
        let title = title(&self.app);
        if self.title != title {
            self.title.clone_from(&title);
            ui.ctx().send_viewport_cmd(egui::ViewportCommand::Title(title));
        }
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.app.close();
    }
}

fn title(app: &AppState) -> String {
    let name = app.path.as_ref().and_then(|path| path.file_name()).map(|name| name.to_string_lossy().into_owned());
    let mark = if app.is_changed() { ", changed" } else { "" };
    format!("{}{mark}: eavewright", name.unwrap_or_else(|| "new roof".to_owned()))
}

/// Opens the window and returns when it is closed. Without a theme it has that of the last one.
///
/// # Errors
/// Why it can't be opened: no display, no OpenGL.
pub fn open(
    backend: Arc<dyn Backend>,
    text: String,
    path: Option<PathBuf>,
    theme: Option<Theme>,
) -> Result<(), String> {
    let viewport = egui::ViewportBuilder::default()
        .with_title("eavewright")
        .with_app_id("eavewright")
        .with_inner_size(settings::last_size(&*backend))
        .with_min_inner_size(settings::LEAST_SIZE)
        .with_drag_and_drop(true);
    let options = eframe::NativeOptions { viewport, ..eframe::NativeOptions::default() };
    let make = move |creation: &eframe::CreationContext<'_>| {
        let context = creation.egui_ctx.clone();
        let mut app = AppState::new(backend, text, path, move || context.request_repaint());
        app.recall(theme);
        app.dialogs = Arc::new(super::dialog::System);
        Ok(Box::new(Window { app, title: String::new() }) as Box<dyn eframe::App>)
    };
    eframe::run_native("eavewright", options, Box::new(make)).map_err(|error| describe(&error))
}

/// The system's word without the places in its own sources, and what to do instead.
fn describe(error: &eframe::Error) -> String {
    let why = match error {
        eframe::Error::WinitEventLoop(_) => "there is no display, or it does not answer".to_owned(),
        other => other.to_string(),
    };
    format!("the window can't be opened: {why}; `view FILE --shot PICTURE.png` needs no display")
}
