//! Keeps unsaved text for a successor, on a thread of its own: a slow disk never holds the window up.

use crate::viewer::backend::{Backend, Slot};
use std::sync::mpsc::{Sender, channel};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;

/// A place and its unsaved text; no text: nothing is unsaved.
type Kept = (Slot, Option<String>);

/// The time of day when all was kept last, or why it was not.
type Last = Arc<Mutex<Option<Result<String, String>>>>;

/// The thread and the way to it.
pub struct Autosave {
    sender: Option<Sender<Kept>>,
    thread: Option<JoinHandle<()>>,
    last: Last,
}

impl Autosave {
    /// Starts the thread.
    #[must_use]
    pub fn start(backend: Arc<dyn Backend>) -> Self {
        let (sender, wanted) = channel::<Kept>();
        let last = Last::default();
        let its = Arc::clone(&last);
        let run = move || {
            while let Ok((slot, text)) = wanted.recv() {
                let kept = backend.keep(&slot, text.as_deref()).map(|()| backend.time_of_day());
                if let (Some(_), Ok(mut last)) = (text, its.lock()) {
                    *last = Some(kept);
                }
            }
        };
        let thread = std::thread::Builder::new().name("keep".into()).spawn(run).ok();
        Self { sender: Some(sender), thread, last }
    }

    /// Keeps a text, or forgets it. In the order of the calls.
    pub fn keep(&self, slot: Slot, text: Option<String>) {
        if let Some(sender) = &self.sender {
            // The thread ends only with the window.
            let _ = sender.send((slot, text));
        }
    }

    /// The time of day when unsaved text was kept last, or why it could not be; nothing before the first.
    #[must_use]
    pub fn last(&self) -> Option<Result<String, String>> {
        self.last.lock().ok().and_then(|last| last.clone())
    }
}

impl Drop for Autosave {
    /// Waits until all is kept.
    fn drop(&mut self) {
        drop(self.sender.take());
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}
