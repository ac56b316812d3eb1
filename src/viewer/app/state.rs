//! The window's state and the way a change takes: typed, written into the text, solved beside, shown.

use super::autosave::Autosave;
use super::dialog::{self, Dialogs};
use super::history::History;
use super::overwrite::{OnDisk, Overwrite};
use super::panes::Panes;
use super::prompt::Files;
use super::slots::{left_behind, slot_beside};
use super::worker::{Outcome, Worker};
use crate::base::diagnostic::{Diagnostic, Severity};
use crate::base::file_tree::{Edit, FileTable, Kind, Step, under};
use crate::base::ids::FaceId;
use crate::base::schema::Table;
use crate::base::units::LengthUnit;
use crate::job::reading::Fault;
use crate::viewer::backend::{Backend, Slot};
use crate::viewer::background_task::Wake;
use crate::viewer::editors::forms::page::{Forms, Page};
use crate::viewer::editors::views::kept::Views;
use crate::viewer::render::canvas::Canvas;
use crate::viewer::render::labels::Labels;
use crate::viewer::render::scene::Shade;
use crate::viewer::render::section::Section;
use crate::viewer::render::shown::Shown;
use crate::viewer::render::stage::Look;
use crate::viewer::render::theme::Theme;
use crate::viewer::render::water::Water;
use crate::wording::marking;
use eframe::egui;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// Unsaved text is kept for a successor this long after a change at the latest.
pub(super) const KEEP_AFTER: Duration = Duration::from_secs(1);

/// The window.
pub struct AppState {
    /// The program around it.
    pub backend: Arc<dyn Backend>,
    worker: Worker,
    pub(super) autosave: Autosave,
    /// Asks for another pass from another thread.
    pub wake: Wake,
    /// The file's text: all there is to save.
    pub text: String,
    /// The text as last read or saved.
    pub saved: String,
    /// Where it is saved.
    pub path: Option<PathBuf>,
    /// Undo and redo.
    pub history: History,
    /// The file as written; `None` while the text is no TOML.
    pub written: Option<Arc<FileTable>>,
    /// What the file may hold.
    pub schema: &'static Table,
    /// The last answer.
    pub shown: Option<Arc<Shown>>,
    /// What is wrong with the text, and what is worth a look.
    pub diagnostics: Vec<Diagnostic>,
    /// The 3D view.
    pub canvas: Canvas,
    /// What the middle shows.
    pub views: Views,
    /// What is switched on in 3D.
    pub look: Look,
    /// What is labelled there.
    pub labels: Labels,
    /// What answers are shown in, whatever the file is written in; `None`: as the file is.
    pub display: Option<LengthUnit>,
    /// The section plane.
    pub section: Section,
    /// Where the water goes.
    pub water: Water,
    /// Colours.
    pub theme: Theme,
    /// The left side.
    pub forms: Forms,
    /// What is asked for above the roof, and what is being written.
    pub files: Files,
    /// How the system asks for paths.
    pub dialogs: Arc<dyn Dialogs>,
    /// What happened last, for the foot of the window; whether it went wrong.
    pub said: (String, bool),
    /// How long the last answer took; told at the foot while nothing else is.
    pub took: Option<Duration>,
    /// Whether the list of keys is open.
    pub shows_keys: bool,
    /// Which panes are open.
    pub panes: Panes,
    /// How many times the usual size text has.
    pub text_size: f32,
    pub(super) sized_text: Option<f32>,
    /// The window's size when last shown, points of the screen.
    pub(super) size: Option<[f32; 2]>,
    /// Texts that killed windows left behind, newest first: none is written over while it is offered.
    pub recovered: Vec<(Slot, String)>,
    /// Where this job's unsaved text is kept.
    pub(super) slot: Slot,
    /// What is to be decided before a file is written over.
    pub overwrite: Option<Overwrite>,
    pub(super) on_disk: OnDisk,
    /// Another unit for bare numbers, from and to, until it is said what they shall mean then.
    pub unit_change: Option<[LengthUnit; 2]>,
    pub(super) is_called_off: bool,
    pub(super) styled: Option<Theme>,
    pub(super) keep_at: Option<Instant>,
    pub(super) fit_next: bool,
}

