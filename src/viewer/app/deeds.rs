//! What keys and buttons ask for, done.

use super::desk::{Desk, KEEP_AFTER};
use super::files::What;
use super::keys::Deed;
use crate::viewer::backend::Output;
use crate::viewer::editors::views::Tab;
use crate::viewer::render::camera::Camera;
use crate::viewer::render::canvas::Canvas;
use crate::viewer::render::scene::Shade;
use crate::viewer::render::theme::Theme;
use std::time::Instant;

impl Desk {
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
    pub fn act(&mut self, deed: Deed) {
        match deed {
            Deed::Look(view) => {
                if let Some(shown) = self.shown.clone() {
                    let canvas = self.canvas_mut();
                    canvas.camera = Some(Camera::standard(view, &shown.scene.places, canvas.aspect));
                }
            }
            Deed::Fit if self.views.tab == Tab::Plan => self.views.plan.fit(),
            Deed::Fit => self.fit(),
            Deed::Turn(left, up) => {
                if let Some(camera) = &mut self.canvas_mut().camera {
                    camera.loosen();
                    camera.orbit(f64::from(left) * 0.09, f64::from(up) * 0.09);
                }
            }
            Deed::Zoom(steps) => {
                let farthest = self.shown.as_ref().map_or(1e3, |shown| shown.scene.radius * 40.0);
                if let Some(camera) = &mut self.canvas_mut().camera {
                    camera.zoom(0.85_f64.powi(i32::from(steps)), None, farthest);
                }
            }
            Deed::NextShade => self.look.shade = next(&Shade::ALL, self.look.shade),
            Deed::EdgeLabels => self.labels.edges = !self.labels.edges,
            Deed::FaceLabels => self.labels.faces = !self.labels.faces,
            Deed::NextFace(forward) => {
                self.look.chosen = self.shown.as_ref().and_then(|shown| shown.beside(self.look.chosen, forward));
            }
            Deed::Nothing if self.call_off() => {}
            Deed::Nothing => {
                self.look.chosen = None;
                self.look.edge = None;
                self.files.prompt = None;
                self.canvas.is_measuring = false;
                self.canvas.measured.clear();
            }
            Deed::Measure => {
                self.canvas.is_measuring = !self.canvas.is_measuring;
                self.canvas.measured.clear();
            }
            Deed::Open => self.ask(What::Open),
            Deed::MeasureCorner(forward) => {
                if let Some(shown) = self.shown.clone() {
                    self.canvas.measure_corner(&shown.scene, forward);
                }
            }
            Deed::NextSection => self.section.next(),
            Deed::Step(hundredths) if self.views.tab == Tab::Lesson => self.views.lesson.step(hundredths),
            Deed::Step(hundredths) => self.section.step(hundredths),
            Deed::Play => self.views.lesson.play(),
            Deed::Save => self.save(),
            Deed::New => self.begin(String::new()),
            Deed::SaveAs => self.ask(What::SaveAs),
            Deed::Export => self.ask(What::Write(Output::Model)),
            Deed::Sheet => self.ask(What::Write(Output::Sheet)),
            Deed::Drawings => self.ask(What::Write(Output::Drawings)),
            Deed::Order => self.ask(What::Write(Output::Order)),
            Deed::Offer => self.ask(What::Write(Output::Offer)),
            Deed::Handover => self.ask(What::Write(Output::Handover)),
            Deed::Undo => {
                if let Some(text) = self.history.undo(&self.text) {
                    self.keep_at.get_or_insert(Instant::now() + KEEP_AFTER);
                    self.take(text);
                }
            }
            Deed::Redo => {
                if let Some(text) = self.history.redo(&self.text) {
                    self.keep_at.get_or_insert(Instant::now() + KEEP_AFTER);
                    self.take(text);
                }
            }
            Deed::Show(number) => {
                if let Some(tab) = Tab::ALL.get(usize::from(number)) {
                    self.views.tab = *tab;
                }
            }
            Deed::NextTheme => self.theme = next(&Theme::ALL, self.theme),
            Deed::Keys => self.shows_keys = !self.shows_keys,
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
