//! The rings of outlines in the network: where each stands, what of it is fixed, what was measured along it.

use super::equation::{Equation, Source, Term};
use super::error::SurveyError;
use super::hosts::hosts_first;
use super::misclosure;
use super::model::{Leg, MeasuredRing, RingFrame, RingInput, Survey};
use super::network::Network;
use super::state::State;
use super::walk::{Heading, check_turns, walk};
use nalgebra::{Point2, Point3, Vector2};

/// A direction and a place to start from: what a ring's own numbers count from.
#[derive(Clone, Copy)]
struct Frame {
    start: Point2<f64>,
    heading: Heading,
}

impl Frame {
    fn place(self, inner: Point2<f64>) -> Point2<f64> {
        on_line(self.start, self.heading.direction(), inner)
    }
}

/// A place by how far it lies along a line and to its left.
fn on_line(start: Point2<f64>, along: Vector2<f64>, inner: Point2<f64>) -> Point2<f64> {
    start + Vector2::new(along.x * inner.x - along.y * inner.y, along.y * inner.x + along.x * inner.y)
}

impl Network<'_> {
    /// Adds the places of every ring, in the order of the list, and what was measured along them. O(rings²) where each
    /// stands on the next one's side, else O(corners).
    ///
    /// # Errors
    /// A ring of fewer than three sides, one whose turns do not come round, one on a side that nothing places.
    pub(super) fn add_rings(&mut self, state: &mut State) -> Result<(), SurveyError> {
        let mut corners = 0;
        for ring in self.rings {
            self.ring_first.push(corners);
            corners += ring.corners();
        }
        self.gaps = vec![None; self.rings.len()];
        self.layout.places = vec![[None; 3]; corners];
        state.places = vec![Point3::origin(); corners];
        for ring in self.rings {
            check(ring, self.survey)?;
        }
        let host = |index: usize| match self.rings[index].frame {
            RingFrame::At { .. } => None,
            RingFrame::OnSide { ring, .. } => Some(ring),
        };
        let order = hosts_first(self.rings.len(), host).map_err(|left| {
            let ring = &self.rings[left];
            SurveyError::PlacedByNothing { block: ring.block.to_owned(), ring: ring.ring }
        })?;
        for index in order {
            self.add_ring(index, state);
        }
        Ok(())
    }

    fn add_ring(&mut self, index: usize, state: &mut State) {
        let ring = &self.rings[index];
        let first = self.ring_first[index];
        let line = self.line(index);
        let frame = match (ring.frame, line) {
            (RingFrame::At { start, heading }, _) => Frame { start, heading: Heading::new(heading) },
            (RingFrame::OnSide { at, heading, .. }, Some([a, b])) => {
                let (a, b) = (state.places[a].xy(), state.places[b].xy());
                let way = b - a;
                let along = Heading::new(way.y.atan2(way.x));
                Frame { start: on_line(a, way.normalize(), at), heading: along.turned(heading) }
            }
            (RingFrame::OnSide { at, heading, .. }, None) => Frame { start: at, heading: Heading::new(heading) },
        };
        let (corners, is_walked) = match ring.measured {
            MeasuredRing::Walk(legs) => {
                let walked = walk(legs, frame.start, frame.heading);
                self.gaps[index] = Some(walked.gap.norm());
                (walked.corners, true)
            }
            MeasuredRing::Places(places) => (places.iter().map(|&place| frame.place(place)).collect(), false),
        };
        let is_given = matches!(ring.frame, RingFrame::At { .. });
        let direction = frame.heading.direction();
        for (i, corner) in corners.iter().enumerate() {
            let height = ring.heights.get(i).copied().unwrap_or_default();
            state.places[first + i] = Point3::new(corner.x, corner.y, height);
            let is_fixed = is_given && (i == 0 || !is_walked);
            let on_axis = |across: f64| is_given && i == 1 && across == 0.0;
            let columns = [direction.x, direction.y]
                .map(|along| if is_fixed || on_axis(along) { None } else { Some(self.layout.column()) });
            self.layout.places[first + i] = [columns[0], columns[1], None];
        }
        self.hold(index, line, direction);
        if let MeasuredRing::Walk(legs) = ring.measured {
            self.observe_legs(index, legs);
        }
    }

    /// The places of the side that a ring stands on.
    fn line(&self, index: usize) -> Option<[usize; 2]> {
        let RingFrame::OnSide { ring, side, .. } = self.rings[index].frame else { return None };
        let (first, count) = (*self.ring_first.get(ring)?, self.rings[ring].corners());
        Some([first + side % count, first + (side + 1) % count])
    }

    /// Holds what a ring's frame fixes: its first corner and first direction, or all corners of one given by places.
    fn hold(&mut self, index: usize, line: Option<[usize; 2]>, direction: Vector2<f64>) {
        let ring = &self.rings[index];
        let (from, to) = (self.ring_first[index], self.ring_first[index] + 1);
        let datum = |term, observed| Equation { term, observed, sigma: 0.0, source: Source::Datum };
        match (ring.frame, line, ring.measured) {
            // Along an axis one coordinate of the second corner is no unknown instead.
            (RingFrame::At { .. }, _, MeasuredRing::Walk(_)) if direction.x != 0.0 && direction.y != 0.0 => {
                self.exact.push(datum(Term::OffRay { from, to, direction }, 0.0));
            }
            (RingFrame::OnSide { at, heading, .. }, Some(line), MeasuredRing::Walk(_)) => {
                self.exact.push(datum(Term::AlongLine { place: from, line }, at.x));
                self.exact.push(datum(Term::OffLine { place: from, line }, at.y));
                let direction = Heading::new(heading).direction();
                self.exact.push(datum(Term::OffTurnedLine { from, to, line, direction }, 0.0));
            }
            (RingFrame::OnSide { at, heading, .. }, Some(line), MeasuredRing::Places(places)) => {
                let frame = Frame { start: at, heading: Heading::new(heading) };
                for (i, &inner) in places.iter().enumerate() {
                    let (place, at) = (from + i, frame.place(inner));
                    self.exact.push(datum(Term::AlongLine { place, line }, at.x));
                    self.exact.push(datum(Term::OffLine { place, line }, at.y));
                }
            }
            _ => {}
        }
    }

    fn observe_legs(&mut self, ring: usize, legs: &[Leg]) {
        let (first, count) = (self.ring_first[ring], legs.len());
        for (side, leg) in legs.iter().enumerate() {
            let corner = |k: usize| first + (side + k) % count;
            let length = Term::LevelDistance(corner(0), corner(1));
            // One that was left open was worked out from the others, and observes nothing.
            if leg.length.sigma.is_finite() {
                self.observe(length, leg.length.value, leg.length.sigma, Source::Length { ring, side });
            }
            if let Some(turn) = leg.turn {
                let term = Term::Turn([corner(0), corner(1), corner(2)]);
                self.observe(term, turn.value, turn.sigma, Source::Turn { ring, side });
            }
        }
    }
}

/// Whether a ring can be walked at all.
fn check(ring: &RingInput<'_>, survey: &Survey) -> Result<(), SurveyError> {
    if ring.corners() < 3 {
        let (block, sides) = (ring.block.to_owned(), ring.corners());
        return Err(SurveyError::TooFewSides { block, ring: ring.ring, sides });
    }
    match ring.measured {
        MeasuredRing::Walk(legs) => {
            check_turns(ring.block, ring.ring, legs)?;
            misclosure::check(ring, legs, !survey.observations.is_empty())
        }
        MeasuredRing::Places(_) => Ok(()),
    }
}
