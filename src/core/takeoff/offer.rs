//! An offer: sums from the user's own prices; nothing is invented where no price is given, and no sum hides what has none.

use super::item::{Item, Pack, Unit};
use super::line_price::LinePrice;
use super::order_line::OrderLine;
use super::prices::{Hours, Operation, Prices, to_hundredth};
use crate::base::order::SortByNumber as _;
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
    /// Hours of an operation.
    Hours {
        /// What is done.
        operation: Operation,
        /// How much of it: square metres, metres, pieces.
        of: f64,
        /// Hours for one of these, before the pitch counts.
        each: f64,
        /// Whether that is the usual rate, because the user gives none.
        is_usual: bool,
    },
    /// Scaffold and other access, once.
    Access,
    /// Access by the metre of eaves and verges.
    AccessAlong,
    /// Taking the old roof away, by weight.
    Disposal,
    /// Taking rubbish away, once.
    DisposalOnce,
    /// Taking the old roof away, by volume.
    DisposalByVolume,
}

/// A line of an offer.
#[derive(Clone, Debug, PartialEq)]
pub struct OfferLine {
    /// What.
    pub what: Priced,
    /// How much of it.
    pub quantity: f64,
    /// Of the quantity.
    pub unit: Unit,
    /// What its packs are, where it is counted in packs.
    pub pack: Option<Pack>,
    /// Price of one.
    pub price: f64,
    /// Their product, to the hundredth.
    pub sum: f64,
}

/// What an offer would need a price for.
#[derive(Clone, Debug, PartialEq)]
pub enum Unpriced {
    /// A line of the order.
    Line(Item),
    /// A line of the order, priced by a unit that it does not come in.
    WrongUnit(Item),
    /// All labour.
    Labour,
    /// Taking the old roof away.
    Disposal,
}

impl Unpriced {
    /// Its key in a price file.
    #[must_use]
    pub fn key(&self) -> &str {
        match self {
            Self::Line(item) | Self::WrongUnit(item) => item.key(),
            Self::Labour => "labour",
            Self::Disposal => "disposal",
        }
    }
}

/// What an offer comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sums {
    /// Material and work.
    pub net: f64,
    /// On top of that: the markup, or what makes the margin.
    pub on_top: f64,
    /// Both: what a client is told before tax.
    pub before_tax: f64,
    /// On top of that.
    pub tax: f64,
    /// All of it.
    pub total: f64,
}

/// An offer with its sums, in the user's currency.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// ISO 4217 code or any sign the user writes.
    pub currency: Option<String>,
    /// The day the prices held.
    pub dated: Option<String>,
    /// Material.
    pub material: Vec<OfferLine>,
    /// Labour, access, disposal.
    pub work: Vec<OfferLine>,
    /// What has no price: while there is any, the offer is not whole.
    pub unpriced: Vec<Unpriced>,
    /// Lines of the order that are left to others.
    pub left_out: Vec<Item>,
    /// What has a price comes to this.
    pub priced: Sums,
    /// The fraction of tax.
    pub tax_rate: Option<f64>,
}

impl Offer {
    /// What the whole comes to; `None` while anything has no price.
    #[must_use]
    pub fn whole(&self) -> Option<&Sums> {
        self.unpriced.is_empty().then_some(&self.priced)
    }

    /// Operations whose hours are the usual ones, because the user gives none.
    #[must_use]
    pub fn usual_hours(&self) -> Vec<(Operation, f64)> {
        let usual = |line: &OfferLine| match line.what {
            Priced::Hours { operation, each, is_usual: true, .. } => Some((operation, each)),
            _ => None,
        };
        self.work.iter().filter_map(usual).collect()
    }
}

/// Lengths and areas that labour is priced by.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measures {
    /// (pitch in radians, covered area in square metres) a face.
    pub areas: Vec<(f64, f64)>,
    /// Area of boards, panels or battens, square metres.
    pub deck: f64,
    /// Area to strip, each layer by itself, square metres.
    pub strip: f64,
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
    /// Walls the roof runs against, metres.
    pub wall: f64,
    /// Openings.
    pub openings: f64,
    /// What comes off, tonnes.
    pub waste: f64,
    /// The same loose, cubic metres.
    pub waste_volume: f64,
}

impl Measures {
    /// Those of two parts together.
    #[must_use]
    pub fn and(mut self, other: &Self) -> Self {
        self.areas.extend(&other.areas);
        for (own, other) in [
            (&mut self.deck, other.deck),
            (&mut self.strip, other.strip),
            (&mut self.hip, other.hip),
            (&mut self.valley, other.valley),
            (&mut self.verge, other.verge),
            (&mut self.ridge, other.ridge),
            (&mut self.eave, other.eave),
            (&mut self.wall, other.wall),
            (&mut self.openings, other.openings),
            (&mut self.waste, other.waste),
            (&mut self.waste_volume, other.waste_volume),
        ] {
            *own += other;
        }
        self
    }

