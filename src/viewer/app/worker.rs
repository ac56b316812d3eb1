//! Solving beside the window: a thread that always takes the newest text and lets older ones go.

use crate::base::diagnostic::Diagnostic;
use crate::viewer::backend::{Answered, Backend, Source};
use crate::viewer::render::courses;
use crate::viewer::render::scene::Scene;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Condvar, Mutex};
use std::time::{Duration, Instant};

/// What the worker found for a text.
pub enum Outcome {
    /// An answer with its scene.
    Solved(Box<Solved>),
    /// Everything that is wrong.
    Faults(Vec<Diagnostic>),
}

/// An answer ready to be shown.
pub struct Solved {
    /// The answer.
    pub answered: Answered,
    /// Its scene.
    pub scene: Scene,
}

/// What comes back.
pub struct Reply {
    /// Of the text it was made from.
    pub serial: u64,
    /// The answer or the faults.
    pub outcome: Outcome,
    /// Whether standard deviations are in it, or what may be to blame for there being none, so that no better reply to this
    /// text follows.
    pub is_last: bool,
    /// From taking the text to the scene.
    pub took: Duration,
}

#[derive(Default)]
struct Slot {
    waiting: Option<(u64, String, Option<PathBuf>)>,
    closing: bool,
}

/// The thread and the way to it.
pub struct Worker {
    slot: Arc<(Mutex<Slot>, Condvar)>,
    replies: Receiver<Reply>,
    thread: Option<std::thread::JoinHandle<()>>,
    serial: u64,
    last_reply: u64,
}

impl Worker {
    /// Starts the thread; `wake` is called after every reply.
    #[must_use]
    pub fn start(backend: Arc<dyn Backend>, wake: impl Fn() + Send + 'static) -> Self {
        let slot = Arc::new((Mutex::new(Slot::default()), Condvar::new()));
        let (sender, replies) = channel();
        let its_slot = Arc::clone(&slot);
        let work = move || run(&its_slot, backend.as_ref(), &sender, &wake);
        let thread = std::thread::Builder::new().name("solve".into()).spawn(work).ok();
        Self { slot, replies, thread, serial: 0, last_reply: 0 }
    }

    /// Hands over a text; one that still waits is let go. Never blocks on solving.
    pub fn solve(&mut self, text: String, path: Option<PathBuf>) {
        self.serial += 1;
        if let Ok(mut slot) = self.slot.0.lock() {
            slot.waiting = Some((self.serial, text, path));
        }
        self.slot.1.notify_one();
    }

    /// The replies that have come, oldest first.
    pub(crate) fn replies(&mut self) -> Vec<Reply> {
        let replies: Vec<Reply> = self.replies.try_iter().collect();
        for reply in replies.iter().filter(|reply| reply.is_last) {
            self.last_reply = self.last_reply.max(reply.serial);
        }
        replies
    }

    /// Whether the newest text has its last reply.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        self.last_reply == self.serial
    }
}

impl Drop for Worker {
    fn drop(&mut self) {
        if let Ok(mut slot) = self.slot.0.lock() {
            slot.closing = true;
        }
        self.slot.1.notify_one();
        // A solve that runs is not waited for: it ends by itself and finds nobody listening.
        drop(self.thread.take());
    }
}

fn run(slot: &(Mutex<Slot>, Condvar), backend: &dyn Backend, sender: &Sender<Reply>, wake: &dyn Fn()) {
    while let Some((serial, text, path)) = next(slot) {
        let start = Instant::now();
        // The picture first; how sure it is takes longer and is dropped when a newer text waits.
        for sure in [false, true] {
            if sure && is_waiting(slot) {
                break;
            }
            let outcome = match backend.answer(Source { text: &text, path: path.as_deref() }, sure) {
                Ok(answered) => {
                    let scene =
                        Scene::new(&answered.answer.roof, &answered.with_raised(), |face| courses::of(&answered, face));
                    Outcome::Solved(Box::new(Solved { answered, scene }))
                }
                Err(faults) => Outcome::Faults(faults),
            };
            // Where there is no answer, what may be to blame comes with the second.
            let is_last = sure;
            if sender.send(Reply { serial, outcome, is_last, took: start.elapsed() }).is_err() {
                return;
            }
            wake();
        }
    }
}

fn next(slot: &(Mutex<Slot>, Condvar)) -> Option<(u64, String, Option<PathBuf>)> {
    let mut guard = slot.0.lock().ok()?;
    loop {
        if guard.closing {
            return None;
        }
        if let Some(waiting) = guard.waiting.take() {
            return Some(waiting);
        }
        guard = slot.1.wait(guard).ok()?;
    }
}

fn is_waiting(slot: &(Mutex<Slot>, Condvar)) -> bool {
    slot.0.lock().is_ok_and(|slot| slot.waiting.is_some() || slot.closing)
}
