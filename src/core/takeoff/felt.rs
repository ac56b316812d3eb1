//! Roll felt in two layers, laid cold: a base layer nailed to the deck and a cap sheet bonded to it, both off the roll, with
//! laps at sides and ends, across the slope or up it (common practice, no source).
//!
//! Side laps of the cap sheet stand away from those of the base layer, which begins with half a width. Both run over
//! ridges, hips and valleys, and up walls. Round an opening a collar is cut from the cap sheet.

use super::card::{Direction, Felt};
use super::margins::goes_first;
use super::outline::{CoveredFace, FaceEdge, grown_rings};
use super::pieces::{Laps, PiecePlan, PlanPiece, Stock};
use super::region::Region;
use super::rolls::{self, Roll, RollStretch, Unrolled};
use super::runs;
use crate::base::ids::FaceId;
use crate::base::tolerance;
use crate::roof::analysis::opening::CutOpening;
use crate::roof::{EdgeKind, Roof};
use nalgebra::Point2;

/// An opening smaller than this is laid across and cut out afterwards: nothing is saved.
const LARGE_OPENING: f64 = 1.0;

/// A layer may be cut into at most so many strips side by side: narrower ones are not worth the cut.
const MOST_STRIPS: u32 = 3;

/// One of the two layers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    /// Nailed to the deck.
    Base,
    /// Bonded to it.
    Cap,
}

/// A layer as laid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LayerLaid {
    /// The pieces of each face where they lie.
    pub plans: Vec<PiecePlan>,
    /// Strips of their own: down valleys (base layer), round openings (cap sheet).
    pub strips: Vec<StripLaid>,
    /// Rolls begun.
    pub rolls: u32,
    /// Laid, laps included, square metres.
    pub area: f64,
}

/// A strip of its own.
#[derive(Clone, Debug, PartialEq)]
pub struct StripLaid {
    /// The opening it goes round, by its place in the job; `None` for one down a valley.
    pub opening: Option<usize>,
    /// What that is, in the user's words; empty for one down a valley.
    pub what: String,
    /// Metres.
    pub length: f64,
    /// Metres.
    pub width: f64,
    /// The rolls its pieces come from.
    pub rolls: Vec<u32>,
}

/// Both layers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FeltLaid {
    /// Nailed to the deck.
    pub base: LayerLaid,
    /// Bonded to it.
    pub cap: LayerLaid,
}

impl FeltLaid {
    /// Both layers in the order of work; none where no felt is laid.
    pub fn layers(&self) -> impl Iterator<Item = (Layer, &LayerLaid)> {
        let each = [(Layer::Base, &self.base), (Layer::Cap, &self.cap)];
        each.into_iter().filter(|(_, laid)| !laid.plans.is_empty())
    }
}

/// Lays both layers. O(faces × rows × rests).
#[must_use]
pub fn lay(roof: &Roof, faces: &[CoveredFace], openings: &[CutOpening], felt: &Felt) -> FeltLaid {
    // What runs over the ridge is laid after the slope that it comes to lie on.
    let mut ordered: Vec<&CoveredFace> = faces.iter().collect();
    ordered.sort_by_key(|face| {
        face.edges.iter().any(|edge| edge.kind == EdgeKind::Ridge && goes_first(roof, face.id, edge.id))
    });
    FeltLaid {
        base: layer(roof, &ordered, openings, felt, Layer::Base),
        cap: layer(roof, &ordered, openings, felt, Layer::Cap),
    }
}

/// A row of a face before it is cut into pieces.
struct Row {
    stretch: RollStretch,
    /// Across the rolls: lower and upper edge, or left and right.
    across: [f64; 2],
}

fn layer(roof: &Roof, faces: &[&CoveredFace], openings: &[CutOpening], felt: &Felt, layer: Layer) -> LayerLaid {
    let roll_length = match layer {
        Layer::Base => felt.base_length,
        Layer::Cap => felt.cap_length,
    };
    let roll = Roll { length: roll_length, end_lap: felt.end_lap, stagger: felt.stagger, shortest: felt.shortest };
    let strips = strips(roof, faces, openings, felt, layer);
    let mut stretches: Vec<RollStretch> = strips.iter().map(|(strip, strips)| alone(strip.length, *strips)).collect();
    let mut rows: Vec<(usize, Row)> = Vec::new();
    let mut plans: Vec<PiecePlan> = Vec::new();
    for (index, face) in faces.iter().enumerate() {
        let large: Vec<_> = openings
            .iter()
            .filter(|opening| opening.face == face.id && opening.area > LARGE_OPENING)
            .map(|opening| opening.ring.clone())
            .collect();
        let rings = grown_rings(face, |edge| reach(roof, face, edge, felt, layer));
        let region = Region::new(&rings, &large);
        let unrolled = match felt.direction {
            Direction::Across => region.clone(),
            Direction::Up => Region::new(&turned(&rings), &turned(&large)),
        };
        rows.extend(face_rows(face.id, &unrolled, felt, layer).into_iter().map(|row| (index, row)));
        let laps = Laps { head: felt.side_lap, end: felt.end_lap, double: false };
        let stock = Stock { width: felt.width, length: Some(roll_length), ..Stock::default() };
        plans.push(PiecePlan { laps, stock, direction: felt.direction, ..PiecePlan::new(face, region) });
    }
    stretches.extend(rows.iter().map(|(_, row)| row.stretch.clone()));
    let Unrolled { cuts, rolls } = rolls::unroll(&stretches, &roll);
    let (of_strips, of_rows) = cuts.split_at(strips.len());
    let mut area = 0.0;
    let strips = strips.into_iter().zip(of_strips).map(|((strip, _), cuts)| {
        area += cuts.iter().map(|cut| (cut.span[1] - cut.span[0]) * strip.width).sum::<f64>();
        StripLaid { rolls: cuts.iter().map(|cut| cut.roll).collect(), ..strip }
    });
    let strips = strips.collect();
    for ((index, row), cuts) in rows.iter().zip(of_rows) {
        for cut in cuts {
            area += (cut.span[1] - cut.span[0]) * (row.across[1] - row.across[0]);
            let (u, v) = match felt.direction {
                Direction::Across => (cut.span, row.across),
                Direction::Up => (row.across, cut.span),
            };
            plans[*index].pieces.push(PlanPiece { row: row.stretch.row, u, v, roll: Some(cut.roll) });
        }
    }
    LayerLaid { plans, strips, rolls, area }
}

