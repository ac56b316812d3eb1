//! The window's state, its bars, files and keys, and the thread that solves beside it.

mod deeds;
pub mod desk;
pub mod dialog;
pub mod files;
pub mod history;
pub mod keeper;
pub mod keys;
pub mod meaning_panel;
pub mod toolbar;
pub mod window;
pub mod worker;
