//! Files: opening, saving, writing models and sheets; the line that asks for a path, and the system's dialog beside it.

use super::dialog::Question;
use super::prompt::{Prompt, What};
use super::slots::{left_behind, slot_beside};
use super::state::AppState;
use crate::viewer::backend::{Output, Source, Writing};
use crate::viewer::background_task::BackgroundTask;
use crate::viewer::editors::forms::field::select_all;
use crate::viewer::render::stage::Look;
use crate::viewer::render::theme::colour;
use crate::viewer::widgets::{Tool, named};
use eframe::egui;
use eframe::egui::{Key, RichText};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

impl AppState {
    /// Asks for a path, by the system's dialog and by a line at once.
    pub fn ask(&mut self, what: What) {
        let name = self.path.as_ref().and_then(|path| path.file_stem()).map(|stem| stem.to_string_lossy().into_owned());
        let name = name.unwrap_or_else(|| "roof".to_owned());
        let beside = |name: String| {
            let folder = self.path.as_ref().and_then(|path| path.parent());
            folder.map_or_else(|| name.clone(), |folder| folder.join(&name).display().to_string())
        };
        let (question, path) = match what {
            What::Open => (Question::Open, String::new()),
            What::SaveAs => (Question::Save(format!("{name}.toml")), beside(format!("{name}.toml"))),
            What::Write(output) => {
                let name = format!("{name}{}", output.ending());
                (Question::Write(name.clone()), beside(name))
            }
        };
        let chosen = self.dialogs.ask(&question);
        let dialog = BackgroundTask::start("dialog", &self.wake, |_| pollster::block_on(chosen));
        self.files.prompt = Some(Prompt { what, path, dialog: Some(dialog), had_focus: false, lost_focus: false });
    }

    /// Does what a path was asked for. The system's dialog has asked before it chooses a file that is there.
    fn answer(&mut self, what: What, path: PathBuf, was_asked: bool) {
        match what {
            What::Open => self.open(path),
            What::SaveAs => {
                let path = if path.extension().is_none() { path.with_extension("toml") } else { path };
                self.save_as(path, was_asked);
            }
            What::Write(output) => self.write_out(output, path),
        }
    }

    /// Begins with another file. What was not saved of the present one waits for it to be opened again.
    pub fn open(&mut self, path: PathBuf) {
        match self.backend.read(&path) {
            Ok(text) => {
                self.leave();
                self.recovered = left_behind(&*self.backend, Some(&path), &text);
                self.slot = slot_beside(Some(&path), &self.recovered);
                self.use_file(&path);
                self.said = (format!("opened {}", path.display()), false);
                self.path = Some(path);
                self.begin_with(text);
            }
            Err(why) => self.said = (why, true),
        }
    }

    /// Begins with a text of its own, saved nowhere yet.
    pub fn begin(&mut self, text: String) {
        let unsaved = (self.path.is_none() && self.is_changed()).then(|| self.text.clone());
        self.leave();
        self.path = None;
        self.recovered = Vec::new();
        self.slot = slot_beside(None, &[]);
        self.begin_with(text);
        if let Some(unsaved) = unsaved {
            // It has no file to be kept beside.
            self.history.note(&unsaved, "begin", Instant::now());
            self.said = ("undo brings back what was not saved".to_owned(), false);
        }
    }

    fn begin_with(&mut self, text: String) {
        self.overwrite = None;
        self.unit_change = None;
        self.unit_change = None;
        self.history = super::history::History::default();
        self.saved.clone_from(&text);
        self.look = Look::plain(self.look.shade);
        self.views.plan.fit();
        self.fit_next = true;
        self.shown = None;
        self.take(text);
        self.turn_to_what_is_there();
    }

    /// Keeps what is not saved, before something else is begun.
    fn leave(&mut self) {
        if self.is_changed() {
            self.keep_now();
            self.said = ("what was not saved is kept: open the file again to take it up".to_owned(), false);
        }
        self.keep_at = None;
    }

    fn use_file(&mut self, path: &Path) {
        self.backend.used(path);
        self.files.recent = self.backend.recent();
    }

    /// Saves, or asks where to. What another program wrote there meanwhile is not written over unasked.
    pub fn save(&mut self) {
        match self.path.clone() {
            None => self.ask(What::SaveAs),
            Some(path) => self.save_unless_changed(path),
        }
    }

    /// Saves, whatever stands there.
    pub(super) fn save_to(&mut self, path: PathBuf) {
        match self.backend.write(&path, &self.text) {
            Ok(()) => {
                self.saved.clone_from(&self.text);
                self.autosave.keep(self.slot.clone(), None);
                self.slot = slot_beside(Some(&path), &self.recovered);
                self.use_file(&path);
                self.keep_at = None;
                self.overwrite = None;
                self.said = (format!("saved {} at {}", path.display(), self.backend.time_of_day()), false);
                self.path = Some(path);
            }
            Err(why) => self.said = (why, true),
        }
    }

