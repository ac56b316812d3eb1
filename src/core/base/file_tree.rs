//! A roof file as it stands in its text: values as their author wrote them, each with its place, and changes that leave
//! everything else alone. What the window edits; reading and changing the text itself is `input::edit`'s.

use std::ops::Range;

/// A step into a file.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Step {
    /// A key of a table.
    Key(String),
    /// A place in a list, from 0.
    At(usize),
}

impl From<&str> for Step {
    fn from(key: &str) -> Self {
        Self::Key(key.to_owned())
    }
}

impl From<usize> for Step {
    fn from(index: usize) -> Self {
        Self::At(index)
    }
}

/// A way into a file, longer by some steps.
#[must_use]
pub fn under(way: &[Step], more: impl IntoIterator<Item = Step>) -> Vec<Step> {
    way.iter().cloned().chain(more).collect()
}

/// What a typed value is meant as.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Kind {
    /// A number, `true` or `false` stays one; all else is text: `9.20`, `11' 3 1/2"`, `7:12`.
    #[default]
    Measure,
    /// Text whatever it looks like: a name may be `1`.
    Words,
    /// A list of measures between commas; a list within stands in brackets.
    Measures,
    /// A list of names between commas.
    Names,
    /// As the file's own language writes it.
    Raw,
}

/// A change to a file.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Edit {
    /// Sets a value as typed, or removes the key. Tables on the way that are missing are made.
    Set {
        /// The way to it from the root of the file.
        at: Vec<Step>,
        /// What, or nothing.
        value: Option<String>,
        /// What it is meant as.
        kind: Kind,
    },
    /// Gives a key another name; its place, its value and comments stay.
    Rename {
        /// The way to it from the root of the file.
        at: Vec<Step>,
        /// The name, as written.
        to: String,
    },
    /// Puts an entry at the end of a list, which is made where it is missing.
    Add {
        /// The list.
        list: Vec<Step>,
        /// Its lines, `key = value` each; may be empty.
        entry: String,
    },
    /// Puts a copy of a list's entry after it; a `from` or `name` of its own gets a free one.
    Repeat {
        /// The list.
        list: Vec<Step>,
        /// Which entry.
        index: usize,
    },
    /// Removes an entry of a list, with the comment behind it.
    Remove {
        /// The list.
        list: Vec<Step>,
        /// Which entry.
        index: usize,
    },
}

/// A value as it stands in a file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FileValue {
    /// As a person would type it: text without its quotes, numbers as written, a list's items between commas. Empty
    /// where the key is absent.
    pub text: String,
    /// Byte range of the value.
    pub span: Option<Range<usize>>,
    /// Byte range of its key.
    pub key: Option<Range<usize>>,
}

/// What a key stands for.
#[derive(Clone, Debug, PartialEq)]
pub enum Entry {
    /// A plain value, or a list of them.
    Value(FileValue),
    /// A list of tables.
    List(Vec<FileTable>),
    /// A table.
    Table(FileTable),
}

/// A table as it stands in a file, its keys in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FileTable {
    /// Byte range: of its header and of everything in it.
    pub span: Option<Range<usize>>,
    /// Keys and what they stand for.
    pub entries: Vec<(String, Entry)>,
}

impl FileTable {
    /// What a key stands for. O(keys).
    #[must_use]
    pub fn entry(&self, key: &str) -> Option<&Entry> {
        self.entries.iter().find(|(name, _)| name == key).map(|(_, entry)| entry)
    }

    /// A value by key.
    #[must_use]
    pub fn value(&self, key: &str) -> Option<&FileValue> {
        match self.entry(key) {
            Some(Entry::Value(value)) => Some(value),
            _ => None,
        }
    }

    /// A value by key, empty where it is absent.
    #[must_use]
    pub fn field(&self, key: &str) -> FileValue {
        self.value(key).cloned().unwrap_or_default()
    }

    /// A list of tables by key; empty where there is none.
    #[must_use]
    pub fn list(&self, key: &str) -> &[FileTable] {
        match self.entry(key) {
            Some(Entry::List(list)) => list,
            _ => &[],
        }
    }

    /// A table by key.
    #[must_use]
    pub fn table(&self, key: &str) -> Option<&FileTable> {
        match self.entry(key) {
            Some(Entry::Table(table)) => Some(table),
            _ => None,
        }
    }
}
