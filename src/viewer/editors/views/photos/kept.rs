//! What the photos keep between passes.

use super::frame::Frame;
use super::known::{Basis, Markings};
use super::load::{Load, Small};
use crate::drawing::views::overlay::{Overlay, overlay};
use crate::roof::Roof;
use eframe::egui;
use std::collections::{HashMap, HashSet};
use std::path::PathBuf;
use std::sync::Arc;

/// A mark under way.
#[derive(Clone, Debug, PartialEq)]
pub struct Drag {
    pub(super) name: String,
    pub(super) at: [f64; 2],
}

/// The fewest marks a photo is placed by.
const LEAST_MARKS: usize = 4;

/// What the photos keep between passes.
#[derive(Default)]
pub struct Photos {
    /// Which photo is open.
    pub open: usize,
    /// The mark in hand, by its point's name.
    pub chosen: Option<String>,
    /// The point that the next click marks, where it was chosen by hand.
    pub adding: Option<String>,
    /// Whether the next click makes a point that the file does not know yet.
    pub is_new: bool,
    /// Whether the next point is not chosen by itself.
    pub is_unguided: bool,
    /// Points said not to be seen in a photo.
    pub left_out: HashMap<usize, HashSet<String>>,
    /// The points of the face that is built, in order round it; `None`: none is.
    pub building: Option<Vec<String>>,
    /// What the marks tell by themselves.
    pub markings: Markings,
    /// Whether the solved roof is drawn over the photo.
    pub hides_roof: bool,
    pub(super) typed_point: String,
    pub(super) typed_file: String,
    pub(super) loads: HashMap<(Option<PathBuf>, String), Load>,
    pub(super) small: HashMap<(Option<PathBuf>, String), Small>,
    pub(super) frame: Option<Frame>,
    /// The pixel in the middle of the view.
    pub(super) middle: Option<[f64; 2]>,
    pub(super) drag: Option<Drag>,
    pub(super) lens: Option<egui::TextureHandle>,
    pub(super) over: Option<(((bool, u64), usize), Option<Arc<Overlay>>)>,
}

impl Photos {
    /// The whole photo again.
    pub fn fit(&mut self) {
        self.frame = None;
    }

    /// Opens another photo.
    pub fn turn_to(&mut self, photo: usize) {
        if self.open != photo {
            (self.open, self.is_new) = (photo, false);
        }
        (self.frame, self.chosen, self.adding) = (None, None, None);
    }

    /// Leaves off making points and building faces.
    pub fn leave_off(&mut self) {
        (self.adding, self.building, self.is_new) = (None, None, false);
    }

    /// Lets go of what is dragged.
    pub fn call_off(&mut self) {
        self.drag = None;
    }

    /// Whether no photo is being decoded and no marks are being worked on.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        let loads = self.loads.values().any(|load| matches!(load, Load::Coming(_)));
        !loads && !self.small.values().any(Small::is_coming) && self.markings.is_idle()
    }

    /// What is drawn over the open photo; `None` when it was not placed. Made once an answer.
    pub(super) fn overlay(&mut self, basis: &Basis) -> Option<Arc<Overlay>> {
        let key = (basis.serial(), self.open);
        if self.over.as_ref().is_none_or(|(of, _)| *of != key) {
            let survey = &basis.job().survey;
            let bare = Roof::default();
            let roof = match basis {
                Basis::Shown(shown) => &shown.answered.answer.roof,
                Basis::Marked(_) => &bare,
            };
            // Fewer marks fit any place the camera may have stood at: the roof over them would prove nothing.
            let stated = survey.photos.get(self.open);
            let made = stated
                .filter(|photo| photo.marks.len() >= LEAST_MARKS)
                .and_then(|_| overlay(roof, survey, basis.report(), self.open));
            self.over = Some((key, made.map(Arc::new)));
        }
        self.over.as_ref().and_then(|(_, over)| over.clone())
    }
}
