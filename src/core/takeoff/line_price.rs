//! What a line of the order costs, as it is ordered.

use super::item::Unit;
use super::order_line::OrderLine;
use super::prices::Prices;

/// What a line of the order costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LinePrice {
    /// So many of a unit at a price each.
    Priced {
        /// How many.
        quantity: f64,
        /// Of what.
        unit: Unit,
        /// Price of one.
        each: f64,
    },
    /// No price is given.
    NotGiven,
    /// A price is given by a unit that the line is not measured in.
    WrongUnit,
    /// It comes out of what another line buys.
    PaidElsewhere,
}

/// How much of a line is ordered, as it is priced: the upper number of packs, for that is what one is told to order. Of a
/// line without packs what is laid. `None` where it does not come by that unit.
#[must_use]
pub fn ordered(line: &OrderLine, per: Option<Unit>) -> Option<(f64, Unit)> {
    let packs = line.packs_high().or(line.packs).map(f64::from);
    let usual = match (line.priced, packs, line.packs) {
        // Sheets cut to length cost by the square metre: so many more of them, so much more.
        (Some((area, unit)), Some(high), Some(best)) if best > 0 => (area * high / f64::from(best), unit),
        (Some(priced), ..) => priced,
        (None, Some(packs), _) => (packs, Unit::Pack),
        (None, None, _) => (line.quantity.value()?, line.unit),
    };
    let Some(unit) = per else { return Some(usual) };
    if unit == usual.1 {
        return Some(usual);
    }
    let (base, size) = unit.in_base();
    let in_base = match (packs, &line.pack) {
        _ if usual.1.in_base().0 == base => usual.0 * usual.1.in_base().1,
        (Some(packs), Some(pack)) => packs * pack.holds(base)?,
        _ => return None,
    };
    Some((in_base / size, unit))
}

impl LinePrice {
    /// What a line costs as it is ordered.
    #[must_use]
    pub fn of(prices: &Prices, line: &OrderLine) -> Self {
        if line.comes_from_another() {
            return Self::PaidElsewhere;
        }
        let Some(price) = prices.of(line.item.key()) else { return Self::NotGiven };
        match ordered(line, price.per) {
            Some((quantity, unit)) => Self::Priced { quantity, unit, each: price.each },
            None => Self::WrongUnit,
        }
    }
}