fn alone(length: f64, strips: u32) -> RollStretch {
    RollStretch { face: None, row: 0, span: [0.0, length], strips }
}

/// Strips of a layer that belong to no row, each with how many of them make up a width.
fn strips(
    roof: &Roof,
    faces: &[&CoveredFace],
    openings: &[CutOpening],
    felt: &Felt,
    layer: Layer,
) -> Vec<(StripLaid, u32)> {
    let strip = |opening: Option<usize>, length, width| StripLaid {
        opening,
        what: opening.map_or_else(String::new, |index| openings[index].kind.clone()),
        length,
        width,
        rolls: Vec::new(),
    };
    match layer {
        Layer::Base => {
            let valleys = runs::straight(roof, EdgeKind::Valley);
            valleys.iter().map(|run| (strip(None, run.length(), felt.width), 1)).collect()
        }
        Layer::Cap => {
            // Up the side of the opening, and as far out over the slope.
            let needed = 2.0 * felt.upstand;
            let (width, strips) = narrowest(felt.width, needed);
            let has_face = |opening: &CutOpening| faces.iter().any(|face| face.id == opening.face);
            let mut collars = Vec::new();
            for (index, opening) in openings.iter().enumerate().filter(|(_, opening)| has_face(opening)) {
                let around = opening.ring.iter().zip(opening.ring.iter().cycle().skip(1));
                let sides = around.map(|(from, to)| (to - from).norm()).filter(|side| *side > tolerance::SMALLEST);
                // Past each corner by as much, so that corners lap.
                collars.extend(sides.map(|side| (strip(Some(index), side + 2.0 * felt.upstand, width), strips)));
            }
            collars
        }
    }
}

/// The narrowest of the full width, its half and its third that is wide enough, and how many of it make up the width.
fn narrowest(width: f64, needed: f64) -> (f64, u32) {
    let strips =
        (1..=MOST_STRIPS).rev().find(|&strips| width / f64::from(strips) >= needed - tolerance::SMALLEST).unwrap_or(1);
    (width / f64::from(strips), strips)
}

/// The rows of a face, in a frame in which rolls are unrolled along the first axis.
fn face_rows(face: FaceId, region: &Region, felt: &Felt, layer: Layer) -> Vec<Row> {
    let Some([low, high]) = region.span_v() else { return Vec::new() };
    let (width, lap) = (felt.width, felt.side_lap);
    let mut rows = Vec::new();
    let mut from = low;
    for row in 0.. {
        let needed = high - from;
        // The base layer begins with half a width, so that its side laps stand away from those of the cap sheet.
        let (own, strips) = match layer {
            Layer::Base if row == 0 => (width / 2.0, 2),
            _ => narrowest(width, needed),
        };
        let across = [from, from + own];
        let stretch = |span| RollStretch { face: Some(face), row, span, strips };
        rows.extend(region.runs(across[0], across[1]).into_iter().map(|span| Row { stretch: stretch(span), across }));
        if across[1] >= high - tolerance::SMALLEST {
            return rows;
        }
        from = across[1] - lap;
    }
    rows
}

/// Rings with their axes exchanged; the way round stays.
fn turned(rings: &[Vec<Point2<f64>>]) -> Vec<Vec<Point2<f64>>> {
    rings.iter().map(|ring| ring.iter().rev().map(|place| Point2::new(place.y, place.x)).collect()).collect()
}

/// How far a layer runs past an edge of the face.
fn reach(roof: &Roof, face: &CoveredFace, edge: &FaceEdge, felt: &Felt, layer: Layer) -> f64 {
    let metal = |past: f64| if layer == Layer::Cap { past } else { 0.0 };
    match edge.kind {
        EdgeKind::Ridge if goes_first(roof, face.id, edge.id) => felt.over,
        EdgeKind::Hip | EdgeKind::Valley => felt.over,
        EdgeKind::Abutment => felt.upstand,
        EdgeKind::PitchBreak if edge.is_low => felt.over,
        EdgeKind::Eave => metal(felt.eave_projection),
        EdgeKind::Step if edge.is_low => metal(felt.eave_projection),
        EdgeKind::Verge | EdgeKind::Top => metal(felt.verge_projection),
        EdgeKind::Step if !edge.is_level => metal(felt.verge_projection),
        _ => 0.0,
    }
}
