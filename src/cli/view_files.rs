//! What the window keeps between its runs: unsaved text, and which files were used.

use super::output;
use std::path::{Path, PathBuf};

/// Most files remembered.
const MOST: usize = 12;

/// The user's own folder for what programs remember; `None` where the system names none.
fn state_folder() -> Option<PathBuf> {
    let folder = std::env::var_os("XDG_STATE_HOME")
        .or_else(|| std::env::var_os("LOCALAPPDATA"))
        .map(PathBuf::from)
        .or_else(|| std::env::var_os("HOME").map(|home| PathBuf::from(home).join(".local/state")))?;
    Some(folder.join("eavewright"))
}

/// Where unsaved text waits for a successor: beside its file, or in the user's own folder.
fn kept_at(path: Option<&Path>) -> Option<PathBuf> {
    match path {
        Some(path) => {
            let name = path.file_name()?.to_string_lossy();
            Some(path.with_file_name(format!(".{name}.unsaved")))
        }
        None => Some(state_folder()?.join("new-roof.toml.unsaved")),
    }
}

/// Keeps unsaved text where a killed window's successor finds it; `None` forgets it.
pub fn keep(path: Option<&Path>, text: Option<&str>) {
    let Some(kept) = kept_at(path) else { return };
    // What can't be kept is lost only with the window itself; saving says so.
    let _ = match text {
        Some(text) => {
            if let Some(folder) = kept.parent() {
                let _ = std::fs::create_dir_all(folder);
            }
            output::write_file(&kept, text.as_bytes())
        }
        None => std::fs::remove_file(&kept),
    };
}

/// Text kept by a window that was killed.
#[must_use]
pub fn kept(path: Option<&Path>) -> Option<String> {
    std::fs::read_to_string(kept_at(path)?).ok()
}

/// Files used lately that are still there, newest first.
#[must_use]
pub fn recent() -> Vec<PathBuf> {
    let read = state_folder().and_then(|folder| std::fs::read_to_string(folder.join("recent")).ok());
    let lines = read.unwrap_or_default();
    lines.lines().map(PathBuf::from).filter(|path| path.is_file()).collect()
}

/// A setting's file: one each, so that two windows don't undo each other's.
fn setting_at(name: &str) -> Option<PathBuf> {
    Some(state_folder()?.join(name))
}

/// A setting of the window.
#[must_use]
pub fn setting(name: &str) -> Option<String> {
    let text = std::fs::read_to_string(setting_at(name)?).ok()?;
    Some(text.trim().to_owned()).filter(|text| !text.is_empty())
}

/// Notes a setting of the window, or forgets it.
pub fn set(name: &str, value: Option<&str>) {
    let Some(path) = setting_at(name) else { return };
    // A setting that can't be kept is not worth an error.
    let _ = match (value, path.parent()) {
        (Some(value), Some(folder)) => {
            std::fs::create_dir_all(folder).and_then(|()| output::write_file(&path, format!("{value}\n").as_bytes()))
        }
        _ => std::fs::remove_file(&path),
    };
}

/// Notes that a file was used.
pub fn used(path: &Path) {
    let Some(folder) = state_folder() else { return };
    let Ok(path) = std::path::absolute(path) else { return };
    let others = recent().into_iter().filter(|other| *other != path);
    let lines: Vec<String> =
        std::iter::once(path.clone()).chain(others).take(MOST).map(|path| path.display().to_string()).collect();
    // A list that can't be written is not worth an error.
    let _ = std::fs::create_dir_all(&folder)
        .and_then(|()| output::write_file(&folder.join("recent"), format!("{}\n", lines.join("\n")).as_bytes()));
}
