//! Keeps unsaved text for a successor, on a thread of its own: a slow disk never holds the window up.

use crate::viewer::backend::Backend;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{Sender, channel};
use std::thread::JoinHandle;

/// A path and its unsaved text; no text: nothing is unsaved.
type Kept = (Option<PathBuf>, Option<String>);

/// The thread and the way to it.
pub struct Autosave {
    sender: Option<Sender<Kept>>,
    thread: Option<JoinHandle<()>>,
}

impl Autosave {
    /// Starts the thread.
    #[must_use]
    pub fn start(backend: Arc<dyn Backend>) -> Self {
        let (sender, wanted) = channel::<Kept>();
        let run = move || {
            while let Ok((path, text)) = wanted.recv() {
                backend.keep(path.as_deref(), text.as_deref());
            }
        };
        let thread = std::thread::Builder::new().name("keep".into()).spawn(run).ok();
        Self { sender: Some(sender), thread }
    }

    /// Keeps a text, or forgets it. In the order of the calls.
    pub fn keep(&self, path: Option<PathBuf>, text: Option<String>) {
        if let Some(sender) = &self.sender {
            // The thread ends only with the window.
            let _ = sender.send((path, text));
        }
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
