//! Something that takes a while, worked out beside the window once an answer.

use eframe::egui;
use std::sync::mpsc::{Receiver, channel};

/// It, on its way or here.
#[derive(Debug)]
pub struct Deferred<T> {
    of: Option<u64>,
    coming: Option<Receiver<T>>,
    here: Option<T>,
}

impl<T> Default for Deferred<T> {
    fn default() -> Self {
        Self { of: None, coming: None, here: None }
    }
}

impl<T: Send + 'static> Deferred<T> {
    /// What belongs to the answer of a serial number; begun by the first call for it, `None` until it has come. The window
    /// is woken then.
    pub fn get(
        &mut self,
        context: &egui::Context,
        serial: u64,
        make: impl FnOnce() -> T + Send + 'static,
    ) -> Option<&T> {
        if self.of != Some(serial) {
            let (sender, receiver) = channel();
            let context = context.clone();
            let work = move || {
                // Nobody may listen any more: a newer answer is on show.
                let _ = sender.send(make());
                context.request_repaint();
            };
            (self.of, self.here) = (Some(serial), None);
            self.coming = std::thread::Builder::new().name("later".into()).spawn(work).is_ok().then_some(receiver);
        }
        if let Some(come) = self.coming.as_ref().and_then(|coming| coming.try_recv().ok()) {
            (self.here, self.coming) = (Some(come), None);
        }
        self.here.as_ref()
    }

    /// What has come.
    #[must_use]
    pub fn here(&self) -> Option<&T> {
        self.here.as_ref()
    }

    /// Whether nothing is on its way.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        self.coming.is_none()
    }
}
