//! What a stage could not do, in a form every stage shares: a code for scripts, a message for people, the places it
//! is about and what to do. Stages raise their own typed errors; each can be told as one or more faults.

use crate::base::place::Place;

/// One reason why there is no answer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{message}")]
pub struct Fault {
    /// Stable, kebab-case.
    pub code: &'static str,
    /// Lower case, no full stop: the value found, the value expected.
    pub message: String,
    /// Where in the job; the first is where to look.
    pub places: Vec<Place>,
    /// What to do.
    pub hint: Option<String>,
}

impl Fault {
    /// A fault about one place.
    #[must_use]
    pub fn at(code: &'static str, place: Place, message: impl Into<String>) -> Self {
        Self { code, message: message.into(), places: vec![place], hint: None }
    }

    /// Adds what to do.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}
