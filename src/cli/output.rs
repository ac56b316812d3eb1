//! Writing answers: standard output at the end and in one go, files whole or not at all.

use super::outcome::Printed;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// How the names of unfinished files and folders begin.
pub(super) const UNFINISHED: &str = ".eavewright-";

/// Writes a file whole: to a temporary file beside it, then renamed. An existing file is replaced, through a link the file
/// it points to. What is no plain file (a folder, a device, a pipe) is left alone.
///
/// # Errors
/// What the system says, or what stands in the way, with the path in front.
pub(crate) fn write_file(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let named = |error: io::Error| named(path, &error);
    let target = target_of(path)?;
    let mut file = new_file().tempfile_in(folder_of(&target)).map_err(named)?;
    file.write_all(bytes).map_err(named)?;
    keep_rights(file.as_file(), &target).map_err(named)?;
    file.as_file().sync_all().map_err(named)?;
    file.persist(&target).map_err(|error| named(error.error))?;
    Ok(())
}

/// Refuses to write over a file that the answer was made from: the roof file, a photo.
///
/// # Errors
/// [`io::ErrorKind::InvalidInput`] naming the file.
pub(crate) fn refuse_input(out: &Path, inputs: &[PathBuf]) -> io::Result<()> {
    let Ok(out_is) = fs::canonicalize(out) else { return Ok(()) };
    let is_out = |input: &&PathBuf| fs::canonicalize(input).is_ok_and(|input| input == out_is);
    match inputs.iter().find(is_out) {
        None => Ok(()),
        Some(input) => Err(refusal(
            out,
            &format!("this answer is made from {}, and would be written over it; give another name", input.display()),
        )),
    }
}

/// A file being written, with the rights of any new file: those of the user's mask.
fn new_file() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(UNFINISHED);
    #[cfg(unix)]
    builder.permissions(<fs::Permissions as std::os::unix::fs::PermissionsExt>::from_mode(0o666));
    builder
}

/// Where a file is really written: through links, and nowhere but to a plain file.
fn target_of(path: &Path) -> io::Result<PathBuf> {
    let Ok(what) = fs::symlink_metadata(path) else { return Ok(path.to_path_buf()) };
    let target = if what.is_symlink() {
        fs::canonicalize(path).map_err(|error| named(path, &error))?
    } else {
        path.to_path_buf()
    };
    let what = fs::metadata(&target).map_err(|error| named(path, &error))?;
    if what.is_file() {
        return Ok(target);
    }
    let found = if what.is_dir() { "a folder" } else { "a device, a pipe or a socket" };
    Err(refusal(path, &format!("found {found}, expected a file or a name that is free")))
}

/// The folder a path stands in.
pub(super) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// A file that replaces another keeps its rights.
fn keep_rights(file: &fs::File, replaces: &Path) -> io::Result<()> {
    match fs::metadata(replaces) {
        Ok(existing) => file.set_permissions(existing.permissions()),
        Err(_) => Ok(()),
    }
}

/// What the system says, with the path in front.
pub(super) fn named(path: &Path, error: &io::Error) -> io::Error {
    io::Error::new(error.kind(), format!("{}: {error}", path.display()))
}

/// What stands in the way, with the path in front.
pub(super) fn refusal(path: &Path, why: &str) -> io::Error {
    io::Error::new(io::ErrorKind::InvalidInput, format!("{}: {why}", path.display()))
}

/// Prints an answer to standard output. Titles and names come from the roof file: what would steer a terminal is shown as a
/// replacement character. A reader that has gone away is not an error.
///
/// # Errors
/// Any other failure to write.
pub fn print(answer: Printed) -> io::Result<()> {
    let mut out = Plain { out: io::BufWriter::with_capacity(1 << 16, io::stdout().lock()) };
    let written = match answer {
        Printed::Text(text) => out.write_all(text.as_bytes()),
        Printed::Stream(write) => write(&mut out),
    };
    match written.and_then(|()| out.flush()) {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        result => result,
    }
}

/// Writes one JSON document with a line end.
///
/// # Errors
/// What the writer says.
pub fn document(out: &mut dyn Write, value: &impl serde::Serialize) -> io::Result<()> {
    serde_json::to_writer_pretty(&mut *out, value)?;
    out.write_all(b"\n")
}

/// Hands text on without what would steer a terminal. Each piece is whole characters of UTF-8.
struct Plain<W: Write> {
    out: W,
}

impl<W: Write> Write for Plain<W> {
    fn write(&mut self, piece: &[u8]) -> io::Result<usize> {
        self.write_all(piece)?;
        Ok(piece.len())
    }

    fn write_all(&mut self, piece: &[u8]) -> io::Result<()> {
        // All control characters but line ends and tabs: below a space, and from 0x7f on, where the second byte tells.
        let may_steer =
            |byte: &u8| (*byte < b' ' && !matches!(byte, b'\n' | b'\t' | b'\r')) || matches!(byte, 0x7f | 0xc2);
        if !piece.iter().any(may_steer) {
            return self.out.write_all(piece);
        }
        let steers = |letter: char| letter.is_control() && !matches!(letter, '\n' | '\t' | '\r');
        let shown = String::from_utf8_lossy(piece).replace(steers, "\u{fffd}");
        self.out.write_all(shown.as_bytes())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}
