//! What the photos keep between passes.

use super::frame::Frame;
use super::load::Load;
use crate::drawing::views::overlay::{Overlay, overlay};
use crate::viewer::render::shown::Shown;
use eframe::egui;
use std::collections::HashMap;
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
    /// The point that the next click marks.
    pub adding: Option<String>,
    /// Whether the solved roof is drawn over the photo.
    pub hides_roof: bool,
    pub(super) typed_point: String,
    pub(super) typed_file: String,
    pub(super) loads: HashMap<(Option<PathBuf>, String), Load>,
    pub(super) frame: Option<Frame>,
    /// The pixel in the middle of the view.
    pub(super) middle: Option<[f64; 2]>,
    pub(super) drag: Option<Drag>,
    pub(super) lens: Option<egui::TextureHandle>,
    pub(super) over: Option<((u64, usize), Option<Arc<Overlay>>)>,
}

impl Photos {
    /// The whole photo again.
    pub fn fit(&mut self) {
        self.frame = None;
    }

    /// Lets go of what is dragged.
    pub fn call_off(&mut self) {
        self.drag = None;
    }

    /// Whether no photo is being decoded.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        !self.loads.values().any(|load| matches!(load, Load::Coming(_)))
    }

    /// What is drawn over the open photo; `None` when it was not placed. Made once an answer.
    pub(super) fn overlay(&mut self, shown: &Shown) -> Option<Arc<Overlay>> {
        let key = (shown.scene.serial, self.open);
        if self.over.as_ref().is_none_or(|(of, _)| *of != key) {
            let answered = &shown.answered;
            // Fewer marks fit any place the camera may have stood at: the roof over them would prove nothing.
            let stated = answered.job.survey.photos.get(self.open);
            let made = stated
                .filter(|photo| photo.marks.len() >= LEAST_MARKS)
                .and_then(|_| overlay(&answered.answer.roof, &answered.job.survey, &answered.answer.survey, self.open));
            self.over = Some((key, made.map(Arc::new)));
        }
        self.over.as_ref().and_then(|(_, over)| over.clone())
    }
}