impl AppState {
    /// A window on a text. `wake` asks for another pass from another thread.
    #[must_use]
    pub fn new(
        backend: Arc<dyn Backend>,
        text: String,
        path: Option<PathBuf>,
        wake: impl Fn() + Send + Sync + 'static,
    ) -> Self {
        let recovered = left_behind(&*backend, path.as_deref(), &text);
        let slot = slot_beside(path.as_deref(), &recovered);
        let wake: Wake = Arc::new(wake);
        let its = Arc::clone(&wake);
        let mut app = Self {
            autosave: Autosave::start(Arc::clone(&backend)),
            worker: Worker::start(Arc::clone(&backend), move || its()),
            wake,
            schema: backend.schema(),
            backend,
            text: String::new(),
            saved: text.clone(),
            path,
            history: History::default(),
            written: None,
            shown: None,
            diagnostics: Vec::new(),
            canvas: Canvas::default(),
            views: Views::default(),
            look: Look::plain(Shade::Covering),
            labels: Labels { edges: true, faces: true },
            display: None,
            section: Section::default(),
            water: Water::default(),
            theme: Theme::Light,
            forms: Forms::default(),
            files: Files::default(),
            dialogs: Arc::new(dialog::Typed),
            said: (String::new(), false),
            took: None,
            shows_keys: false,
            panes: Panes::default(),
            text_size: 1.0,
            sized_text: Some(1.0),
            size: None,
            recovered,
            slot,
            overwrite: None,
            on_disk: OnDisk::default(),
            unit_change: None,
            is_called_off: false,
            styled: None,
            keep_at: None,
            fit_next: true,
        };
        app.files.recent = app.backend.recent();
        app.take(text);
        app.turn_to_what_is_there();
        app
    }

