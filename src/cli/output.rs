//! Writing answers: standard output at the end and in one go, files whole or not at all.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

/// Writes a file whole: to a temporary file beside it, then renamed. An existing file is replaced.
///
/// # Errors
/// What the system says, with the path in front.
pub fn write_file(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let named = |error: io::Error| io::Error::new(error.kind(), format!("{}: {error}", path.display()));
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut file = tempfile::Builder::new().prefix(".eavewright-").tempfile_in(folder).map_err(named)?;
    file.write_all(bytes).map_err(named)?;
    file.as_file().sync_all().map_err(named)?;
    loosen(file.as_file(), path).map_err(named)?;
    file.persist(path).map_err(|error| named(error.error))?;
    Ok(())
}

/// A temporary file is private; the finished one gets the rights of the file it replaces, else those of any new file.
#[cfg(unix)]
fn loosen(file: &fs::File, path: &Path) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    let mode = match fs::metadata(path) {
        Ok(existing) => existing.permissions().mode(),
        Err(_) => 0o644,
    };
    file.set_permissions(fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn loosen(_file: &fs::File, _path: &Path) -> io::Result<()> {
    Ok(())
}

/// Writes several files of a folder, made if it is not there: all temporary files first, then all renamed, so that a
/// full disk leaves the folder as it was.
///
/// # Errors
/// What the system says, with the path in front.
pub fn write_folder(folder: &Path, files: &[(String, Vec<u8>)]) -> io::Result<()> {
    let named = |error: io::Error| io::Error::new(error.kind(), format!("{}: {error}", folder.display()));
    fs::create_dir_all(folder).map_err(named)?;
    let mut ready = Vec::with_capacity(files.len());
    for (name, bytes) in files {
        let mut file = tempfile::Builder::new().prefix(".eavewright-").tempfile_in(folder).map_err(named)?;
        file.write_all(bytes).map_err(named)?;
        loosen(file.as_file(), &folder.join(name)).map_err(named)?;
        ready.push((file, folder.join(name)));
    }
    for (file, path) in ready {
        file.persist(&path).map_err(|error| named(error.error))?;
    }
    Ok(())
}

/// Prints text to standard output. A reader that has gone away is not an error.
///
/// # Errors
/// Any other failure to write.
pub fn print(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        result => result,
    }
}
