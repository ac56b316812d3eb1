//! Events to come, lowest first by their approximate height.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// What will happen, if nothing changes before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EventKind {
    /// A piece shrinks to nothing: stale unless its count of changes is still this.
    Collapse {
        /// The piece.
        piece: u32,
        /// Its changes so far.
        changes: u32,
    },
    /// A reflex vertex runs into a piece.
    Split {
        /// The vertex.
        vertex: u32,
        /// The piece.
        piece: u32,
    },
    /// A side's slope changes: stale unless the side has reached just this stage of its profile.
    Change {
        /// The side.
        side: u32,
        /// The stage that ends.
        stage: u32,
    },
}

/// An event and its height to a few units in the last place, or a bound below it.
#[derive(Clone, Copy, Debug)]
pub struct Event {
    /// Height above the base.
    pub height: f64,
    /// Whether the height is only a bound: most events go stale before anybody needs to know better.
    pub rough: bool,
    /// What.
    pub what: EventKind,
}

impl PartialEq for Event {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}
impl Eq for Event {}
impl PartialOrd for Event {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Event {
    fn cmp(&self, other: &Self) -> Ordering {
        other.height.total_cmp(&self.height)
    }
}

/// A queue of events.
#[derive(Clone, Debug, Default)]
pub struct Queue {
    heap: BinaryHeap<Event>,
}

impl Queue {
    /// An empty queue with room.
    #[must_use]
    pub fn with_capacity(events: usize) -> Self {
        Self { heap: BinaryHeap::with_capacity(events) }
    }

    /// Adds an event.
    pub fn push(&mut self, height: f64, what: EventKind) {
        self.heap.push(Event { height, rough: false, what });
    }

    /// Adds an event that happens no lower than a height, and hardly higher.
    pub(crate) fn push_rough(&mut self, height: f64, what: EventKind) {
        self.heap.push(Event { height, rough: true, what });
    }

    /// Height of the lowest.
    #[must_use]
    pub fn next_height(&self) -> Option<f64> {
        self.heap.peek().map(|event| event.height)
    }

    /// Takes the lowest.
    pub fn pop(&mut self) -> Option<Event> {
        self.heap.pop()
    }

    /// Takes the lowest if it lies no higher than `limit`.
    pub(crate) fn pop_up_to(&mut self, limit: f64) -> Option<Event> {
        if self.heap.peek()?.height <= limit { self.heap.pop() } else { None }
    }
}
