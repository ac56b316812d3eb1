//! Everything a roof file says, resolved to metres, radians and ids.

use super::offer::{AsLaid, OfferDetails};
use crate::base::ids::SideId;
use crate::base::units::{LengthUnit, Pitch};
use crate::framing::spec::FramingSpec;
use crate::outline::block::{Block, Dormer};
use crate::roof::analysis::opening::Opening;
use crate::survey::model::Survey;
use crate::takeoff::compare::DesignLimits;
use crate::takeoff::model::Covering;
use crate::takeoff::repair::Repair;

/// What the numbers of a job are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Stage {
    /// Measured, each with its sigma.
    #[default]
    Measured,
    /// Set by a designer: every length, turn and pitch is exact unless it carries a sigma.
    Design,
}

/// A pitch as it was found: once, for every slope that has it.
#[derive(Clone, Debug, PartialEq)]
pub struct StatedPitch {
    /// As written.
    pub pitch: Pitch,
    /// How sure it is.
    pub sureness: PitchSureness,
    /// What has it.
    pub slopes: Vec<Slope>,
}

/// How sure a stated pitch is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PitchSureness {
    /// By its standard deviation, radians; 0 is exact.
    Sigma(f64),
    /// As a rafter taped along the slope makes it, over that rafter's length.
    RafterTape,
}

/// A slope of an outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slope {
    /// Over a side: part 0 is the side's own pitch, part 1 the one above its first break.
    Side {
        /// The side, by block, ring and place in it.
        side: SideId,
        /// Which part of it.
        part: usize,
    },
    /// A dormer's roof, by its number in the file.
    Dormer(usize),
}

/// A pitch read on the face over a side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SideReading {
    /// The side, by block, ring and place in it.
    pub side: SideId,
    /// The reading, radians.
    pub pitch: f64,
    /// Its standard deviation, radians.
    pub sigma: f64,
}

/// A job as the roof file states it.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// Printed on drawings.
    pub title: String,
    /// What answers for people are given in.
    pub units: LengthUnit,
    /// Whether its numbers were measured.
    pub stage: Stage,
    /// Printed on drawings when given: `2026-05-01`.
    pub date: Option<String>,
    /// Remnants of edges shorter than this are contracted, metres; `None`: by the outline's size.
    pub tolerance: Option<f64>,
    /// The site.
    pub site: Site,
    /// Blocks in file order.
    pub blocks: Vec<Block>,
    /// Dormers in file order.
    pub dormers: Vec<Dormer>,
    /// Points, faces by points, observations, photos.
    pub survey: Survey,
    /// The pitches of blocks and dormers, each once, with how sure it is.
    pub pitches: Vec<StatedPitch>,
    /// Pitches read on faces over sides.
    pub side_readings: Vec<SideReading>,
    /// Openings in file order.
    pub openings: Vec<Opening>,
    /// What it is covered with.
    pub covering: Covering,
    /// Blocks with a covering of their own, by name: all that `covering` says but for the card.
    pub block_coverings: Vec<(String, Covering)>,
    /// What its timbers are cut to; `None`: none are worked out.
    pub framing: Option<FramingSpec>,
    /// Parts of faces that are covered anew.
    pub repairs: Vec<Repair>,
    /// What the building must keep to whatever its pitch.
    pub limits: DesignLimits,
    /// The words of an offer.
    pub offer: OfferDetails,
    /// What was laid, as the packs say.
    pub as_laid: Vec<AsLaid>,
}

/// The site.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Site {
    /// Bearing the prevailing wind comes from, radians clockwise from north.
    pub wind_from: Option<f64>,
    /// Bearing of the drawing's +y axis, radians clockwise from north.
    pub north: f64,
    /// Whether somebody wrote so.
    pub north_is_stated: bool,
    /// Sides of different blocks nearer than this are brought together, metres.
    pub join_gap: f64,
}

impl Default for Site {
    /// No wind known, north upwards, walls brought together as they are for a roof by itself.
    fn default() -> Self {
        Self { wind_from: None, north: 0.0, north_is_stated: false, join_gap: crate::roof::Options::default().join_gap }
    }
}
