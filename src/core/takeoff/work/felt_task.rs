//! Steps of felt, as data.

use super::along::Along;
use crate::takeoff::card::Direction;
use crate::takeoff::felt::Layer;

/// How a layer of roll felt is laid on all slopes.
#[derive(Clone, Debug, PartialEq)]
pub struct FeltLayer {
    /// Which.
    pub layer: Layer,
    /// Whether its strips run across the slope or up it.
    pub direction: Direction,
    /// Of a strip.
    pub width: f64,
    /// Of the first strip of each slope, where it is narrower.
    pub first: Option<f64>,
    /// Of a strip over the one beside or below it.
    pub side_lap: f64,
    /// Of a strip's end over the next.
    pub end_lap: f64,
    /// End laps of neighbouring strips stand at least so far apart.
    pub stagger: f64,
    /// Over ridges and hips and past the centre of valleys; `None` where the roof has none.
    pub over: Option<f64>,
    /// Up walls; `None` where there are none.
    pub upstand: Option<f64>,
    /// Of a strip down each valley first; `None` where there is none.
    pub in_valleys: Option<f64>,
    /// Past the deck at eaves and at verges, over the metal; `None` for the base layer.
    pub past: Option<[f64; 2]>,
    /// Nails a square metre, by pitch each once.
    pub nails: Vec<f64>,
    /// Adhesive, kilograms a square metre.
    pub adhesive: Option<f64>,
}

/// Metal along the edges of a felt roof, between its layers.
#[derive(Clone, Debug, PartialEq)]
pub struct FeltEdges {
    /// At eaves.
    pub eaves: Option<Along>,
    /// At verges and level high edges.
    pub verges: Option<Along>,
    /// Whether its flange is primed.
    pub primed: bool,
}

/// Felt turned up round an opening.
#[derive(Clone, Debug, PartialEq)]
pub struct Collar {
    /// What it is, in the user's words.
    pub what: String,
    /// Up its sides, and as far out over the slope.
    pub upstand: f64,
    /// Of the strips.
    pub width: f64,
    /// Of each strip, the lower side first as the opening is drawn.
    pub lengths: Vec<f64>,
}

impl FeltLayer {
    pub(super) fn values(&self) -> Vec<(&'static str, f64)> {
        let mut values = vec![
            ("width", self.width),
            ("side_lap", self.side_lap),
            ("end_lap", self.end_lap),
            ("stagger", self.stagger),
        ];
        let more = [
            ("first_width", self.first),
            ("over", self.over),
            ("upstand", self.upstand),
            ("valley_width", self.in_valleys),
            ("eave_projection", self.past.map(|past| past[0])),
            ("verge_projection", self.past.map(|past| past[1])),
            ("spread", self.adhesive),
        ];
        values.extend(more.into_iter().filter_map(|(name, value)| value.map(|value| (name, value))));
        values.extend(self.nails.iter().map(|nails| ("nails", *nails)));
        values
    }
}

impl FeltEdges {
    pub(super) fn values(&self) -> Vec<(&'static str, f64)> {
        let along = |along: &Along, names: [&'static str; 3]| {
            [(names[0], along.length), (names[1], along.piece), (names[2], along.lap)]
        };
        let eaves = self.eaves.iter().flat_map(|metal| along(metal, ["eave_length", "eave_piece", "eave_lap"]));
        let verges = self.verges.iter().flat_map(|metal| along(metal, ["verge_length", "verge_piece", "verge_lap"]));
        eaves.chain(verges).collect()
    }
}

impl Collar {
    pub(super) fn values(&self) -> Vec<(&'static str, f64)> {
        let mut values = vec![("upstand", self.upstand), ("width", self.width)];
        values.extend(self.lengths.iter().map(|length| ("length", *length)));
        values
    }
}
