//! A mistake that has been reported already.

/// Something is wrong, and the reader's list of problems has it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reported;
