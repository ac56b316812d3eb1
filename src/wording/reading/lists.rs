//! Names in a row, and why something was not read.

use crate::job::reading::Unread;

/// Why a file was not read, as the end of a sentence that begins with its name.
#[must_use]
pub(crate) fn unread(why: &Unread) -> String {
    match why {
        Unread::NotThere => "is not there".to_owned(),
        Unread::Outside => "lies outside the roof file's folder".to_owned(),
        Unread::LinkOutside => "is a link to a file outside the roof file's folder".to_owned(),
        Unread::Folder => "is a folder".to_owned(),
        Unread::Device => "is a device, a pipe or a socket".to_owned(),
        Unread::LargerThan(mebibytes) => format!("is larger than {mebibytes} MiB"),
        Unread::NotText => "is not UTF-8 text".to_owned(),
        Unread::Other(said) => format!("can't be read: {said}"),
    }
}

/// Names in quotes, joined for a sentence: at most `most`, then how many more.
pub(super) fn listed<'a>(names: impl IntoIterator<Item = &'a str>, most: usize) -> String {
    let names: Vec<&str> = names.into_iter().collect();
    let shown: Vec<String> = names.iter().take(most).map(|name| format!("{name:?}")).collect();
    let more = names.len().saturating_sub(most);
    if more > 0 { format!("{} and {more} more", shown.join(", ")) } else { shown.join(", ") }
}

/// Keys as messages show them.
pub(super) fn keys(keys: &[String]) -> String {
    let told: Vec<String> = keys.iter().map(|key| format!("`{key}`")).collect();
    if told.is_empty() { "nothing".to_owned() } else { format!("{} alone", told.join(", ")) }
}
