//! Undo and redo of everything, as whole texts: what the file says is all there is.

use std::time::{Duration, Instant};

/// Changes to one place that follow within this time count as one.
const PAUSE: Duration = Duration::from_millis(1500);

/// Most texts kept.
const MOST: usize = 500;

/// Texts before and after.
#[derive(Debug, Default)]
pub struct History {
    back: Vec<String>,
    ahead: Vec<String>,
    last: Option<(String, Instant)>,
    held: Option<Held>,
}

/// A drag under way: what calling it off brings back.
#[derive(Debug)]
struct Held {
    ahead: Vec<String>,
    steps: usize,
}

impl History {
    /// Notes that `before` is about to change at `place` (any words that name it).
    pub fn note(&mut self, before: &str, place: &str, now: Instant) {
        let soon = |when: &Instant| self.held.is_some() || now.duration_since(*when) < PAUSE;
        let goes_on = self.last.as_ref().is_some_and(|(at, when)| at == place && soon(when));
        if !goes_on {
            self.back.push(before.to_owned());
            if let Some(held) = &mut self.held {
                held.steps += 1;
            }
            if self.back.len() > MOST {
                self.back.remove(0);
            }
        }
        self.ahead.clear();
        self.last = Some((place.to_owned(), now));
    }

    /// A drag begins: a new step, and however long it lasts changes to its place belong to it.
    pub fn hold(&mut self) {
        self.last = None;
        self.held = Some(Held { ahead: self.ahead.clone(), steps: 0 });
    }

    /// Whether a drag is under way.
    #[must_use]
    pub(crate) fn is_held(&self) -> bool {
        self.held.is_some()
    }

    /// The drag is called off: the text it began with, where it changed any; nothing of it is left to undo, and what
    /// could be made again before can be made again.
    pub fn call_off(&mut self) -> Option<String> {
        let held = self.held.take()?;
        self.last = None;
        if held.steps == 0 {
            return None;
        }
        self.ahead = held.ahead;
        let first = self.back.len().saturating_sub(held.steps);
        self.back.drain(first..).next()
    }

    /// The drag is over.
    pub fn let_go(&mut self) {
        self.last = None;
        self.held = None;
    }

    /// The text before the last change; `now` is kept for redo.
    pub fn undo(&mut self, now: &str) -> Option<String> {
        let before = self.back.pop()?;
        self.ahead.push(now.to_owned());
        self.last = None;
        Some(before)
    }

    /// The text that was undone last.
    pub(crate) fn redo(&mut self, now: &str) -> Option<String> {
        let after = self.ahead.pop()?;
        self.back.push(now.to_owned());
        self.last = None;
        Some(after)
    }

    /// Whether there is something to undo.
    #[must_use]
    pub fn can_undo(&self) -> bool {
        !self.back.is_empty()
    }

    /// Whether there is something to redo.
    #[must_use]
    pub(crate) fn can_redo(&self) -> bool {
        !self.ahead.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typing_into_one_place_is_one_step_and_all_steps_come_back() {
        let mut history = History::default();
        let start = Instant::now();
        history.note("a", "length of A", start);
        history.note("ab", "length of A", start + Duration::from_millis(200));
        history.note("abc", "pitch of A", start + Duration::from_millis(300));
        assert_eq!(history.undo("abcd").as_deref(), Some("abc"));
        assert_eq!(history.undo("abc").as_deref(), Some("a"));
        assert_eq!(history.undo("a"), None);
        assert_eq!(history.redo("a").as_deref(), Some("abc"));
        assert_eq!(history.redo("abc").as_deref(), Some("abcd"));
        assert!(history.can_undo() && !history.can_redo());
    }

    #[test]
    fn a_drag_is_one_step_however_long_it_lasts() {
        let mut history = History::default();
        let start = Instant::now();
        history.note("a", "corner A", start);
        history.hold();
        history.note("b", "corner A", start + Duration::from_secs(1));
        history.note("c", "corner A", start + Duration::from_mins(1));
        history.let_go();
        history.note("d", "corner A", start + Duration::from_mins(1));
        assert_eq!(history.undo("e").as_deref(), Some("d"));
        assert_eq!(history.undo("d").as_deref(), Some("b"));
        assert_eq!(history.undo("b").as_deref(), Some("a"));
    }

    #[test]
    fn a_drag_called_off_leaves_all_as_it_was() {
        let mut history = History::default();
        let start = Instant::now();
        history.note("a", "x", start);
        history.note("b", "y", start);
        assert_eq!(history.undo("c").as_deref(), Some("b"));
        history.hold();
        history.note("b", "corner A", start);
        history.note("b1", "corner A", start + Duration::from_secs(5));
        assert_eq!(history.call_off().as_deref(), Some("b"));
        assert!(!history.is_held());
        assert_eq!(history.redo("b").as_deref(), Some("c"));
        assert_eq!(history.undo("c").as_deref(), Some("b"));
        assert_eq!(history.undo("b").as_deref(), Some("a"));
        // One that changed nothing takes nothing back.
        history.hold();
        assert_eq!(history.call_off(), None);
        assert_eq!(history.call_off(), None);
        assert!(history.can_redo());
    }

    #[test]
    fn a_new_change_forgets_what_was_undone() {
        let mut history = History::default();
        let start = Instant::now();
        history.note("a", "x", start);
        assert_eq!(history.undo("b").as_deref(), Some("a"));
        history.note("a", "x", start);
        assert_eq!(history.redo("c"), None);
    }
}
