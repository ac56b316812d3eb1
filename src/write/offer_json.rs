//! An offer as JSON, within `takeoff --json` and by itself.

use crate::takeoff::item::Item;
use crate::takeoff::offer::{Offer, OfferLine, Priced, Sums};
use crate::wording::offer;
use crate::wording::units::Format;
use serde::Serialize;
use std::collections::BTreeMap;

/// The offer's format and version.
pub const FORMAT: &str = "eavewright-offer/1";

/// Twin of [`Offer`]. Its sums are null while anything has no price; `priced` is what the rest comes to.
#[derive(Serialize)]
pub struct OfferTwin<'a> {
    currency: Option<&'a str>,
    dated: Option<&'a str>,
    whole: bool,
    unpriced: Vec<&'a str>,
    left_out: Vec<&'a str>,
    material: Vec<OfferLineTwin>,
    work: Vec<OfferLineTwin>,
    net: Option<f64>,
    on_top: Option<f64>,
    before_tax: Option<f64>,
    tax_rate: Option<f64>,
    tax: Option<f64>,
    total: Option<f64>,
    priced: SumsTwin,
    /// Hours for one square metre, metre or piece that nobody gave.
    usual_hours: BTreeMap<&'static str, f64>,
}

#[derive(Serialize)]
struct SumsTwin {
    net: f64,
    on_top: f64,
    before_tax: f64,
    tax: f64,
    total: f64,
}

#[derive(Serialize)]
struct OfferLineTwin {
    what: String,
    /// Key of the line or of the work in a price file, where it is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    item: Option<String>,
    quantity: f64,
    unit: &'static str,
    price: f64,
    sum: f64,
    /// Of hours: what is done in them.
    #[serde(skip_serializing_if = "Option::is_none")]
    hours_of: Option<HoursTwin>,
}

#[derive(Serialize)]
struct HoursTwin {
    quantity: f64,
    unit: &'static str,
    each: f64,
    usual: bool,
}

impl<'a> OfferTwin<'a> {
    /// The twin of an offer, its words in the units of `format`.
    #[must_use]
    pub fn new(offer: &'a Offer, format: Format) -> Self {
        let whole = offer.whole();
        let of = |sum: fn(&Sums) -> f64| whole.map(sum);
        Self {
            currency: offer.currency.as_deref(),
            dated: offer.dated.as_deref(),
            whole: whole.is_some(),
            unpriced: offer.unpriced.iter().map(crate::takeoff::offer::Unpriced::key).collect(),
            left_out: offer.left_out.iter().map(Item::key).collect(),
            material: offer.material.iter().map(|line| OfferLineTwin::new(line, offer, format)).collect(),
            work: offer.work.iter().map(|line| OfferLineTwin::new(line, offer, format)).collect(),
            net: of(|sums| sums.net),
            on_top: of(|sums| sums.on_top),
            before_tax: of(|sums| sums.before_tax),
            tax_rate: offer.tax_rate,
            tax: of(|sums| sums.tax),
            total: of(|sums| sums.total),
            priced: SumsTwin::from(&offer.priced),
            usual_hours: offer.usual_hours().into_iter().map(|(of, each)| (of.key(), each)).collect(),
        }
    }
}

impl From<&Sums> for SumsTwin {
    fn from(sums: &Sums) -> Self {
        let Sums { net, on_top, before_tax, tax, total } = *sums;
        Self { net, on_top, before_tax, tax, total }
    }
}

impl OfferLineTwin {
    fn new(line: &OfferLine, offer: &Offer, format: Format) -> Self {
        let hours_of = match line.what {
            Priced::Hours { operation, of, each, is_usual } => {
                Some(HoursTwin { quantity: of, unit: operation.unit().word(), each, usual: is_usual })
            }
            _ => None,
        };
        let item = match &line.what {
            Priced::Goods(item) => Some(item.key().to_owned()),
            _ => None,
        };
        Self {
            what: offer::priced(line, offer, format),
            item,
            quantity: line.quantity,
            unit: line.unit.word(),
            price: line.price,
            sum: line.sum,
            hours_of,
        }
    }
}
