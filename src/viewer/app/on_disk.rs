//! Before a file is written over: whether another program changed it since, and whether another file stands there.

use super::overwrite::Overwrite;
use super::prompt::What;
use super::state::AppState;
use crate::viewer::background_task::BackgroundTask;
use crate::viewer::render::theme::colour;
use eframe::egui;
use eframe::egui::RichText;
use std::path::{Path, PathBuf};
use std::sync::Arc;

impl AppState {
    /// Saves, or asks where another program changed the file.
    pub(super) fn save_unless_changed(&mut self, path: PathBuf) {
        // Where it can't be read, it is not there any longer, or saving will say why not.
        match self.backend.read(&path) {
            Ok(theirs) if theirs != self.saved && theirs != self.text => {
                self.overwrite = Some(Overwrite::Changed { path, theirs, was_saving: true });
            }
            _ => self.save_to(path),
        }
    }

    /// Saves under another name, or asks where a file of that name stands.
    pub(super) fn save_as(&mut self, path: PathBuf, was_asked: bool) {
        if Some(&path) == self.path.as_ref() {
            self.save_unless_changed(path);
        } else if !was_asked && self.backend.read(&path).is_ok() {
            self.overwrite = Some(Overwrite::Exists(path));
        } else {
            self.save_to(path);
        }
    }

    /// Looks at the file when the window gets the focus back: another program may have changed it.
    pub(super) fn look_at_disk(&mut self, context: &egui::Context) {
        let has_focus = context.input(|input| input.focused);
        let is_back = has_focus && self.on_disk.had_focus == Some(false);
        self.on_disk.had_focus = Some(has_focus);
        if let (true, None, Some(path)) = (is_back, &self.on_disk.look, self.path.clone()) {
            let backend = Arc::clone(&self.backend);
            self.on_disk.look =
                Some(BackgroundTask::start("look at the file", &self.wake, move |_| backend.read(&path).ok()));
        }
        let Some(found) = self.on_disk.look.as_ref().and_then(BackgroundTask::poll) else { return };
        self.on_disk.look = None;
        if let (Some(theirs), Some(path), None) = (found.flatten(), self.path.clone(), &self.overwrite)
            && theirs != self.saved
            && theirs != self.text
        {
            self.overwrite = Some(Overwrite::Changed { path, theirs, was_saving: false });
        }
    }

    /// Takes the file as another program left it; undo brings back one's own.
    fn reload(&mut self, theirs: String) {
        self.saved.clone_from(&theirs);
        self.change(theirs, "reloaded");
        self.keep_at = None;
        self.autosave.keep(self.slot.clone(), None);
        self.said = ("the file was read again; undo brings back yours".to_owned(), false);
    }
}

fn name_of(path: &Path) -> String {
    path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned())
}

/// The line that asks.
pub fn show(ui: &mut egui::Ui, app: &mut AppState) {
    let Some(overwrite) = app.overwrite.clone() else { return };
    let ink = colour(app.theme.palette().caution);
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| match overwrite {
        Overwrite::Changed { path, theirs, was_saving } => {
            let words = format!("! Another program changed {} since it was opened here.", name_of(&path));
            ui.label(RichText::new(words).color(ink));
            if ui.button("Read it again").on_hover_text("undo brings back what you have here").clicked() {
                app.overwrite = None;
                app.reload(theirs);
            } else if ui.button("Keep mine").on_hover_text("what the other program wrote is written over").clicked() {
                app.overwrite = None;
                app.saved = theirs;
                if was_saving {
                    app.save_to(path);
                }
            } else if ui.button("Save mine as a copy").clicked() {
                app.overwrite = None;
                app.ask(What::SaveAs);
            }
        }
        Overwrite::Exists(path) => {
            let words = format!("! There is a file {} already.", name_of(&path));
            ui.label(RichText::new(words).color(ink));
            if ui.button("Write over it").clicked() {
                app.overwrite = None;
                app.save_to(path);
            } else if ui.button("Choose another name").clicked() {
                app.overwrite = None;
                app.ask(What::SaveAs);
            } else if ui.button("Don't save").clicked() {
                app.overwrite = None;
            }
        }
    });
}