    fn area(&self) -> f64 {
        self.areas.iter().map(|(_, area)| area).sum()
    }

    fn of(&self, operation: Operation) -> f64 {
        match operation {
            Operation::Strip => self.strip,
            Operation::Deck => self.deck,
            Operation::Cover => self.area(),
            Operation::Eave => self.eave,
            Operation::Verge => self.verge,
            Operation::Ridge => self.ridge,
            Operation::Hip => self.hip,
            Operation::Valley => self.valley,
            Operation::Wall => self.wall,
            Operation::Opening => self.openings,
        }
    }
}

fn line(what: Priced, quantity: f64, unit: Unit, price: f64) -> OfferLine {
    OfferLine { what, quantity, unit, pack: None, price, sum: to_hundredth(quantity * price) }
}

/// An offer for what is ordered; `None` where no price is given at all.
#[must_use]
pub fn offer(prices: &Prices, ordered: &[OrderLine], measures: &Measures) -> Option<Offer> {
    if prices.is_empty() {
        return None;
    }
    let mut material = Vec::new();
    let mut unpriced = Vec::new();
    let mut left_out = Vec::new();
    for of in ordered.iter().filter(|of| !of.is_there) {
        if prices.leaves_out(of.item.key()) {
            left_out.push(of.item.clone());
            continue;
        }
        match LinePrice::of(prices, of) {
            LinePrice::Priced { quantity, unit, each } => {
                let pack = of.pack.clone().filter(|_| unit == Unit::Pack);
                material.push(OfferLine { pack, ..line(Priced::Goods(of.item.clone()), quantity, unit, each) });
            }
            LinePrice::NotGiven => unpriced.push(Unpriced::Line(of.item.clone())),
            LinePrice::WrongUnit => unpriced.push(Unpriced::WrongUnit(of.item.clone())),
            LinePrice::PaidElsewhere => {}
        }
    }
    let mut work = by_area_and_metre(prices, measures);
    if let Some(hours) = &prices.hours {
        work.extend(by_hours(prices, hours, measures));
    }
    if work.is_empty() && !prices.leaves_out("labour") && measures.area() > 0.0 {
        unpriced.push(Unpriced::Labour);
    }
    work.extend(access(prices, measures));
    let disposal = disposal(prices, measures);
    if disposal.is_empty() && measures.waste > 0.0 && !prices.leaves_out("disposal") {
        unpriced.push(Unpriced::Disposal);
    }
    work.extend(disposal);
    let net = to_hundredth(material.iter().chain(&work).map(|line| line.sum).sum());
    let on_top = prices.on_top(net);
    let before_tax = to_hundredth(net + on_top);
    let tax = to_hundredth(before_tax * prices.tax.unwrap_or(0.0));
    Some(Offer {
        currency: prices.currency.clone(),
        dated: prices.dated.clone(),
        material,
        work,
        unpriced,
        left_out,
        priced: Sums { net, on_top, before_tax, tax, total: to_hundredth(before_tax + tax) },
        tax_rate: prices.tax,
    })
}

/// Labour at a price for a square metre or a metre.
fn by_area_and_metre(prices: &Prices, measures: &Measures) -> Vec<OfferLine> {
    let mut work = Vec::new();
    if let Some(each) = prices.each("labour-m2") {
        // One line a pitch band, flattest first.
        let mut bands: Vec<(f64, f64)> = Vec::new();
        for &(pitch, area) in &measures.areas {
            let factor = prices.band(pitch);
            match bands.iter_mut().find(|(other, _)| *other == factor) {
                Some((_, sum)) => *sum += area,
                None => bands.push((factor, area)),
            }
        }
        bands.sort_by_number(|a| a.0);
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
        if let Some(each) = prices.each(item).filter(|_| length > 0.0) {
            work.push(line(Priced::LabourOn(kind), length, Unit::Metre, each));
        }
    }
    work
}

/// Labour by the hour. Covering a steep slope takes the hours of its pitch band.
fn by_hours(prices: &Prices, hours: &Hours, measures: &Measures) -> Vec<OfferLine> {
    let counted = |operation: Operation| {
        let of = measures.of(operation);
        let (each, is_usual) = hours.of(operation);
        let needed = match operation {
            Operation::Cover => measures.areas.iter().map(|(pitch, area)| area * prices.band(*pitch) * each).sum(),
            _ => of * each,
        };
        (needed > 0.0).then(|| line(Priced::Hours { operation, of, each, is_usual }, needed, Unit::Hour, hours.each))
    };
    Operation::ALL.into_iter().filter_map(counted).collect()
}

fn access(prices: &Prices, measures: &Measures) -> Vec<OfferLine> {
    let once = prices.each("access").map(|each| line(Priced::Access, 1.0, Unit::Once, each));
    let along = measures.eave + measures.verge;
    let by_metre = prices.each("access-m").filter(|_| along > 0.0);
    let by_metre = by_metre.map(|each| line(Priced::AccessAlong, along, Unit::Metre, each));
    once.into_iter().chain(by_metre).collect()
}

