//! Whether an outline, closed roughly, meets itself: told with everything else that is wrong with the file, rather than
//! after the adjustment. What is near a limit is left to [`crate::outline`], which sees the adjusted corners.

use super::reader::Reader;
use super::source_map::SourceMap;
use crate::job::reading::{Beside, Fault, Problem};
use crate::outline::Block;
use crate::outline::block::BlockRing;
use crate::outline::checks::{self, Rings};
use crate::outline::error::OutlineError;
use crate::survey::model::{Leg, MeasuredRing};
use nalgebra::{Point2, Rotation2, Vector2};
use std::f64::consts::TAU;

impl Reader<'_> {
    /// Tells of sides that cross, fold back or have no length, and of holes that are not inside.
    pub(crate) fn check_outline(&mut self, block: &Block, map: &SourceMap) {
        let names: Vec<Vec<String>> =
            block.rings.iter().map(|ring| ring.sides.iter().map(|side| side.name.clone()).collect()).collect();
        let in_frame = |share| block.rings.iter().map(|ring| corners(ring, share)).collect::<Vec<_>>();
        let shared = problems(&block.name, &in_frame(true), &names);
        let as_walked = problems(&block.name, &in_frame(false), &names);
        // Only what is wrong whichever way the gap at closing is shared out.
        for error in shared.iter().filter(|error| as_walked.iter().any(|other| same(error, other))) {
            self.report_outline(error, map);
        }
    }

    fn report_outline(&mut self, error: &OutlineError, map: &SourceMap) {
        // Reported by the walk itself, or only known after the adjustment.
        let is_seen = matches!(
            error,
            OutlineError::Crossing { .. }
                | OutlineError::FoldsBack { .. }
                | OutlineError::NoArea { .. }
                | OutlineError::ZeroLength { .. }
                | OutlineError::HoleOutside { .. }
                | OutlineError::HoleInHole { .. }
        );
        let places = error.places();
        let mut spans = places.iter().filter_map(|place| map.span(place));
        let Some(first) = spans.next().filter(|_| is_seen) else { return };
        let written = self.written(&first);
        let mut problem = Problem::error(first, Fault::Outline(error.clone())).written(written);
        for other in spans {
            problem = problem.beside(other, Beside::OtherSide);
        }
        self.report(problem);
    }
}

fn problems(block: &str, corners: &[Vec<Point2<f64>>], names: &[Vec<String>]) -> Vec<OutlineError> {
    let rings = Rings { block, corners, names };
    let errors = checks::each_ring(rings);
    if errors.is_empty() { checks::together(rings) } else { errors }
}

fn same(a: &OutlineError, b: &OutlineError) -> bool {
    std::mem::discriminant(a) == std::mem::discriminant(b) && a.places() == b.places()
}

/// Corners in the block's own frame. `share` spreads the gap at closing over the sides by their lengths (the compass
/// rule); without it the last side is drawn straight to the first corner.
fn corners(ring: &BlockRing, share: bool) -> Vec<Point2<f64>> {
    let own = match &ring.measured {
        MeasuredRing::Places(places) => places.clone(),
        MeasuredRing::Walk(legs) => walked(legs, share),
    };
    let turn = Rotation2::new(ring.heading);
    own.into_iter().map(|corner| ring.start + turn * corner.coords).collect()
}

fn walked(legs: &[Leg], share: bool) -> Vec<Point2<f64>> {
    let sum: f64 = legs.iter().filter_map(|leg| leg.turn).map(|turn| turn.value).sum();
    let excess = if share && legs.iter().all(|leg| leg.turn.is_some()) { sum - TAU.copysign(sum) } else { 0.0 };
    let correction = excess / legs.len() as f64;
    let mut heading = 0.0_f64;
    let mut at = Point2::origin();
    let mut corners = Vec::with_capacity(legs.len());
    for leg in legs {
        corners.push(at);
        at += leg.length.value * Vector2::new(heading.cos(), heading.sin());
        heading += leg.turn.map_or(0.0, |turn| turn.value) - correction;
    }
    if share {
        let gap = at.coords;
        let perimeter: f64 = legs.iter().map(|leg| leg.length.value).sum();
        let mut walked = 0.0;
        for (corner, leg) in corners.iter_mut().zip(legs) {
            *corner -= gap * (walked / perimeter);
            walked += leg.length.value;
        }
    }
    corners
}
