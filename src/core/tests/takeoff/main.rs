//! The layout of coverings, without cards and roof files.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod layout_brute;
