//! Files are written whole or not at all.

use std::io::Write;
use std::path::Path;

/// Writes a file by way of a temporary one beside it that is renamed when complete, so that nothing half-written is
/// left and a file that was there is kept until the new one is whole.
///
/// # Errors
/// What the system says: the folder is missing or not writable, the disk is full.
pub fn atomically(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut temporary = tempfile::Builder::new();
    open_to_others(&mut temporary, path);
    let mut temporary = temporary.tempfile_in(folder)?;
    temporary.write_all(bytes)?;
    temporary.as_file().sync_all()?;
    temporary.persist(path).map_err(|failed| failed.error)?;
    Ok(())
}

/// Those of the file that stands there, else what the user's mask allows (temporary files are private by default).
#[cfg(unix)]
fn open_to_others(builder: &mut tempfile::Builder<'_, '_>, path: &Path) {
    use std::os::unix::fs::PermissionsExt;
    let there = std::fs::metadata(path).map(|there| there.permissions());
    builder.permissions(there.unwrap_or_else(|_| PermissionsExt::from_mode(0o666)));
}

#[cfg(not(unix))]
fn open_to_others(_: &mut tempfile::Builder<'_, '_>, _: &Path) {}
