//! Writing a set of files into one folder, so that the folder holds the old set or the new one and never a mixture.
//!
//! The set is written into an unfinished folder beside, with a list of its files ([`LIST`]), and the two folders are
//! exchanged in one step where the system can do that. Files of the folder that no set of ours put there stay: they are
//! linked into the new folder first. Where that cannot be done (a folder within it, another system, somebody's current
//! folder), files are replaced one by one, those of the old set that the new one lacks removed, and the list last. One
//! process at a time: the folder's own parent is locked.

use super::output::{UNFINISHED, folder_of, named, refusal};
use std::collections::HashSet;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;
use tempfile::TempDir;

/// The file that lists the set's files, so that the next set can take their place.
pub const LIST: &str = "drawings.json";

/// Its format and version.
const FORMAT: &str = "eavewright-drawings/1";

/// Writes a set of files, each with its name and bytes, into a folder, which is made where it is not there. What an earlier
/// set left there is gone afterwards; all else stays. Precondition: names without folders, unlike also where upper and
/// lower case are not told apart.
///
/// # Errors
/// What the system says, or what stands in the way, with the path in front; the folder is then as it was.
pub(crate) fn write_set(folder: &Path, files: &[(String, Vec<u8>)]) -> io::Result<()> {
    let format = |error: io::Error| named(folder, &error);
    let folder = if fs::symlink_metadata(folder).is_ok_and(|what| what.is_symlink()) {
        fs::canonicalize(folder).map_err(format)?
    } else {
        folder.to_path_buf()
    };
    if fs::metadata(&folder).is_ok_and(|what| !what.is_dir()) {
        return Err(refusal(&folder, "found a file, expected a folder or a name that is free"));
    }
    let parent = fs::canonicalize(make(folder_of(&folder))?).map_err(format)?;
    let _alone = lock(&parent).map_err(format)?;
    sweep_unfinished(&parent);
    let new = unfinished(&parent, files).map_err(format)?;
    match fs::canonicalize(&folder) {
        Err(_) => fs::rename(new.keep(), &folder).map_err(format),
        Ok(old) => take_the_place(&old, new, files).map_err(format),
    }
}

/// A folder, made where it is not there.
fn make(folder: &Path) -> io::Result<&Path> {
    fs::create_dir_all(folder).map_err(|error| named(folder, &error))?;
    Ok(folder)
}

/// Holds other processes that write sets into folders of `parent` until it is dropped.
fn lock(parent: &Path) -> io::Result<Option<File>> {
    if !cfg!(unix) {
        // Elsewhere a folder cannot be opened to be locked; files are still whole.
        return Ok(None);
    }
    let folder = File::open(parent)?;
    match folder.lock() {
        Ok(()) => Ok(Some(folder)),
        // Some network file systems have no locks.
        Err(error) if error.kind() == io::ErrorKind::Unsupported => Ok(None),
        Err(error) => Err(error),
    }
}

fn prefix() -> String {
    format!("{UNFINISHED}set-")
}

/// Removes what a killed process left: under the lock nobody else is writing a set here.
fn sweep_unfinished(parent: &Path) {
    let Ok(entries) = fs::read_dir(parent) else { return };
    for entry in entries.flatten() {
        if entry.file_name().to_string_lossy().starts_with(&prefix()) {
            let _ = fs::remove_dir_all(entry.path());
        }
    }
}

/// The whole new set in a folder of its own.
fn unfinished(parent: &Path, files: &[(String, Vec<u8>)]) -> io::Result<TempDir> {
    let mut builder = tempfile::Builder::new();
    let prefix = prefix();
    builder.prefix(&prefix);
    #[cfg(unix)]
    builder.permissions(<fs::Permissions as std::os::unix::fs::PermissionsExt>::from_mode(0o777));
    let folder = builder.tempdir_in(parent)?;
    for (name, bytes) in files {
        write_new(&folder.path().join(name), bytes)?;
    }
    let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
    let list = serde_json::json!({ "format": FORMAT, "files": names });
    write_new(&folder.path().join(LIST), format!("{list:#}\n").as_bytes())?;
    Ok(folder)
}

fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = File::create_new(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// The files that the set in a folder says are its own; none where there is no list.
fn listed(folder: &Path) -> HashSet<String> {
    let list =
        fs::read(folder.join(LIST)).ok().and_then(|text| serde_json::from_slice::<serde_json::Value>(&text).ok());
    let Some(list) = list.filter(|list| list["format"] == FORMAT) else { return HashSet::new() };
    let names = list["files"].as_array().into_iter().flatten().filter_map(|name| name.as_str());
    // A list is a file like any other: it may name nothing outside its folder.
    let plain = names.filter(|name| Path::new(name).file_name().is_some_and(|only| only == *name));
    plain.map(str::to_owned).chain([LIST.to_owned()]).collect()
}

/// Puts a new set where an old one, or anything else, stands.
fn take_the_place(old: &Path, new: TempDir, files: &[(String, Vec<u8>)]) -> io::Result<()> {
    let replaced = listed(old);
    let coming: HashSet<&str> = files.iter().map(|(name, _)| name.as_str()).chain([LIST]).collect();
    let mut stays = Vec::new();
    for entry in fs::read_dir(old)? {
        let name = entry?.file_name();
        let told = name.to_string_lossy().into_owned();
        if !replaced.contains(&told) && !coming.contains(told.as_str()) {
            stays.push(name);
        }
    }
    let somebody_is_in_it = std::env::current_dir().is_ok_and(|here| here.starts_with(old));
    let linked = !somebody_is_in_it && stays.iter().all(|name| link(&old.join(name), &new.path().join(name)));
    if linked && exchange(new.path(), old) {
        // What was replaced now lies in the unfinished folder and goes with it.
        return new.close();
    }
    for name in &coming {
        if fs::metadata(old.join(name)).is_ok_and(|what| !what.is_file()) {
            return Err(refusal(&old.join(name), "found a folder or a device where a drawing is to be written"));
        }
    }
    for name in replaced.iter().filter(|name| !coming.contains(name.as_str())) {
        match fs::remove_file(old.join(name)) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
            _ => {}
        }
    }
    for (name, _) in files {
        fs::rename(new.path().join(name), old.join(name))?;
    }
    fs::rename(new.path().join(LIST), old.join(LIST))?;
    new.close()
}

/// A second name for a plain file; `false` where that cannot be had.
fn link(from: &Path, to: &Path) -> bool {
    fs::symlink_metadata(from).is_ok_and(|what| what.is_file()) && fs::hard_link(from, to).is_ok()
}

/// Exchanges two folders in one step; `false` where the system cannot.
#[cfg(target_os = "linux")]
fn exchange(one: &Path, other: &Path) -> bool {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    if let Ok(rights) = fs::metadata(other).map(|what| what.permissions()) {
        let _ = fs::set_permissions(one, rights);
    }
    renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE).is_ok()
}

#[cfg(not(target_os = "linux"))]
fn exchange(_one: &Path, _other: &Path) -> bool {
    false
}