    /// Whether nothing is being worked on and nothing waits.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        self.is_solved() && self.views.is_idle() && !self.files.is_busy()
    }

    /// Whether the newest text has its answer.
    #[must_use]
    pub(crate) fn is_solved(&self) -> bool {
        self.worker.is_idle()
    }

    /// Whether the text differs from what is saved.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        self.text != self.saved
    }

    /// What answers are given in.
    #[must_use]
    pub fn units(&self) -> LengthUnit {
        self.shown.as_ref().map_or(LengthUnit::Metre, |shown| shown.answered.job.units)
    }

    /// Errors of the text, not warnings.
    pub fn errors(&self) -> impl Iterator<Item = &Diagnostic> {
        self.diagnostics.iter().filter(|diagnostic| diagnostic.severity == Severity::Error)
    }

    pub(super) fn take(&mut self, text: String) {
        self.text = text;
        self.written = self.backend.written(&self.text).map(Arc::new);
        if self.text.trim().is_empty() {
            self.shown = None;
            self.diagnostics.clear();
        } else {
            self.worker.solve(self.text.clone(), self.path.clone());
        }
    }

    /// Another text from the same place: undoable, kept for a successor, solved.
    pub fn change(&mut self, text: String, place: &str) {
        if text == self.text {
            return;
        }
        let now = Instant::now();
        self.history.note(&self.text, place, now);
        self.keep_at.get_or_insert(now + KEEP_AFTER);
        if self.said.1 {
            // What went wrong was told of the text before this one.
            self.said = (String::new(), false);
        }
        self.take(text);
    }

    /// Makes changes to the text one after the other; the first that can't be made is said and all are left.
    pub fn edit(&mut self, edits: &[Edit], place: &str) {
        self.edit_from(&self.text.clone(), edits, place);
    }

    /// The same from another text than the present one: what a drag began with.
    pub(crate) fn edit_from(&mut self, text: &str, edits: &[Edit], place: &str) {
        let mut text = text.to_owned();
        for edit in edits {
            match self.backend.edit(&text, edit) {
                Ok(changed) => text = changed,
                Err(why) => {
                    self.said = (why, true);
                    return;
                }
            }
        }
        self.change(text, place);
    }

    /// Sets one key of a table as typed; nothing typed removes it.
    pub fn set(&mut self, table: &[Step], key: &str, typed: &str, kind: Kind) {
        let at = under(table, [key.into()]);
        let place = format!("{at:?}");
        let value = (!typed.trim().is_empty()).then(|| typed.to_owned());
        self.edit(&[Edit::Set { at, value, kind }], &place);
    }

    /// From now on changes to one place are one step, until [`AppState::let_go`]: a drag.
    pub fn hold(&mut self) {
        self.history.hold();
    }

    /// The drag is over.
    pub fn let_go(&mut self) {
        self.history.let_go();
        self.is_called_off = false;
    }

    pub(super) fn listen(&mut self) {
        for reply in self.worker.replies() {
            match reply.outcome {
                Outcome::Solved(mut solved) => {
                    let units = &mut solved.answered.job.units;
                    *units = self.display.unwrap_or(*units);
                    self.diagnostics.clone_from(&solved.answered.warnings);
                    self.choose_again(&solved.answered.answer.roof);
                    let first = self.shown.is_none() || self.fit_next;
                    self.shown = Some(Arc::new(Shown::new(solved.answered, solved.scene)));
                    if first {
                        self.canvas.camera = None;
                        self.fit_next = false;
                    }
                    let is_news = !reply.is_last && !self.said.1;
                    if is_news {
                        self.said = (String::new(), false);
                    }
                    self.took = Some(reply.took);
                }
                Outcome::Faults(faults) => self.take_faults(faults),
            }
        }
    }

    /// What is wrong with the text. That photos make no roof yet, while they are marked, is nothing wrong.
    fn take_faults(&mut self, mut faults: Vec<Diagnostic>) {
        let is_unbuilt = |fault: &Diagnostic| fault.code == Fault::NoRoof.code();
        let errors = || faults.iter().filter(|fault| fault.severity == Severity::Error);
        let has_photos = self.written.as_ref().is_some_and(|file| !file.list("photo").is_empty());
        if has_photos && errors().all(is_unbuilt) {
            self.shown = None;
            for fault in faults.iter_mut().filter(|fault| is_unbuilt(fault)) {
                *fault = Diagnostic {
                    severity: Severity::Note,
                    found: None,
                    expected: None,
                    hints: Vec::new(),
                    ..fault.clone()
                };
                marking::NO_FACE_YET.clone_into(&mut fault.message);
            }
        }
        self.diagnostics = faults;
    }

    /// Keeps the same face chosen by its name in a new answer.
    fn choose_again(&mut self, roof: &crate::roof::Roof) {
        let chosen = self.look.chosen.zip(self.shown.as_ref());
        let name = chosen
            .and_then(|(face, shown)| shown.answered.answer.roof.faces.get(face.index()).map(|face| face.id.clone()));
        self.look.chosen = name.and_then(|id| roof.faces.iter().position(|face| face.id == id).map(FaceId::new));
        self.look.hovered = None;
        self.look.edge = None;
        self.canvas.measured.clear();
    }

    pub(super) fn keep(&mut self, context: &egui::Context) {
        let Some(at) = self.keep_at else { return };
        let now = Instant::now();
        if now >= at {
            self.keep_now();
        } else {
            context.request_repaint_after(at - now);
        }
    }

    /// Keeps what is not saved; forgets what was kept where all is.
    pub(super) fn keep_now(&mut self) {
        self.autosave.keep(self.slot.clone(), self.is_changed().then(|| self.text.clone()));
        self.keep_at = None;
    }

    /// The window closes in order: what is not saved waits for the next one.
    pub fn close(&mut self) {
        self.keep_now();
        self.remember();
        self.canvas.shelf.clear();
    }

    /// Shows answers in other units.
    pub fn show_in(&mut self, units: Option<LengthUnit>) {
        self.display = units;
        self.take(self.text.clone());
    }

    /// Opens the page of points for a roof that has points and no walked outline, and the other way round.
    pub(super) fn turn_to_what_is_there(&mut self) {
        let Some(file) = &self.written else { return };
        let (walked, by_points) = (!file.list("block").is_empty(), file.table("points").is_some());
        self.forms.page = match self.forms.page {
            Page::Sides if !walked && by_points => Page::Points,
            Page::Points if walked && !by_points => Page::Sides,
            page => page,
        };
    }
}
