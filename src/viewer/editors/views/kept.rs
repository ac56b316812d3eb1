//! The views of the middle, and what they keep between passes.

use super::compare::kept::Compare;
use super::gallery::kept::Gallery;
use super::lesson::kept::Lesson;
use super::lifting::kept::Lifting;
use super::photos::kept::Photos;
use super::plan::kept::Plan;
use crate::viewer::editors::placing::kept::Placing;
use crate::viewer::icons::Icon;

/// A view of the middle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Tab {
    /// The roof in 3D.
    #[default]
    Roof,
    /// The outline from above.
    Plan,
    /// Other pitches beside it.
    Compare,
    /// Photos with their marks.
    Photos,
    /// How the roof comes about.
    Lesson,
}

impl Tab {
    /// All views, in the order of their tabs and of their keys.
    pub const ALL: [Self; 5] = [Self::Roof, Self::Plan, Self::Compare, Self::Photos, Self::Lesson];

    /// Its word on the tab.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Roof => "Roof",
            Self::Plan => "Plan",
            Self::Compare => "Compare",
            Self::Photos => "Photos",
            Self::Lesson => "Lesson",
        }
    }

    /// Its icon.
    #[must_use]
    pub(crate) fn icon(self) -> Icon {
        match self {
            Self::Roof => Icon::Roof,
            Self::Plan => Icon::Plan,
            Self::Compare => Icon::Compare,
            Self::Photos => Icon::Photos,
            Self::Lesson => Icon::Lesson,
        }
    }

    /// What it is for, in a line.
    #[must_use]
    pub fn about(self) -> &'static str {
        match self {
            Self::Roof => "the roof in 3D",
            Self::Plan => "the outline from above",
            Self::Compare => "the same roof at other pitches",
            Self::Photos => "photos, their marks, and the solved roof over them",
            Self::Lesson => "how the roof folds: rising eaves, true lengths, the net",
        }
    }
}

/// What each view keeps between passes.
#[derive(Default)]
pub struct Views {
    /// The open one.
    pub tab: Tab,
    /// Of [`super::gallery`].
    pub gallery: Gallery,
    /// Of [`super::compare`].
    pub compare: Compare,
    /// Of [`super::plan`].
    pub plan: Plan,
    /// Of [`super::photos`].
    pub photos: Photos,
    /// Of [`super::lesson`].
    pub lesson: Lesson,
    /// Of the handles on the roof, that lift eave, pitch and ridge.
    pub lifting: Lifting,
    /// Of parts that are put on the roof by hand.
    pub placing: Placing,
}

impl Views {
    /// Whether nothing is being worked out beside the window.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        self.gallery.is_idle()
            && self.lesson.is_idle()
            && self.photos.is_idle()
            && self.placing.is_idle()
            && !self.compare.is_busy()
    }

    /// Lets go of what is dragged.
    pub fn call_off(&mut self) {
        self.plan.call_off();
        self.photos.call_off();
        self.placing.call_off();
        self.lifting.call_off();
    }
}
