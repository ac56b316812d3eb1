//! The window's state, its bars, files and keys, and the thread that solves beside it.

mod actions;
pub mod autosave;
pub mod dialog;
pub mod files;
pub mod history;
mod kept_settings;
pub mod keys;
pub mod meaning_panel;
pub mod on_disk;
pub mod order_panel;
pub mod overwrite;
pub mod panes;
mod pass;
pub mod prompt;
pub mod settings;
mod slots;
pub mod state;
pub mod toolbar;
pub mod window;
pub mod worker;
