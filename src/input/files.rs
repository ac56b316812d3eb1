//! The files a roof file names: photos and material cards in its own folder. A roof file comes from anywhere, so it may not
//! make the tool open what lies elsewhere, a device, a pipe or a file without end.

use crate::job::reading::Unread;
use std::fs::File;
use std::io::{self, ErrorKind, Read};
use std::path::{Component, Path, PathBuf};

/// Largest file that is read, bytes: a photo of 100 megapixels has a third of it.
const LARGEST: u64 = 128 << 20;

/// Where the files that a roof file names are read from.
pub trait Files {
    /// The whole of a file, by its name as the roof file gives it.
    ///
    /// # Errors
    /// What the system says; [`io::ErrorKind::NotFound`] where there is none; [`io::ErrorKind::InvalidInput`] with the
    /// reason where it may not be read.
    fn read(&self, name: &str) -> io::Result<Vec<u8>>;
}

/// Files in a folder: the roof file's own.
#[derive(Clone, Debug)]
pub struct Beside {
    folder: PathBuf,
}

impl Beside {
    /// Files beside a roof file; beside standard input means the current folder.
    #[must_use]
    pub fn of(roof_file: &Path) -> Self {
        let folder = match roof_file.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder.to_path_buf(),
            _ => PathBuf::from("."),
        };
        Self { folder }
    }
}

impl Files for Beside {
    fn read(&self, name: &str) -> io::Result<Vec<u8>> {
        let stays = |part: Component| matches!(part, Component::Normal(_) | Component::CurDir);
        if !Path::new(name).components().all(stays) {
            return Err(refused(Unread::Outside));
        }
        let path = self.folder.join(name);
        let real = std::fs::canonicalize(&path)?;
        if !real.starts_with(std::fs::canonicalize(&self.folder)?) {
            return Err(refused(Unread::LinkOutside));
        }
        // Asked before it is opened: to open a pipe waits for whoever writes into it.
        let what = std::fs::metadata(&real)?;
        if !what.is_file() {
            return Err(refused(if what.is_dir() { Unread::Folder } else { Unread::Device }));
        }
        whole(File::open(real)?, LARGEST)?.ok_or_else(|| refused(Unread::LargerThan(LARGEST >> 20)))
    }
}

/// All bytes of a source; `None` where there are more than `most`.
///
/// # Errors
/// What the system says.
pub fn whole(source: impl Read, most: u64) -> io::Result<Option<Vec<u8>>> {
    let mut bytes = Vec::new();
    source.take(most + 1).read_to_end(&mut bytes)?;
    Ok((bytes.len() as u64 <= most).then_some(bytes))
}

fn refused(why: Unread) -> io::Error {
    io::Error::new(ErrorKind::InvalidInput, why)
}

/// Why a file was not read.
#[must_use]
pub(crate) fn unread(error: &io::Error) -> Unread {
    let refused = error.get_ref().and_then(|inner| inner.downcast_ref::<Unread>());
    match (refused, error.kind()) {
        (Some(why), _) => why.clone(),
        (None, ErrorKind::NotFound) => Unread::NotThere,
        (None, kind) => Unread::Other(kind.to_string()),
    }
}

/// No files at all: for text that came from nowhere.
#[derive(Clone, Copy, Debug)]
pub struct NoFiles;

impl Files for NoFiles {
    fn read(&self, _name: &str) -> io::Result<Vec<u8>> {
        Err(io::ErrorKind::NotFound.into())
    }
}
