//! Numbers as people read them on paper: those of [`crate::base::words`].

pub use crate::base::words::{Words, compass, degrees};
