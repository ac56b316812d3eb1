//! Numbers as people read them on paper: those of [`crate::wording::units`].

pub use crate::wording::units::{Format, compass, degrees};
