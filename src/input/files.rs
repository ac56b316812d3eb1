//! The files a roof file names: photos and material cards beside it.

use std::io;
use std::path::{Path, PathBuf};

/// Where the files that a roof file names are read from.
pub trait Files {
    /// The whole of a file, by its name as the roof file gives it.
    ///
    /// # Errors
    /// What the system says; [`io::ErrorKind::NotFound`] where there is none.
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
        let folder = roof_file.parent().map_or_else(|| PathBuf::from("."), Path::to_path_buf);
        Self { folder }
    }
}

impl Files for Beside {
    fn read(&self, name: &str) -> io::Result<Vec<u8>> {
        std::fs::read(self.folder.join(name))
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
