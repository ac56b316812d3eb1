//! Prices as the user keeps them: of goods by a unit, of hours, of access and disposal. Nothing is invented where no price
//! is given; where hours are priced but not how many of them the work takes, rates of our own are taken, and said so.

use super::item::Unit;
use crate::base::tolerance;

/// Prices of a job.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Prices {
    /// ISO 4217 code or any sign the user writes.
    pub currency: Option<String>,
    /// The day they held: `2026-05-01`.
    pub dated: Option<String>,
    /// Prices by take-off item, or by `Work` key, in file order; the last one of an item holds.
    pub items: Vec<ItemPrice>,
    /// `[[prices.pitch_band]]`: labour times this factor from this pitch (radians) on.
    pub pitch_bands: Vec<(f64, f64)>,
    /// `[prices.hours]`.
    pub hours: Option<Hours>,
    /// `markup`: a fraction of the cost, put on top of it.
    pub markup: Option<f64>,
    /// `margin`: the fraction of the price before tax that is not cost.
    pub margin: Option<f64>,
    /// `tax`: a fraction of the price before tax.
    pub tax: Option<f64>,
    /// Items of the order, and `labour` and `disposal`, that the offer leaves to others.
    pub left_out: Vec<String>,
}

/// What one of something costs.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemPrice {
    /// Item of the take-off, or key of work.
    pub item: String,
    /// Price of one.
    pub each: f64,
    /// One of what; `None`: of the pack it is ordered in, or of its unit where it comes in none.
    pub per: Option<Unit>,
}

impl ItemPrice {
    /// The price of a pack, or of the unit of what comes in none.
    #[must_use]
    pub fn new(item: &str, each: f64) -> Self {
        Self { item: item.to_owned(), each, per: None }
    }
}

/// Hours and what one costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Hours {
    /// Price of an hour.
    pub each: f64,
    /// Hours by operation, where the user says how many.
    pub rates: Vec<(Operation, f64)>,
}

impl Hours {
    /// Hours an operation takes, and whether that is the usual rate because none is given.
    #[must_use]
    pub fn of(&self, operation: Operation) -> (f64, bool) {
        let given = self.rates.iter().find(|(known, _)| *known == operation);
        given.map_or((operation.usual_hours(), true), |(_, hours)| (*hours, false))
    }
}

/// What hours are counted for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Operation {
    /// Taking the old covering off, a square metre and layer.
    Strip,
    /// Boards, panels or battens, a square metre.
    Deck,
    /// Underlay and covering, a square metre.
    Cover,
    /// Eaves, a metre.
    Eave,
    /// Verges, a metre.
    Verge,
    /// Ridges, a metre.
    Ridge,
    /// Hips, a metre.
    Hip,
    /// Valleys, a metre.
    Valley,
    /// Walls the roof runs against, a metre.
    Wall,
    /// Chimneys, windows and vents, each.
    Opening,
}

impl Operation {
    /// All, in the order of work.
    pub const ALL: [Self; 10] = [
        Self::Strip,
        Self::Deck,
        Self::Cover,
        Self::Eave,
        Self::Verge,
        Self::Ridge,
        Self::Hip,
        Self::Valley,
        Self::Wall,
        Self::Opening,
    ];

    /// Its key in a price file.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Strip => "strip",
            Self::Deck => "deck",
            Self::Cover => "cover",
            Self::Eave => "eave",
            Self::Verge => "verge",
            Self::Ridge => "ridge",
            Self::Hip => "hip",
            Self::Valley => "valley",
            Self::Wall => "wall",
            Self::Opening => "opening",
        }
    }

    /// Hours for one square metre, metre or piece. Invented: no source, only an order of magnitude to begin from.
    #[must_use]
    pub const fn usual_hours(self) -> f64 {
        match self {
            Self::Strip | Self::Verge => 0.15,
            Self::Deck | Self::Hip => 0.25,
            Self::Cover => 0.45,
            Self::Eave => 0.12,
            Self::Ridge => 0.20,
            Self::Valley => 0.60,
            Self::Wall => 0.50,
            Self::Opening => 2.5,
        }
    }

    /// What it is counted by.
    #[must_use]
    pub fn unit(self) -> Unit {
        match self {
            Self::Strip | Self::Deck | Self::Cover => Unit::SquareMetre,
            Self::Opening => Unit::Piece,
            Self::Eave | Self::Verge | Self::Ridge | Self::Hip | Self::Valley | Self::Wall => Unit::Metre,
        }
    }
}

impl Prices {
    /// The price of an item, where given.
    #[must_use]
    pub fn of(&self, item: &str) -> Option<&ItemPrice> {
        self.items.iter().rev().find(|price| price.item == item)
    }

    /// What one of something of work costs, where given.
    #[must_use]
    pub fn each(&self, key: &str) -> Option<f64> {
        self.of(key).map(|price| price.each)
    }

    /// Whether the offer leaves something to others.
    #[must_use]
    pub(crate) fn leaves_out(&self, item: &str) -> bool {
        self.left_out.iter().any(|known| known == item)
    }

    /// Whether anything is priced at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.items.is_empty() && self.hours.is_none()
    }

    /// Factor on labour for a pitch: the band with the steepest start not above it.
    #[must_use]
    pub fn band(&self, pitch: f64) -> f64 {
        let holds = self.pitch_bands.iter().filter(|(from, _)| *from <= pitch + tolerance::RELATIVE);
        holds.max_by(|a, b| a.0.total_cmp(&b.0)).map_or(1.0, |(_, factor)| *factor)
    }

    /// What goes on top of a cost: the markup on it, or what makes the margin's part of the price.
    #[must_use]
    pub fn on_top(&self, cost: f64) -> f64 {
        match (self.markup, self.margin) {
            (_, Some(margin)) if margin < 1.0 => to_hundredth(cost * margin / (1.0 - margin)),
            (markup, _) => to_hundredth(cost * markup.unwrap_or(0.0)),
        }
    }
}

/// Money to the hundredth, halves away from zero: sums are of what is printed, so that a reader who adds up agrees.
#[must_use]
pub(crate) fn to_hundredth(money: f64) -> f64 {
    (money * 100.0).round() / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_margin_is_of_the_price_and_a_markup_of_the_cost() {
        let of = |markup, margin| Prices { markup, margin, ..Prices::default() }.on_top(80.0);
        // A margin of 20 % of the price: 80 cost, 100 price. A markup of 20 %: 80 cost, 96 price.
        assert!((of(None, Some(0.20)) - 20.0).abs() < 1e-12);
        assert!((of(Some(0.20), None) - 16.0).abs() < 1e-12);
        assert_eq!(of(None, None), 0.0);
    }

    #[test]
    fn hours_are_the_users_own_where_given() {
        let hours = Hours { each: 50.0, rates: vec![(Operation::Cover, 0.3)] };
        assert_eq!(hours.of(Operation::Cover), (0.3, false));
        assert_eq!(hours.of(Operation::Hip), (Operation::Hip.usual_hours(), true));
    }
}
