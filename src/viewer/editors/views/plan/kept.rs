//! What the plan keeps between passes.

use super::frame::Frame;
use super::plot::Drag;

/// What the plan keeps between passes.
#[derive(Debug, Default)]
pub struct Plan {
    /// What is being dragged.
    pub(super) drag: Option<Drag>,
    /// Where the plan stands, once it was moved by hand.
    pub(super) frame: Option<Frame>,
}

impl Plan {
    /// Fits the plan into the view again.
    pub fn fit(&mut self) {
        self.frame = None;
    }

    /// Lets go of what is dragged.
    pub fn call_off(&mut self) {
        self.drag = None;
    }
}
