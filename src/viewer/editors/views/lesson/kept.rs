//! What the lesson keeps between passes.

use super::{lengths, rising, unfolding};
use crate::viewer::render::canvas::Canvas;

/// What the lesson is about.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Chapter {
    /// The eaves' planes rise and the outline shrinks.
    #[default]
    Rising,
    /// True lengths and areas against those in plan.
    Lengths,
    /// The solid opens into its net.
    Unfolding,
}

impl Chapter {
    /// All, in the order they are told.
    pub const ALL: [Self; 3] = [Self::Rising, Self::Lengths, Self::Unfolding];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Rising => "the roof rises",
            Self::Lengths => "true lengths",
            Self::Unfolding => "the net opens",
        }
    }
}

/// What the lesson keeps between passes.
#[derive(Default)]
pub struct Lesson {
    /// The open chapter.
    pub chapter: Chapter,
    /// How far the eaves have risen, 0 ..= 1 of the way to the highest point.
    pub rise: f64,
    /// How far the net is open, 0 ..= 1.
    pub opened: f64,
    /// Whether it runs by itself.
    pub playing: bool,
    pub(super) canvas: Canvas,
    pub(super) fits: bool,
    pub(super) rising: rising::Kept,
    pub(super) lengths: lengths::Kept,
    pub(super) paper: unfolding::Paper,
}

impl Lesson {
    /// Moves the chapter's slider by hundredths.
    pub fn step(&mut self, hundredths: i8) {
        self.playing = false;
        if let Some(share) = self.share() {
            *share = (*share + f64::from(hundredths) / 100.0).clamp(0.0, 1.0);
        }
    }

    /// Runs from where it is, or from the start when it has run; stops when it runs.
    pub(crate) fn play(&mut self) {
        self.playing = !self.playing;
        if let Some(share) = self.share().filter(|share| **share >= 1.0) {
            *share = 0.0;
        }
    }

    /// Whether nothing is being worked out beside.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        self.paper.is_idle()
    }

    pub(super) fn share(&mut self) -> Option<&mut f64> {
        match self.chapter {
            Chapter::Rising => Some(&mut self.rise),
            Chapter::Lengths => None,
            Chapter::Unfolding => Some(&mut self.opened),
        }
    }

    /// Fills the view with what it shows.
    pub fn fit(&mut self) {
        self.fits = true;
    }

    /// The 3D view's camera, for standard views by key.
    pub(crate) fn canvas_mut(&mut self) -> &mut Canvas {
        &mut self.canvas
    }
}
