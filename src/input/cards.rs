//! Material cards that come with the tool.

use crate::base::schema::words_of;

/// The cards that come with the tool, by name.
pub const NAMES: [&str; EMBEDDED.len()] = words_of(&EMBEDDED);

/// The same with their texts.
const EMBEDDED: [(&str, &str); 8] = [
    ("strip-shingle", include_str!("cards/strip-shingle.toml")),
    ("single-tab", include_str!("cards/single-tab.toml")),
    ("slate", include_str!("cards/slate.toml")),
    ("profiled-sheet", include_str!("cards/profiled-sheet.toml")),
    ("felt", include_str!("cards/felt.toml")),
    ("interlocking-tile", include_str!("cards/interlocking-tile.toml")),
    ("plain-tile", include_str!("cards/plain-tile.toml")),
    ("strip-shingle-us", include_str!("cards/strip-shingle-us.toml")),
];

/// Names of the cards that come with the tool.
pub fn names() -> impl Iterator<Item = &'static str> {
    NAMES.into_iter()
}

/// The text of a card that comes with the tool: something to copy and change.
#[must_use]
pub fn text(name: &str) -> Option<&'static str> {
    EMBEDDED.iter().find(|(known, _)| *known == name).map(|(_, text)| *text)
}
