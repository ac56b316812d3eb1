//! What the roof is covered with, as the roof file and the material card say.

use super::card::Card;
use super::goods::Exposure;
pub use super::prices::Prices;

/// The covering chosen for a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Covering {
    /// The material card.
    pub card: Card,
    /// How waste is found.
    pub waste: Waste,
    /// Choices of laying that the card leaves open.
    pub laying: Laying,
    /// Prices as the user keeps them, by take-off line.
    pub prices: Prices,
    /// What comes off first, where a roof is renewed.
    pub old_roof: Option<OldRoof>,
    /// Lines of the order that are not, or not wholly, bought for this job.
    pub scope: Scope,
}

/// Lines of the order that are not bought: keys of `[covering]`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scope {
    /// `leave_out`: items that are no part of the job: neither ordered nor laid.
    pub leave_out: Vec<String>,
    /// `already_there`: items that are on the building or in the yard: not ordered.
    pub already_there: Vec<String>,
}

/// How waste is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Waste {
    /// From the course-by-course layout.
    Layout,
    /// The rule of thumb: this fraction on top, such as 0.15.
    Fraction(f64),
}

/// Choices of laying that the card leaves open: keys of `[covering]`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laying {
    /// `valley = "open"`.
    pub valley: ValleyMethod,
    /// `hip = "trimmed"`.
    pub hip: HipMethod,
    /// `exposure = "normal"`.
    pub exposure: Exposure,
    /// `spare_packs = 0`: packs of the covering ordered on top.
    pub spare_packs: u32,
    /// `wall_inside`: level distance from the eave to the inside of the warm wall, for the ice barrier; `None`: an
    /// unheated building.
    pub wall_inside: Option<f64>,
    /// `van_payload`: what the van carries at once, kilograms; `None`: not said.
    pub van_payload: Option<f64>,
    /// `level_ceiling`: area of the ceiling under a ventilated roof, square metres; `None`: an open roof.
    pub ceiling: Option<f64>,
}

impl Default for Laying {
    fn default() -> Self {
        Self {
            valley: ValleyMethod::Open,
            hip: HipMethod::Trimmed,
            exposure: Exposure::Normal,
            spare_packs: 0,
            wall_inside: None,
            van_payload: None,
            ceiling: None,
        }
    }
}

/// How valleys are made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ValleyMethod {
    /// `"open"`: both sides trimmed clear of the centre, over metal.
    #[default]
    Open,
    /// `"closed"`: one side runs through, the other is cut beside the centre.
    Closed,
    /// `"woven"`: both sides run through by turns.
    Woven,
}

/// How hips are made under their caps.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum HipMethod {
    /// `"trimmed"`: both sides cut to the line.
    #[default]
    Trimmed,
    /// `"over"`: the side laid first runs up to 100 mm over.
    Over,
}

/// `[old_roof]`: what lies there now.
#[derive(Clone, Debug, PartialEq)]
pub struct OldRoof {
    /// What it is, in the user's words: "bitumen shingles".
    pub kind: String,
    /// Layers; 0: it is stripped already.
    pub layers: u32,
    /// Of one layer, kilograms a square metre.
    pub weight: f64,
    /// Where that comes from.
    pub weight_from: WeightFrom,
    /// Of one layer as it lies loose in a skip, metres.
    pub loose_thickness: f64,
    /// Share of the deck to renew, a fraction.
    pub deck_share: f64,
    /// Whether it may hold asbestos: anything laid before a ban, or not known.
    pub asbestos_possible: bool,
    /// What stays on the building: neither ordered nor laid.
    pub stays: Vec<Stay>,
    /// Whether that was stated; else it is what usually stays.
    pub stays_stated: bool,
}

/// Where the weight of an old covering comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WeightFrom {
    /// It is stated.
    Stated,
    /// What its kind usually weighs.
    Kind,
    /// What bitumen shingles usually weigh, because its kind is not known.
    Shingles,
}

/// Something that stays on the building while its roof is renewed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stay {
    /// In the user's words.
    pub said: String,
    /// The items of the order that it is; none where the order has no such thing.
    pub items: Vec<String>,
}
