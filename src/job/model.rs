//! Everything a roof file says, resolved to metres, radians and ids.

use crate::base::units::LengthUnit;
use crate::outline::block::{Block, Dormer};
use crate::roof::opening::Opening;
use crate::survey::model::Survey;
use crate::takeoff::model::Covering;

/// A job as the roof file states it.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// Printed on drawings.
    pub title: String,
    /// What answers for people are given in.
    pub units: LengthUnit,
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
    /// Openings in file order.
    pub openings: Vec<Opening>,
    /// What it is covered with.
    pub covering: Covering,
}

/// The site.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Site {
    /// Bearing the prevailing wind comes from, radians clockwise from north.
    pub wind_from: Option<f64>,
    /// Bearing of the drawing's +y axis, radians clockwise from north.
    pub north: f64,
    /// Sides of different blocks nearer than this are brought together, metres.
    pub join_gap: f64,
}
