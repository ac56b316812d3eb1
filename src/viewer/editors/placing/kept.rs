//! What placing keeps between passes.

use super::part::Part;
use super::placed::{Movable, Placed};
use super::spot::{Measure, Spot};
use super::trial::{Trials, Tried};

/// A part that is being placed.
#[derive(Clone, Debug)]
pub struct Active {
    /// What.
    pub part: Part,
    /// Where its ghost is; or why there is none, in words.
    pub spot: Result<Spot, String>,
    /// What is known of that place.
    pub tried: Option<Tried>,
    /// Whether it is put down as soon as it is known that it can stand.
    pub(super) waits: bool,
    /// Whether the view is to get the focus, so that keys move the ghost.
    pub(super) wants_focus: bool,
}

/// A drag of a part under way: all as it was when it began.
#[derive(Clone, Debug)]
pub struct PartDrag {
    /// The part.
    pub part: Movable,
    /// The file.
    pub text: String,
    /// Where it was taken hold of, metres on the site.
    pub from: nalgebra::Point2<f64>,
}

/// A dimension that is being typed.
#[derive(Clone, Debug, PartialEq)]
pub struct Typing {
    /// Whose.
    pub of: Placed,
    /// Which.
    pub measure: Measure,
    /// As typed so far.
    pub text: String,
}

/// What placing keeps between passes.
#[derive(Default)]
pub struct Placing {
    /// What is being placed.
    pub active: Option<Active>,
    /// The part whose dimensions are shown.
    pub chosen: Option<Placed>,
    /// A dimension that is being typed.
    pub typing: Option<Typing>,
    /// A part in hand.
    pub dragged: Option<PartDrag>,
    pub(super) trials: Trials,
    /// The view that shows the ghost.
    pub(super) view: Option<eframe::egui::Id>,
}

impl Placing {
    /// Whether a ghost follows the pointer.
    #[must_use]
    pub fn is_on(&self) -> bool {
        self.active.is_some()
    }

    /// Leaves off.
    pub fn leave(&mut self) {
        self.active = None;
    }

    /// Lets go of what is dragged.
    pub fn call_off(&mut self) {
        self.dragged = None;
    }

    /// Whether nothing is being tried.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        self.trials.is_idle()
            && self.active.as_ref().is_none_or(|active| active.spot.is_err() || active.tried.is_some())
    }
}
