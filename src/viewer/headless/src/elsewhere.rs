//! Systems without EGL: no context off screen, and a word for it.

use super::NoContext;
use std::convert::Infallible;
use std::sync::Arc;

/// What can't be had here: no value of it is ever made.
pub struct Headless(Infallible);

impl Headless {
    /// Always refused.
    ///
    /// # Errors
    /// [`NoContext::NotHere`].
    pub fn new(_size: [u32; 2]) -> Result<Self, NoContext> {
        Err(NoContext::NotHere)
    }

    /// OpenGL's functions.
    #[must_use]
    pub fn gl(&self) -> Arc<glow::Context> {
        match self.0 {}
    }

    /// What draws, in the driver's own words.
    #[must_use]
    pub fn renderer(&self) -> String {
        match self.0 {}
    }

    /// The size of the default framebuffer in pixels.
    #[must_use]
    pub fn size(&self) -> [u32; 2] {
        match self.0 {}
    }
}
