//! What keys and buttons ask for, done.

use super::keys::Action;
use super::prompt::What;
use super::state::{AppState, KEEP_AFTER};
use crate::viewer::backend::Output;
use crate::viewer::editors::views::Tab;
use crate::viewer::render::camera::Camera;
use crate::viewer::render::canvas::Canvas;
use crate::viewer::render::scene::Shade;
use crate::viewer::render::theme::Theme;
use std::time::Instant;

impl AppState {
    /// Takes back what a drag has changed so far; the hand that still drags changes nothing more. False where nothing is
    /// dragged.
    pub fn call_off(&mut self) -> bool {
        if !self.history.is_held() {
            return false;
        }
        if let Some(text) = self.history.call_off() {
            self.keep_at.get_or_insert(Instant::now() + KEEP_AFTER);
            self.take(text);
        }
        self.views.call_off();
        self.is_called_off = true;
        self.said = ("the drag was called off: all is as it was".to_owned(), false);
        true
    }

    /// Whether the drag that still goes on was called off.
    #[must_use]
    pub fn is_called_off(&self) -> bool {
        self.is_called_off
    }

    /// Does what a key or a button asks for.
    pub fn act(&mut self, action: Action) {
        match action {
            Action::Look(view) => {
                if let Some(shown) = self.shown.clone() {
                    let canvas = self.canvas_mut();
                    canvas.camera = Some(Camera::standard(view, &shown.scene.places, canvas.aspect));
                }
            }
            Action::Fit if self.views.tab == Tab::Plan => self.views.plan.fit(),
            Action::Fit => self.fit(),
            Action::Turn(left, up) => {
                if let Some(camera) = &mut self.canvas_mut().camera {
                    camera.loosen();
                    camera.orbit(f64::from(left) * 0.09, f64::from(up) * 0.09);
                }
            }
            Action::Zoom(steps) => {
                let farthest = self.shown.as_ref().map_or(1e3, |shown| shown.scene.radius * 40.0);
                if let Some(camera) = &mut self.canvas_mut().camera {
                    camera.zoom(0.85_f64.powi(i32::from(steps)), None, farthest);
                }
            }
            Action::NextShade => self.look.shade = next(&Shade::ALL, self.look.shade),
            Action::EdgeLabels => self.labels.edges = !self.labels.edges,
            Action::FaceLabels => self.labels.faces = !self.labels.faces,
            Action::NextFace(forward) => {
                self.look.chosen = self.shown.as_ref().and_then(|shown| shown.beside(self.look.chosen, forward));
            }
            Action::Nothing if self.call_off() => {}
            Action::Nothing => {
                self.look.chosen = None;
                self.look.edge = None;
                self.files.prompt = None;
                self.unit_change = None;
                self.shows_keys = false;
                self.canvas.is_measuring = false;
                self.canvas.measured.clear();
                self.views.photos.leave_off();
            }
            Action::Measure => {
                self.canvas.is_measuring = !self.canvas.is_measuring;
                self.canvas.measured.clear();
            }
            Action::Open => self.ask(What::Open),
            Action::MeasureCorner(forward) => {
                if let Some(shown) = self.shown.clone() {
                    self.canvas.measure_corner(&shown.scene, forward);
                }
            }
            Action::NextSection => self.section.next(),
            Action::Step(hundredths) if self.views.tab == Tab::Lesson => self.views.lesson.step(hundredths),
            Action::Step(hundredths) => self.section.step(hundredths),
            Action::Play => self.views.lesson.play(),
            Action::Save => self.save(),
            Action::New => self.begin(String::new()),
            Action::SaveAs => self.ask(What::SaveAs),
            Action::Export => self.ask(What::Write(Output::Model)),
            Action::Sheet => self.ask(What::Write(Output::Sheet)),
            Action::Drawings => self.ask(What::Write(Output::Drawings)),
            Action::Order => self.ask(What::Write(Output::Order)),
            Action::Offer => self.ask(What::Write(Output::Offer)),
            Action::Handover => self.ask(What::Write(Output::Handover)),
            Action::Undo => {
                if let Some(text) = self.history.undo(&self.text) {
                    self.keep_at.get_or_insert(Instant::now() + KEEP_AFTER);
                    self.take(text);
                }
            }
            Action::Redo => {
                if let Some(text) = self.history.redo(&self.text) {
                    self.keep_at.get_or_insert(Instant::now() + KEEP_AFTER);
                    self.take(text);
                }
            }
            Action::Show(number) => {
                if let Some(tab) = Tab::ALL.get(usize::from(number)) {
                    self.views.tab = *tab;
                }
            }
            Action::NextTheme => self.theme = next(&Theme::ALL, self.theme),
            Action::Keys => self.shows_keys = !self.shows_keys,
            Action::Pane(forward) => self.panes.step(forward),
        }
    }

    fn fit(&mut self) {
        match self.views.tab {
            Tab::Photos => return self.views.photos.fit(),
            Tab::Lesson => return self.views.lesson.fit(),
            _ => {}
        }
        let aspect = self.canvas.aspect;
        if let (Some(shown), Some(camera)) = (&self.shown, self.canvas.camera) {
            self.canvas.camera = Some(camera.fitted(&shown.scene.places, aspect, 0.86));
        }
    }

    /// The 3D view that is open: the lesson has its own.
    fn canvas_mut(&mut self) -> &mut Canvas {
        if self.views.tab == Tab::Lesson { self.views.lesson.canvas_mut() } else { &mut self.canvas }
    }
}

fn next<T: Copy + PartialEq>(all: &[T], of: T) -> T {
    let at = all.iter().position(|item| *item == of).unwrap_or(0);
    all[(at + 1) % all.len()]
}
