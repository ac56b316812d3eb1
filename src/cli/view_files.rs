//! What the window keeps between its runs: unsaved text, and which files were used.

use super::output;
use crate::viewer::backend::Slot;
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

/// How names of kept texts end.
const UNSAVED: &str = "unsaved";

/// The folder where texts of a file wait, or those of roofs without one, and what their names begin with.
fn kept_in(path: Option<&Path>) -> Option<(PathBuf, String)> {
    match path {
        Some(path) => {
            let name = path.file_name()?.to_string_lossy();
            let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
            Some((folder.to_path_buf(), format!(".{name}.")))
        }
        None => Some((state_folder()?, "new-roof.toml.".to_owned())),
    }
}

fn kept_at(slot: &Slot) -> Option<PathBuf> {
    let (folder, begins) = kept_in(slot.path.as_deref())?;
    let stamp = if slot.stamp == 0 { String::new() } else { format!("{}.", slot.stamp) };
    Some(folder.join(format!("{begins}{stamp}{UNSAVED}")))
}

/// Keeps unsaved text where a killed window's successor finds it; `None` forgets it.
///
/// # Errors
/// What the system says.
pub fn keep(slot: &Slot, text: Option<&str>) -> std::io::Result<()> {
    let Some(kept) = kept_at(slot) else {
        return Err(std::io::Error::other("the system names no folder for it"));
    };
    match text {
        Some(text) => {
            if let Some(folder) = kept.parent() {
                std::fs::create_dir_all(folder)?;
            }
            output::write_file(&kept, text.as_bytes())
        }
        None => match std::fs::remove_file(&kept) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(error),
            _ => Ok(()),
        },
    }
}

/// Texts kept by windows that were killed, newest first.
#[must_use]
pub fn kept(path: Option<&Path>) -> Vec<(Slot, String)> {
    let Some((folder, begins)) = kept_in(path) else { return Vec::new() };
    let entries = std::fs::read_dir(&folder).into_iter().flatten().flatten();
    let mut found: Vec<(std::time::SystemTime, Slot, String)> = entries
        .filter_map(|entry| {
            let name = entry.file_name().to_string_lossy().into_owned();
            let stamp = name.strip_prefix(&begins)?.strip_suffix(UNSAVED)?;
            let stamp = if stamp.is_empty() { 0 } else { stamp.strip_suffix('.')?.parse().ok()? };
            let written = entry.metadata().and_then(|facts| facts.modified()).ok()?;
            let text = std::fs::read_to_string(entry.path()).ok()?;
            Some((written, Slot { path: path.map(Path::to_path_buf), stamp }, text))
        })
        .collect();
    found.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.stamp.cmp(&a.1.stamp)));
    found.into_iter().map(|(_, slot, text)| (slot, text)).collect()
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
