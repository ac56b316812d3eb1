//! Errors of which several are found at once: one of them stands for a list of its own kind.

use std::fmt::Display;

/// An error type with a variant that holds several of its own.
pub trait MultiError: Sized {
    /// Wraps a list.
    fn multiple(errors: Vec<Self>) -> Self;

    /// The list, where this stands for one.
    fn list(&self) -> Option<&[Self]>;

    /// One error from all that were found; `None` when there were none.
    #[must_use]
    fn all_of(mut errors: Vec<Self>) -> Option<Self> {
        match errors.len() {
            0 => None,
            1 => errors.pop(),
            _ => Some(Self::multiple(errors)),
        }
    }

    /// The single errors, to be shown each at its own place.
    #[must_use]
    fn each(&self) -> Vec<&Self> {
        match self.list() {
            Some(errors) => errors.iter().flat_map(Self::each).collect(),
            None => vec![self],
        }
    }
}

/// Implements [`MultiError`] for an error with a variant `Multiple(Vec<Self>)`.
macro_rules! multi_error {
    ($error:ty) => {
        impl $crate::base::multi_error::MultiError for $error {
            fn multiple(errors: Vec<Self>) -> Self {
                Self::Multiple(errors)
            }

            fn list(&self) -> Option<&[Self]> {
                match self {
                    Self::Multiple(errors) => Some(errors),
                    _ => None,
                }
            }
        }
    };
}
pub(crate) use multi_error;

/// Messages one after another.
#[must_use]
pub fn joined<E: Display>(errors: &[E]) -> String {
    errors.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}
