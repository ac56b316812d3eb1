//! Work that takes longer than a pass of the window: done on a thread of its own, its progress told, called off at wish.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::sync::{Arc, Mutex};

/// Asks for another pass of the window, from any thread.
pub type Wake = Arc<dyn Fn() + Send + Sync>;

/// How far some work has come. Shared by the one who does it and the one who waits.
#[derive(Default)]
pub struct Progress {
    called_off: AtomicBool,
    done: AtomicUsize,
    of: AtomicUsize,
    what: Mutex<String>,
    wake: Option<Wake>,
}

impl Progress {
    /// Says what is being done, as the `done`th step of so many. False when the work was called off: stop.
    #[must_use]
    pub fn step(&self, done: usize, of: usize, what: &str) -> bool {
        self.done.store(done, Ordering::Relaxed);
        self.of.store(of, Ordering::Relaxed);
        if let Ok(mut told) = self.what.lock() {
            what.clone_into(&mut told);
        }
        if let Some(wake) = &self.wake {
            wake();
        }
        !self.is_called_off()
    }

    /// Whether nobody wants the result any longer.
    #[must_use]
    pub fn is_called_off(&self) -> bool {
        self.called_off.load(Ordering::Relaxed)
    }

    /// The share done, 0 to 1.
    #[must_use]
    pub fn share(&self) -> f32 {
        let (done, of) = (self.done.load(Ordering::Relaxed), self.of.load(Ordering::Relaxed));
        #[allow(clippy::cast_precision_loss)]
        if of == 0 { 0.0 } else { done as f32 / of as f32 }
    }

    /// What is being done.
    #[must_use]
    pub fn what(&self) -> String {
        self.what.lock().map(|what| what.clone()).unwrap_or_default()
    }
}

/// Work under way.
pub struct BackgroundTask<T> {
    result: Receiver<T>,
    /// How far it has come.
    pub progress: Arc<Progress>,
}

impl<T: Send + 'static> BackgroundTask<T> {
    /// Begins some work on a thread of its own. `wake` is called at each step and at the end.
    #[must_use]
    pub fn start(name: &str, wake: &Wake, work: impl FnOnce(&Progress) -> T + Send + 'static) -> Self {
        let (sender, result) = channel();
        let progress = Arc::new(Progress { wake: Some(Arc::clone(wake)), ..Progress::default() });
        let (its, wake) = (Arc::clone(&progress), Arc::clone(wake));
        let run = move || {
            // Nobody listens any longer: nothing to do about it.
            let _ = sender.send(work(&its));
            wake();
        };
        // Without a thread the sender is dropped, which `poll` tells as an end without a result.
        let _ = std::thread::Builder::new().name(name.to_owned()).spawn(run);
        Self { result, progress }
    }

    /// The result once it is there: `None` while it is not, `Some(None)` where the work ended without one.
    pub fn poll(&self) -> Option<Option<T>> {
        match self.result.try_recv() {
            Ok(result) => Some(Some(result)),
            Err(TryRecvError::Empty) => None,
            Err(TryRecvError::Disconnected) => Some(None),
        }
    }

    /// Says that the result is not wanted any longer; the work ends at its next step.
    pub fn call_off(&self) {
        self.progress.called_off.store(true, Ordering::Relaxed);
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn wait<T: Send + 'static>(task: &BackgroundTask<T>) -> Option<T> {
        loop {
            if let Some(result) = task.poll() {
                return result;
            }
            std::thread::yield_now();
        }
    }

    #[test]
    fn work_is_done_beside_and_called_off() {
        let wake: Wake = Arc::new(|| {});
        let task =
            BackgroundTask::start("sum", &wake, |progress| (1..=4).filter(|n| progress.step(*n, 4, "adding")).sum());
        assert_eq!(wait::<usize>(&task), Some(10));
        assert_eq!(task.progress.share(), 1.0);
        let endless = BackgroundTask::start("endless", &wake, |progress| {
            let mut steps = 0_usize;
            while progress.step(steps % 7, 7, "turning") {
                steps += 1;
            }
            steps
        });
        endless.call_off();
        assert!(wait(&endless).is_some());
    }
}
