//! Kinds of covering to the hands that lay it.

/// What kind of covering it is to the hands that lay it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Strips of several tabs.
    Strip,
    /// Single tabs of bitumen on a closed deck.
    SingleTab,
    /// Slates: two layers over every point, on battens.
    Slate,
    /// Tiles: one layer, each locked into the one beside it, hung on battens.
    Tile,
    /// Plain tiles: two layers over every point, hung on battens by their nibs.
    PlainTile,
    /// Profiled sheets.
    Sheet,
    /// Roll felt in two layers.
    Felt,
}
