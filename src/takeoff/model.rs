//! What the roof is covered with, as the roof file and the material card say.

/// The covering chosen for a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Covering {
    /// The material card.
    pub card: super::card::Card,
    /// How waste is found.
    pub waste: Waste,
    /// Prices as the user keeps them, by take-off line.
    pub prices: Prices,
}

/// How waste is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Waste {
    /// From the course-by-course layout.
    Layout,
    /// The rule of thumb: this fraction on top, such as 0.15.
    Fraction(f64),
}

/// Prices as the user keeps them; nothing is invented where none is given.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Prices {
    /// ISO 4217 code or any sign the user writes.
    pub currency: Option<String>,
    /// (take-off item, price of one pack or unit), in file order.
    pub items: Vec<(String, f64)>,
}
