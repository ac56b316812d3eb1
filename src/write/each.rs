//! Long lists of answers, made element by element while they are written: of a hundred thousand faces none is kept.

use serde::{Serialize, Serializer};

/// The elements of a list, made anew each time it is written.
pub struct Each<'a, T>(Box<dyn Fn() -> Box<dyn Iterator<Item = T> + 'a> + 'a>);

impl<'a, T> Each<'a, T> {
    /// From what makes its elements.
    pub fn new<I: Iterator<Item = T> + 'a>(elements: impl Fn() -> I + 'a) -> Self {
        Self(Box::new(move || Box::new(elements())))
    }
}

impl<T: Serialize> Serialize for Each<'_, T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq((self.0)())
    }
}
