//! Why a file beside the roof file was not read or shown, and why a file was not changed.

use std::fmt;

/// Why a file beside the roof file was not read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unread {
    /// It is not there.
    NotThere,
    /// It lies outside the roof file's folder.
    Outside,
    /// It is a link to such a file.
    LinkOutside,
    /// It is a folder.
    Folder,
    /// It is a device, a pipe or a socket.
    Device,
    /// It is larger than so many mebibytes.
    LargerThan(u64),
    /// It is not UTF-8 text.
    NotText,
    /// Anything else, as the system says it.
    Other(String),
}

/// Why a file gives no pixels.
#[derive(Clone, Debug, PartialEq)]
pub enum PictureError {
    /// Its data can be read, its pixels not.
    Heif,
    /// A JPEG file that ends before its picture does.
    CutOff,
    /// More pixels than are held at once, millions.
    TooLarge {
        /// It has so many.
        megapixels: f64,
        /// So many are held.
        most: u32,
    },
    /// Not a JPEG or PNG file, or a torn one: what its reader says.
    Unreadable(String),
}

/// Why a change can't be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EditError {
    /// The text is not TOML: what its parser says.
    NotToml(String),
    /// Nothing stands there.
    NoSuchPlace,
    /// A key of that name stands there already.
    Taken(String),
}

/// For logs and panics; people read what `wording` makes of them.
macro_rules! plainly_shown {
    ($($error:ty),+) => {
        $(
            impl fmt::Display for $error {
                fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                    write!(f, "{self:?}")
                }
            }

            impl std::error::Error for $error {}
        )+
    };
}

plainly_shown!(Unread, PictureError, EditError);
