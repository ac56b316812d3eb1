//! A material card: sizes, laps, packs and the rules that go with them. Lengths are metres, weights kilograms.

/// A material card.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// The name it is asked for by.
    pub name: String,
    /// One line for people.
    pub title: String,
    /// Width of a strip along the eave.
    pub width: f64,
    /// Height of a strip up the slope.
    pub height: f64,
    /// Tabs a strip.
    pub tabs: u32,
    /// Exposure of a course.
    pub gauge: f64,
    /// Pieces a pack.
    pub pieces_per_pack: u32,
}
