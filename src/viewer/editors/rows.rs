//! The rows of sides the window edits, from the file as written.

use crate::base::file_tree::{FileTable, FileValue, Step, under};
use std::ops::Range;

/// What a side is, as the file writes it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum RoleWord {
    /// `pitch`.
    #[default]
    Eave,
    /// `verge = true`.
    Verge,
    /// `verge = true` with `hip_from`.
    HalfHip,
    /// `pitch` with `verge_from`.
    Gablet,
    /// `abutment = true`.
    Abutment,
}

impl RoleWord {
    /// All roles, in the order the window offers them.
    pub const ALL: [Self; 5] = [Self::Eave, Self::Verge, Self::HalfHip, Self::Gablet, Self::Abutment];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Eave => "eave",
            Self::Verge => "verge",
            Self::HalfHip => "half-hip",
            Self::Gablet => "gablet",
            Self::Abutment => "abutment",
        }
    }
}

/// A side as it stands in the file.
#[derive(Clone, Debug, PartialEq)]
pub struct SideRow {
    /// Its place in the file.
    pub at: Vec<Step>,
    /// Its keys.
    pub written: FileTable,
    /// `from`, or its number where it has none.
    pub name: String,
    /// What it is.
    pub role: RoleWord,
}

impl SideRow {
    /// A value by key, empty where it is absent.
    #[must_use]
    pub fn field(&self, key: &str) -> FileValue {
        self.written.field(key)
    }

    /// Whether its corner is given by place instead of length and turn.
    #[must_use]
    pub(crate) fn is_placed(&self) -> bool {
        self.written.entry("at").is_some()
    }

    /// Where it stands in the text.
    #[must_use]
    pub fn span(&self) -> Option<&Range<usize>> {
        self.written.span.as_ref()
    }
}

/// A ring: the list its sides stand in, and the sides.
#[derive(Clone, Debug, PartialEq)]
pub struct RingRow {
    /// The table that holds the list: the block's or the hole's.
    pub owner: Vec<Step>,
    /// The list.
    pub list: Vec<Step>,
    /// Its sides in order.
    pub sides: Vec<SideRow>,
}

/// A block as it stands in the file.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockRow {
    /// Its place in the file.
    pub at: Vec<Step>,
    /// Its keys.
    pub written: FileTable,
    /// The name it was given.
    pub name: String,
    /// The outline, then courtyards.
    pub rings: Vec<RingRow>,
}

/// The blocks of a file, in order.
#[must_use]
pub fn blocks(file: &FileTable) -> Vec<BlockRow> {
    let blocks = file.list("block").iter().enumerate();
    blocks.map(|(index, block)| block_row(vec!["block".into(), index.into()], block)).collect()
}

/// Names of corners that nothing bears yet: letters, then letters with a number.
pub fn free_corners<'a>(blocks: &'a [BlockRow], file: &'a FileTable) -> impl Iterator<Item = String> + 'a {
    let letters = || (b'A'..=b'Z').map(char::from);
    let named = letters().map(String::from).chain(
        (2..).flat_map(move |number| letters().map(move |letter| format!("{letter}{number}")).collect::<Vec<_>>()),
    );
    named.filter(move |name| {
        let corner =
            blocks.iter().flat_map(|block| &block.rings).flat_map(|ring| &ring.sides).any(|side| side.name == *name);
        let point = file.table("points").is_some_and(|points| points.entry(name).is_some());
        !corner && !point
    })
}

fn block_row(at: Vec<Step>, block: &FileTable) -> BlockRow {
    let outer = ring(at.clone(), block);
    let holes = block.list("holes").iter().enumerate();
    let holes = holes.map(|(index, hole)| ring(under(&at, ["holes".into(), index.into()]), hole));
    BlockRow {
        name: block.value("name").map_or_else(|| "block".to_owned(), |name| name.text.clone()),
        written: block.clone(),
        rings: std::iter::once(outer).chain(holes).collect(),
        at,
    }
}

fn ring(owner: Vec<Step>, table: &FileTable) -> RingRow {
    let list = under(&owner, ["sides".into()]);
    let row = |(index, side): (usize, &FileTable)| SideRow {
        at: under(&list, [index.into()]),
        name: side.value("from").map_or_else(|| format!("{}", index + 1), |name| name.text.clone()),
        role: role(side),
        written: side.clone(),
    };
    let sides = table.list("sides").iter().enumerate().map(row).collect();
    RingRow { owner, list, sides }
}

fn role(side: &FileTable) -> RoleWord {
    let is = |key: &str| side.value(key).is_some_and(|value| value.text == "true");
    let has = |key: &str| side.entry(key).is_some();
    match () {
        () if is("abutment") => RoleWord::Abutment,
        () if is("verge") && has("hip_from") => RoleWord::HalfHip,
        () if is("verge") => RoleWord::Verge,
        () if has("verge_from") => RoleWord::Gablet,
        () => RoleWord::Eave,
    }
}