    /// Writes a model, drawings or a sheet, beside the window.
    pub fn write_out(&mut self, output: Output, to: PathBuf) {
        if self.errors().next().is_some() || self.shown.is_none() {
            self.said = ("there is nothing to write while the file has errors".to_owned(), true);
            return;
        }
        if let Some((_, writing)) = self.files.writing.take() {
            writing.call_off();
        }
        let (backend, text, path) = (Arc::clone(&self.backend), self.text.clone(), self.path.clone());
        let place = to.clone();
        let work = move |progress: &crate::viewer::background_task::Progress| {
            let source = Source { text: &text, path: path.as_deref() };
            backend.write_out(&Writing { source, output, to: &place, progress })
        };
        self.files.writing = Some((to, BackgroundTask::start("write", &self.wake, work)));
    }

    /// Takes up what dialogs and writers have come to.
    pub(super) fn listen_to_files(&mut self, context: &egui::Context) {
        if let Some((_, writing)) = &self.files.writing
            && let Some(result) = writing.poll()
        {
            self.files.written =
                matches!(result, Some(Ok(_))).then(|| self.files.writing.take().map(|(to, _)| to)).flatten();
            self.said = match result {
                Some(Ok(told)) => (told, false),
                Some(Err(why)) => (why, true),
                None => ("writing ended without a result".to_owned(), true),
            };
            self.files.writing = None;
        }
        let Some(prompt) = &mut self.files.prompt else { return };
        let has_focus = context.input(|input| input.focused);
        prompt.lost_focus |= prompt.had_focus && !has_focus;
        prompt.had_focus |= has_focus;
        let Some(answer) = prompt.dialog.as_ref().and_then(BackgroundTask::poll) else { return };
        prompt.dialog = None;
        let what = prompt.what;
        match answer.flatten() {
            Some(path) => {
                self.files.prompt = None;
                self.answer(what, path, true);
            }
            // A dialog took the focus and was left: nothing is wanted. Otherwise there is none here, and the line stays.
            None if prompt.lost_focus => self.files.prompt = None,
            None => {}
        }
        context.request_repaint();
    }
}

/// The line that asks for a path.
pub fn prompt(ui: &mut egui::Ui, app: &mut AppState) {
    let Some(mut prompt) = app.files.prompt.take() else { return };
    let (words, hint) = match prompt.what {
        What::Open => ("Open file", "path of a roof file; or drop one on the window"),
        What::SaveAs => ("Save as", "path"),
        What::Write(output) => (output.word(), output.hint()),
    };
    let mut done = None;
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        let label = ui.label(words);
        let field = egui::TextEdit::singleline(&mut prompt.path).hint_text(hint).desired_width(420.0).id_salt("prompt");
        let field = ui.add(field).labelled_by(label.id);
        if !field.has_focus() && !field.lost_focus() {
            // What is typed takes the place of what was proposed.
            field.request_focus();
            select_all(ui, field.id, &prompt.path);
        }
        let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        let is_typed = !prompt.path.trim().is_empty();
        if ui.add_enabled(is_typed, egui::Button::new("Do it")).clicked() || (entered && is_typed) {
            done = Some(true);
        } else if ui.button("Leave it").clicked() {
            done = Some(false);
        }
        if prompt.dialog.is_some() {
            let words = "or choose in the system's dialog";
            ui.label(RichText::new(words).color(colour(app.theme.palette().faint)));
        }
    });
    match done {
        None => app.files.prompt = Some(prompt),
        Some(false) => {}
        Some(true) => app.answer(prompt.what, PathBuf::from(prompt.path.trim()), false),
    }
}

/// How far writing has come.
pub fn progress(ui: &mut egui::Ui, app: &mut AppState) {
    let Some((to, writing)) = &app.files.writing else {
        // Only beside the words that tell of it.
        let written = app.files.written.clone().filter(|_| app.said.0.starts_with("wrote"));
        if let Some(path) = written
            && ui.button("Open it").on_hover_text("in what the system opens it with, to look or to print").clicked()
            && let Err(why) = app.backend.open_written(&path)
        {
            app.said = (why, true);
        }
        return;
    };
    let name = to.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let words = format!("{name}: {}", writing.progress.what());
    let bar = egui::ProgressBar::new(writing.progress.share()).desired_width(220.0).desired_height(14.0);
    let bar = ui.add(bar);
    named(ui, &bar, "progress of writing");
    // Before the words, whose length changes: a button must not move away from under the pointer.
    if ui.button("Call it off").clicked() {
        writing.call_off();
    }
    ui.label(words);
}

/// Files used lately, newest first, as a menu.
pub fn recent(ui: &mut egui::Ui, app: &mut AppState) {
    let menu = Tool::word("Recent", "files used lately").menu(ui, |ui| {
        let recent = app.files.recent.clone();
        if recent.is_empty() {
            ui.label("none yet");
        }
        for path in recent {
            if ui.button(describe(&path)).clicked() {
                app.open(path);
                ui.close();
            }
        }
    });
    named(ui, &menu, "recent files");
}

/// A path for people: its name, and its folder behind it.
#[must_use]
pub fn describe(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    match path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        Some(folder) => format!("{name}  in {}", folder.display()),
        None => name.into_owned(),
    }
}