fn disposal(prices: &Prices, measures: &Measures) -> Vec<OfferLine> {
    let once = prices.each("disposal").map(|each| line(Priced::DisposalOnce, 1.0, Unit::Once, each));
    let by = |key: &str, what: Priced, quantity: f64, unit: Unit| {
        prices.each(key).filter(|_| quantity > 0.0).map(|each| line(what, quantity, unit, each))
    };
    let by_weight = by("disposal-t", Priced::Disposal, measures.waste, Unit::Tonne);
    let by_volume = by("disposal-m3", Priced::DisposalByVolume, measures.waste_volume, Unit::CubicMetre);
    once.into_iter().chain(by_weight).chain(by_volume).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::item::{Pack, Quantity};
    use super::super::prices::ItemPrice;
    use super::*;
    use crate::base::estimate::{Estimate, Reason};

    fn ordered(item: Item, packs: u32, high: Option<u32>, pack: Pack) -> OrderLine {
        OrderLine {
            item,
            quantity: Quantity::Count(70),
            unit: Unit::Piece,
            packs: Some(packs),
            pack: Some(pack),
            packs_range: high.map(|high| [packs, high]),
            rule_of_thumb: None,
            thumb: None,
            weight: Estimate::exact(1.0),
            cost: Estimate::not_determined(Reason::Absent),
            priced: None,
            left_over: None,
            detail: None,
            over_area: None,
            is_there: false,
            is_chosen_length: false,
        }
    }

    fn priced(each: f64, per: Option<Unit>) -> ItemPrice {
        ItemPrice { item: "strip-shingle".into(), each, per }
    }

    #[test]
    fn sums_follow_from_the_users_prices_and_nothing_else() {
        let prices = Prices {
            currency: Some("EUR".into()),
            items: vec![priced(20.0, None), ItemPrice::new("labour-m2", 10.0)],
            pitch_bands: vec![(0.0, 1.0), (0.7, 1.5)],
            markup: Some(0.10),
            tax: Some(0.20),
            ..Prices::default()
        };
        let strips = ordered(Item::Strips, 5, None, Pack::Pieces(14));
        let measures = Measures { areas: vec![(0.5, 8.0), (0.8, 2.0)], ..Measures::default() };
        let made = offer(&prices, &[strips], &measures).unwrap();
        // 100 + 80 + 2 × 15 = 210; 10 % markup 21; 20 % tax on 231: 46.2
        let sums = made.whole().unwrap();
        assert!((sums.net - 210.0).abs() < 1e-9);
        assert!((sums.total - 277.2).abs() < 1e-9);
        assert!(offer(&Prices::default(), &[], &measures).is_none());
    }

    #[test]
    fn the_upper_number_is_paid_by_the_unit_the_price_is_of() {
        let strips = ordered(Item::Strips, 5, Some(6), Pack::Pieces(14));
        let sum = |per| {
            let prices = Prices { items: vec![priced(2.0, per)], ..Prices::default() };
            LinePrice::of(&prices, &strips)
        };
        assert_eq!(sum(None), LinePrice::Priced { quantity: 6.0, unit: Unit::Pack, each: 2.0 });
        assert_eq!(sum(Some(Unit::Piece)), LinePrice::Priced { quantity: 84.0, unit: Unit::Piece, each: 2.0 });
        assert_eq!(sum(Some(Unit::Tonne)), LinePrice::WrongUnit);
        // A roll of 12 m², by the square of 100 square feet: 6 × 12 / 9.290304.
        let rolls = ordered(Item::Underlay, 5, Some(6), Pack::Roll(12.0));
        let prices = Prices {
            items: vec![ItemPrice { item: "underlay".into(), each: 1.0, per: Some(Unit::Square) }],
            ..Prices::default()
        };
        let LinePrice::Priced { quantity, .. } = LinePrice::of(&prices, &rolls) else { panic!("by the square") };
        assert!((quantity - 72.0 / 9.290_304).abs() < 1e-12);
    }

    #[test]
    fn what_has_no_price_keeps_an_offer_from_being_whole() {
        let prices = Prices { items: vec![ItemPrice::new("underlay", 11.0)], ..Prices::default() };
        let lines = [ordered(Item::Strips, 5, None, Pack::Pieces(14))];
        let measures = Measures { areas: vec![(0.5, 8.0)], waste: 0.2, ..Measures::default() };
        let made = offer(&prices, &lines, &measures).unwrap();
        assert!(made.whole().is_none());
        assert_eq!(made.unpriced, [Unpriced::Line(Item::Strips), Unpriced::Labour, Unpriced::Disposal]);
        let left_out = ["strip-shingle", "labour", "disposal"].map(str::to_owned).to_vec();
        let made = offer(&Prices { left_out, ..prices }, &lines, &measures).unwrap();
        assert!(made.whole().is_some() && made.left_out == [Item::Strips]);
    }
}
