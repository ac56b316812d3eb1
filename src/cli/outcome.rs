//! What a command gives back to be printed.

use std::io::Write;

/// What a command that gave an answer prints.
#[derive(Default)]
pub struct Done {
    /// The answer, to standard output.
    pub printed: Printed,
    /// Warnings and what was written, to standard error.
    pub aside: String,
}

/// An answer to be printed.
pub enum Printed {
    /// As it is.
    Text(String),
    /// A long one, made while it is printed. Everything that may go wrong has been done before, but for printing itself.
    Stream(Box<dyn FnOnce(&mut dyn Write) -> std::io::Result<()>>),
}

impl Default for Printed {
    fn default() -> Self {
        Self::Text(String::new())
    }
}

impl Done {
    /// A text, and what goes to standard error.
    #[must_use]
    pub fn new(text: String, aside: String) -> Self {
        Self { printed: Printed::Text(text), aside }
    }
}
