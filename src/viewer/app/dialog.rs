//! The system's file dialogs, behind a trait: tests and systems without any bring their own.

use std::future::Future;
use std::path::PathBuf;
use std::pin::Pin;

/// What is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Question {
    /// A roof file to open.
    Open,
    /// Where to save the roof file, with a name to begin with.
    Save(String),
    /// Where to write something, with a name to begin with.
    Write(String),
}

/// The path chosen, or nothing where the dialog was left.
pub type Chosen = Pin<Box<dyn Future<Output = Option<PathBuf>> + Send>>;

/// Asks the user for a path.
pub trait Dialogs: Send + Sync {
    /// Shows a dialog. Called from the window's thread; what comes back is waited for on another.
    fn ask(&self, question: &Question) -> Chosen;
}

/// The system's own dialogs.
#[derive(Clone, Copy, Debug)]
pub struct System;

impl Dialogs for System {
    fn ask(&self, question: &Question) -> Chosen {
        let dialog = rfd::AsyncFileDialog::new();
        let path = |handle: rfd::FileHandle| handle.path().to_path_buf();
        match question {
            Question::Open => {
                let chosen = dialog.set_title("Open a roof file").add_filter("roof file", &["toml"]).pick_file();
                Box::pin(async move { chosen.await.map(path) })
            }
            Question::Save(name) => {
                let dialog = dialog.set_title("Save the roof file").add_filter("roof file", &["toml"]);
                let chosen = dialog.set_file_name(name).save_file();
                Box::pin(async move { chosen.await.map(path) })
            }
            Question::Write(name) => {
                let chosen = dialog.set_title("Write to").set_file_name(name).save_file();
                Box::pin(async move { chosen.await.map(path) })
            }
        }
    }
}

/// No dialogs at all: paths are typed.
#[derive(Clone, Copy, Debug)]
pub struct Typed;

impl Dialogs for Typed {
    fn ask(&self, _: &Question) -> Chosen {
        Box::pin(std::future::ready(None))
    }
}
