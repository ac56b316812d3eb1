//! An offer: sums from the user's own prices; nothing is invented where no price is given.

use super::item::{Item, Unit};
use super::model::Prices;
use crate::base::tolerance;
use crate::roof::EdgeKind;

/// What a line of an offer is for.
#[derive(Clone, Debug, PartialEq)]
pub enum Priced {
    /// Something ordered.
    Goods(Item),
    /// Laying, by area: labour times this factor, for the pitches it holds for.
    Labour {
        /// 1 where no band holds.
        factor: f64,
    },
    /// Labour by the metre of an edge.
    LabourOn(EdgeKind),
    /// Taking the old roof away.
    Disposal,
}

/// Something ordered, how much of it as it is priced.
pub type Ordered = (Item, f64, Unit);

/// A line of an offer.
#[derive(Clone, Debug, PartialEq)]
pub struct OfferLine {
    /// What.
    pub what: Priced,
    /// How much of it.
    pub quantity: f64,
    /// Of the quantity.
    pub unit: Unit,
    /// Price of one.
    pub price: f64,
    /// Their product.
    pub sum: f64,
}

/// An offer with its sums, in the user's currency.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// ISO 4217 code or any sign the user writes.
    pub currency: Option<String>,
    /// Material.
    pub material: Vec<OfferLine>,
    /// Labour, disposal.
    pub work: Vec<OfferLine>,
    /// Material and work.
    pub net: f64,
    /// On top of the net sum.
    pub margin: f64,
    /// Material and work with the margin on it, before tax: what a client is told.
    pub before_tax: f64,
    /// On top of that.
    pub tax: f64,
    /// All of it.
    pub total: f64,
    /// Items of the take-off without a price.
    pub unpriced: Vec<Item>,
}

/// Lengths and areas that labour is priced by.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measures {
    /// (pitch in radians, covered area in square metres) a face.
    pub areas: Vec<(f64, f64)>,
    /// Hips, metres.
    pub hip: f64,
    /// Valleys, metres.
    pub valley: f64,
    /// Verges, metres.
    pub verge: f64,
    /// Ridges, metres.
    pub ridge: f64,
    /// Eaves, metres.
    pub eave: f64,
    /// What comes off, tonnes.
    pub waste: f64,
}

/// The price of an item, where given.
#[must_use]
pub fn price(prices: &Prices, item: &str) -> Option<f64> {
    prices.items.iter().find(|(name, _)| name == item).map(|(_, price)| *price)
}

/// Factor on labour for a pitch: the band with the steepest start not above it.
#[must_use]
pub fn band(prices: &Prices, pitch: f64) -> f64 {
    let holds = prices.pitch_bands.iter().filter(|(from, _)| *from <= pitch + tolerance::RELATIVE);
    holds.max_by(|a, b| a.0.total_cmp(&b.0)).map_or(1.0, |(_, factor)| *factor)
}

/// An offer; `None` where no price is given at all.
#[must_use]
pub fn offer(prices: &Prices, ordered: &[Ordered], measures: &Measures) -> Option<Offer> {
    if prices.items.is_empty() {
        return None;
    }
    let line = |what: Priced, quantity: f64, unit: Unit, price: f64| OfferLine {
        what,
        quantity,
        unit,
        price,
        sum: quantity * price,
    };
    let mut material = Vec::new();
    let mut unpriced = Vec::new();
    for (item, quantity, unit) in ordered {
        match price(prices, item.key()) {
            Some(price) => material.push(line(Priced::Goods(item.clone()), *quantity, *unit, price)),
            None => unpriced.push(item.clone()),
        }
    }
    let mut work = Vec::new();
    if let Some(each) = price(prices, "labour-m2") {
        // One line a pitch band, flattest first.
        let mut bands: Vec<(f64, f64)> = Vec::new();
        for &(pitch, area) in &measures.areas {
            let factor = band(prices, pitch);
            match bands.iter_mut().find(|(other, _)| *other == factor) {
                Some((_, sum)) => *sum += area,
                None => bands.push((factor, area)),
            }
        }
        bands.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (factor, area) in bands {
            work.push(line(Priced::Labour { factor }, area, Unit::SquareMetre, each * factor));
        }
    }
    let by_metre = [
        ("labour-hip-m", EdgeKind::Hip, measures.hip),
        ("labour-valley-m", EdgeKind::Valley, measures.valley),
        ("labour-verge-m", EdgeKind::Verge, measures.verge),
        ("labour-ridge-m", EdgeKind::Ridge, measures.ridge),
        ("labour-eave-m", EdgeKind::Eave, measures.eave),
    ];
    for (item, kind, length) in by_metre {
        if let Some(each) = price(prices, item).filter(|_| length > 0.0) {
            work.push(line(Priced::LabourOn(kind), length, Unit::Metre, each));
        }
    }
    if let Some(each) = price(prices, "disposal-t").filter(|_| measures.waste > 0.0) {
        work.push(line(Priced::Disposal, measures.waste, Unit::Tonne, each));
    }
    let net: f64 = material.iter().chain(&work).map(|line| line.sum).sum();
    let margin = net * prices.margin.unwrap_or(0.0);
    let before_tax = net + margin;
    let tax = before_tax * prices.tax.unwrap_or(0.0);
    let currency = prices.currency.clone();
    Some(Offer { currency, material, work, net, margin, before_tax, tax, total: before_tax + tax, unpriced })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::item::Fixing;
    use super::*;

    #[test]
    fn sums_follow_from_the_users_prices_and_nothing_else() {
        let prices = Prices {
            currency: Some("EUR".into()),
            items: vec![("strip-shingle".into(), 20.0), ("labour-m2".into(), 10.0)],
            pitch_bands: vec![(0.0, 1.0), (0.7, 1.5)],
            margin: Some(0.10),
            tax: Some(0.20),
        };
        let ordered = [(Item::Strips, 5.0, Unit::Pack), (Item::Fixings(Fixing::Nails), 1.0, Unit::Pack)];
        let measures = Measures { areas: vec![(0.5, 8.0), (0.8, 2.0)], ..Measures::default() };
        let offer = offer(&prices, &ordered, &measures).unwrap();
        // 100 + 80 + 2 × 15 = 210; 10 % margin 21; 20 % tax on 231: 46.2
        assert!((offer.net - 210.0).abs() < 1e-9);
        assert!((offer.total - 277.2).abs() < 1e-9);
        assert_eq!(offer.unpriced, [Item::Fixings(Fixing::Nails)]);
        assert!(super::offer(&Prices::default(), &ordered, &measures).is_none());
    }
}
