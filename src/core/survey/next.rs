//! Which measurement would help most: for every one that a person can reach, the standard deviation of the total area
//! after it (the covariance updated by one observation), before anything is measured.

use super::columns::Columns;
use super::covariance::Covariance;
use super::equation::{Source, Term};
use super::minimum::{Minimum, face_ring};
use super::model::{Known, ObservationKind};
use super::observation::{Proposal, Station, side_id};
use super::quantity::{self, Quantity};
use super::report::{BestNext, LARGEST_SD, MOST_PROPOSED, Parting, SMALLEST_GAIN};
use super::sigma;
use super::state::State;
use crate::base::ids::{PlaneId, PointId};
use crate::base::order::SortByNumber as _;
use crate::base::polygon::contains;
use nalgebra::{DMatrix, DVector, Point2, Point3};
use std::collections::BTreeSet;

/// Points up to this far above the lowest corner of any face are reached from a ladder at the eaves, metres. Common
/// practice, no source.
const ABOVE_EAVES: f64 = 0.5;
/// A tape runs level, or plumb, within this: across a slant it sags and nobody reads it well, metres. Common practice,
/// no source.
const LEVEL_WITHIN: f64 = 0.5;
/// A line that passes this far inside a face's plan runs through the building, metres.
const INSIDE: f64 = 0.3;
/// Most places between which tapes are looked at.
const MOST_PLACES: usize = 60;
/// What is not determined is taken to be this unsure, in units of the equations.
const UNSURE: f64 = 1e4;

/// A place that a tape can be held to.
struct Reachable {
    station: Station,
    /// Its number in the state.
    place: usize,
    /// Number of its x coordinate; `None` for z of a ring's corner, which is given.
    coordinates: [Option<usize>; 3],
    at: Point3<f64>,
}

/// A measurement that may still be taken.
pub(super) struct Candidate {
    pub proposal: Proposal,
    /// Its derivatives by coordinates.
    pub slopes: Vec<(usize, f64)>,
    /// Its standard deviation, metres or radians.
    pub sigma: f64,
    /// What it measures.
    pub of: Measurable,
    /// Whether nobody has taken it yet.
    pub is_new: bool,
}

/// What a candidate measures.
#[derive(Clone, Copy)]
pub(super) enum Measurable {
    /// The distance of two places of the state.
    Distance(usize, usize),
    /// The pitch of a face by points.
    Pitch(usize),
}

impl Measurable {
    /// What it would read at a state, metres or radians.
    pub fn at(self, minimum: &Minimum<'_>, state: &State) -> f64 {
        match self {
            Self::Distance(a, b) => (state.places[b] - state.places[a]).norm(),
            Self::Pitch(face) => {
                let network = minimum.network;
                let place = |point: &PointId| state.places[network.point_place[point.index()]];
                let ring: Vec<(usize, Point3<f64>)> =
                    network.survey.faces[face].points.iter().map(|point| (0, place(point))).collect();
                quantity::pitch(&ring).value
            }
        }
    }
}

/// What the total area is now and which measurements would make it surer, best first; one that tells which of two
/// observations is to blame before all others. The total is of faces by points and the plan areas of outlines. `None` where
/// there is no area. Where no single measurement makes an open total known, those that settle most of what is open.
pub(super) fn best(
    minimum: &Minimum<'_>,
    covariance: &Covariance,
    parting: Option<(Candidate, Parting)>,
) -> Option<(Option<f64>, Vec<BestNext>)> {
    let Some(total) = total_area(minimum, covariance) else {
        let first = parting.map(|(candidate, parts)| BestNext {
            observation: candidate.proposal,
            area_sd_after: None,
            parts: Some(parts),
        });
        return first.map(|first| (None, vec![first]));
    };
    let size = covariance.count();
    let mut gradient = DVector::zeros(size);
    for (coordinate, slope) in &total.gradient {
        gradient[*coordinate] += slope;
    }
    let columns = Columns::of(covariance);
    let open = covariance.open_directions() * UNSURE;
    let carried = DVector::from_vec(covariance.carried(&total.gradient)) + &open * open.tr_mul(&gradient);
    let variance = gradient.dot(&carried);
    let known = covariance.variance(&total.gradient).map(f64::sqrt);
    let after = |candidate: &Candidate| {
        let Candidate { slopes, sigma, .. } = candidate;
        let shared: f64 = slopes.iter().map(|&(c, s)| s * carried[c]).sum();
        let own = columns.variance(slopes) + open_part(&open, slopes);
        (variance - shared * shared / (sigma * sigma + own)).max(0.0).sqrt()
    };
    let answered = |after: f64| (after < LARGEST_SD * total.value).then_some(after);
    let now = known.unwrap_or(variance.sqrt());

    let from_the_eaves = reachable(minimum, covariance, ABOVE_EAVES);
    let mut found = Vec::new();
    // Where nothing that is reached from the eaves settles what is open, somebody has to climb.
    for places in [from_the_eaves, reachable(minimum, covariance, f64::INFINITY)] {
        let candidates = candidates(minimum, covariance, places, &carried);
        found = candidates.map(|candidate| (after(&candidate), candidate.proposal)).collect::<Vec<_>>();
        found.retain(|(after, _)| *after < (1.0 - SMALLEST_GAIN) * now);
        found.sort_by_number(|a| a.0);
        let settles = found.first().is_some_and(|best| answered(best.0).is_some());
        if settles {
            found.retain(|(after, _)| answered(*after).is_some());
        }
        if settles || known.is_some() {
            break;
        }
    }
    let first = parting.map(|(candidate, parts)| BestNext {
        observation: candidate.proposal,
        area_sd_after: answered(after(&candidate)),
        parts: Some(parts),
    });
    let others = found.into_iter().map(|(after, observation)| BestNext {
        observation,
        area_sd_after: answered(after),
        parts: None,
    });
    let others = others.filter(|next| first.as_ref().is_none_or(|first| first.observation != next.observation));
    let next = first.clone().into_iter().chain(others).take(MOST_PROPOSED).collect();
    Some((known, next))
}

/// The tapes between places that can be reached and the pitches that were not read. `carried` is how the total area moves
/// with each coordinate: of many places those count where it hangs most.
fn candidates<'m>(
    minimum: &'m Minimum<'_>,
    covariance: &'m Covariance,
    mut places: Vec<Reachable>,
    carried: &DVector<f64>,
) -> impl Iterator<Item = Candidate> + 'm {
    if places.len() > MOST_PLACES {
        let weight =
            |place: &Reachable| place.coordinates.iter().flatten().map(|&c| carried[c].abs()).fold(0.0, f64::max);
        places.sort_by_largest(|a| weight(a));
        places.truncate(MOST_PLACES);
    }
    new_tapes(minimum, &places).into_iter().chain(new_pitches(minimum, covariance))
}

/// Every measurement that a person can reach from the eaves and has not taken.
pub(super) fn not_taken(minimum: &Minimum<'_>, covariance: &Covariance) -> Vec<Candidate> {
    let mut places = reachable(minimum, covariance, ABOVE_EAVES);
    places.truncate(MOST_PLACES);
    new_tapes(minimum, &places).into_iter().chain(new_pitches(minimum, covariance)).collect()
}

fn new_tapes(minimum: &Minimum<'_>, places: &[Reachable]) -> Vec<Candidate> {
    let measured = measured(minimum);
    let mut tapes = Vec::new();
    for (i, a) in places.iter().enumerate() {
        for b in &places[i + 1..] {
            let pair = (a.place.min(b.place), a.place.max(b.place));
            if a.at != b.at && !measured.contains(&pair) && is_free(minimum, a, b) {
                tapes.push(tape(a, b, true));
            }
        }
    }
    tapes
}

fn tape(a: &Reachable, b: &Reachable, is_new: bool) -> Candidate {
    let way = b.at - a.at;
    let length = way.norm();
    let slopes = (0..3)
        .flat_map(|k| [(b.coordinates[k], way[k] / length), (a.coordinates[k], -way[k] / length)])
        .filter_map(|(coordinate, slope)| Some((coordinate?, slope)))
        .collect();
    Candidate {
        proposal: Proposal::Tape(a.station, b.station),
        slopes,
        sigma: sigma::STEEL_TAPE.of(length),
        of: Measurable::Distance(a.place, b.place),
        is_new,
    }
}

fn new_pitches<'m>(minimum: &'m Minimum<'_>, covariance: &'m Covariance) -> impl Iterator<Item = Candidate> + 'm {
    let survey = minimum.network.survey;
    let is_read = |index: usize| {
        let of_face = |kind: &ObservationKind| matches!(kind, ObservationKind::PitchReading { face, .. } if face.index() == index);
        survey.observations.iter().any(|observation| of_face(&observation.kind))
    };
    (0..survey.faces.len()).filter(move |&face| !is_read(face)).map(|face| pitch(minimum, covariance, face, true))
}

fn pitch(minimum: &Minimum<'_>, covariance: &Covariance, face: usize, is_new: bool) -> Candidate {
    Candidate {
        proposal: Proposal::PitchReading(PlaneId::new(face)),
        slopes: quantity::pitch(&face_ring(minimum, covariance, face)).gradient,
        sigma: sigma::PITCH_LEVEL_AND_RULE,
        of: Measurable::Pitch(face),
        is_new,
    }
}

/// A tape between two named points or a pitch reading, taken again.
pub(super) fn again(minimum: &Minimum<'_>, covariance: &Covariance, kind: &ObservationKind) -> Option<Candidate> {
    match kind {
        ObservationKind::Tape { from, to, .. } => {
            let [a, b] = [from, to].map(|point| station(minimum, covariance, point.index()));
            Some(tape(&a, &b, false)).filter(|_| a.at != b.at)
        }
        ObservationKind::PitchReading { face, .. } => Some(pitch(minimum, covariance, face.index(), false)),
        _ => None,
    }
}

fn station(minimum: &Minimum<'_>, covariance: &Covariance, point: usize) -> Reachable {
    let place = minimum.network.point_place[point];
    let first = covariance.point(point);
    Reachable {
        station: Station::Point(PointId::new(point)),
        place,
        coordinates: [0, 1, 2].map(|k| Some(first + k)),
        at: minimum.state.places[place],
    }
}

/// The tape between corners of a face and the pitch reading that would each hold its corners well enough by itself.
pub(super) fn fixes(minimum: &Minimum<'_>, covariance: &Covariance, face: usize) -> Vec<Proposal> {
    let points = &minimum.network.survey.faces[face].points;
    let place = |point: PointId| minimum.network.point_place[point.index()];
    let at = |point: PointId| minimum.state.places[place(point)];
    let ring: Vec<usize> =
        points.iter().flat_map(|point| (0..3).map(move |k| covariance.point(point.index()) + k)).collect();
    let extent = points.iter().flat_map(|&a| points.iter().map(move |&b| (at(a) - at(b)).norm())).fold(0.0, f64::max);
    let open = covariance.open_directions() * UNSURE;
    let after = |slopes: &[(usize, f64)], sigma: f64| -> f64 {
        let mut along = DVector::zeros(open.ncols());
        for &(c, slope) in slopes {
            along += open.row(c).transpose() * slope;
        }
        let carried = DVector::from_vec(covariance.carried(slopes)) + &open * along;
        let own: f64 = slopes.iter().map(|&(c, slope)| slope * carried[c]).sum();
        let left = |&c: &usize| {
            let variance = covariance.entry(c, c) + open.row(c).norm_squared();
            (variance - carried[c] * carried[c] / (sigma * sigma + own)).max(0.0)
        };
        ring.iter().map(left).sum::<f64>().sqrt()
    };
    let enough = |found: &(f64, Proposal)| found.0 < LARGEST_SD * extent;
    let mut tapes: Vec<(f64, Proposal)> = Vec::new();
    let measured = measured(minimum);
    for (i, &a) in points.iter().enumerate() {
        for &b in &points[i + 1..] {
            let (way, length) = (at(b) - at(a), (at(b) - at(a)).norm());
            let pair = (place(a).min(place(b)), place(a).max(place(b)));
            if length > 0.0 && !measured.contains(&pair) {
                let from = [covariance.point(a.index()), covariance.point(b.index())];
                let slopes: Vec<(usize, f64)> =
                    (0..3).flat_map(|k| [(from[1] + k, way[k] / length), (from[0] + k, -way[k] / length)]).collect();
                let proposal = Proposal::Tape(Station::Point(a), Station::Point(b));
                tapes.push((after(&slopes, sigma::STEEL_TAPE.of(length)), proposal));
            }
        }
    }
    let pitch = quantity::pitch(&face_ring(minimum, covariance, face));
    let reading = (after(&pitch.gradient, sigma::PITCH_LEVEL_AND_RULE), Proposal::PitchReading(PlaneId::new(face)));
    let tape = tapes.into_iter().filter(enough).min_by(|a, b| a.0.total_cmp(&b.0));
    tape.into_iter().chain(Some(reading).filter(enough)).map(|found| found.1).collect()
}

/// The part of a variance that comes from what is not determined.
fn open_part(open: &DMatrix<f64>, slopes: &[(usize, f64)]) -> f64 {
    let along = open.column_iter().map(|direction| slopes.iter().map(|&(i, s)| s * direction[i]).sum::<f64>());
    along.map(|along| along * along).sum()
}

fn total_area(minimum: &Minimum<'_>, covariance: &Covariance) -> Option<Quantity> {
    let mut total = Quantity { value: 0.0, gradient: Vec::new() };
    for face in 0..minimum.network.survey.faces.len() {
        let area = quantity::area(&face_ring(minimum, covariance, face));
        total.value += area.value;
        total.gradient.extend(area.gradient);
    }
    for (index, ring) in minimum.network.rings.iter().enumerate() {
        let first = minimum.network.ring_first[index];
        let corners: Vec<_> =
            (0..ring.corners()).map(|k| (covariance.corner(index, k), minimum.state.places[first + k].xy())).collect();
        let area = quantity::plan_area(&corners);
        let sign = if ring.ring == 0 { 1.0 } else { -1.0 };
        total.value += sign * area.value;
        total.gradient.extend(area.gradient.into_iter().map(|(c, s)| (c, sign * s)));
    }
    (total.value > 0.0).then_some(total)
}

/// Corners of outlines and points no higher than so far above the eaves.
fn reachable(minimum: &Minimum<'_>, covariance: &Covariance, above: f64) -> Vec<Reachable> {
    let network = minimum.network;
    let survey = network.survey;
    let height = |p: &crate::base::ids::PointId| minimum.state.places[network.point_place[p.index()]].z;
    let eaves = survey.faces.iter().flat_map(|face| &face.points).map(height).fold(f64::INFINITY, f64::min);
    let mut list = Vec::new();
    for (index, point) in survey.points.iter().enumerate() {
        let reached = station(minimum, covariance, index);
        if reached.at.z <= eaves + above || matches!(point.known, Known::Corner(_)) {
            list.push(reached);
        }
    }
    for (index, ring) in network.rings.iter().enumerate() {
        for k in 0..ring.corners() {
            let place = network.ring_first[index] + k;
            if network.point_place.contains(&place) {
                continue;
            }
            let station = Station::Corner(side_id(network.rings, index, k));
            let first = covariance.corner(index, k);
            let coordinates = [Some(first), Some(first + 1), None];
            list.push(Reachable { station, place, coordinates, at: minimum.state.places[place] });
        }
    }
    list
}

/// Whether a tape can be stretched between the two: level or plumb, and not through the building under its roof. The
/// corners of outlines are taken to be free of each other: diagonals are taped on the plates.
fn is_free(minimum: &Minimum<'_>, a: &Reachable, b: &Reachable) -> bool {
    let way = b.at - a.at;
    if way.z.abs() > LEVEL_WITHIN && way.xy().norm() > LEVEL_WITHIN {
        return false;
    }
    let network = minimum.network;
    network.survey.faces.iter().all(|face| {
        let ring: Vec<Point2<f64>> =
            face.points.iter().map(|p| minimum.state.places[network.point_place[p.index()]].xy()).collect();
        [0.25, 0.5, 0.75].iter().all(|part| {
            let at = a.at.xy() + way.xy() * *part;
            !contains(&ring, &at) || from_edges(&ring, &at) < INSIDE
        })
    })
}

/// Distance of a place from the nearest edge of a ring.
fn from_edges(ring: &[Point2<f64>], at: &Point2<f64>) -> f64 {
    let ends = ring.iter().zip(ring.iter().cycle().skip(1));
    ends.map(|(a, b)| {
        let way = b - a;
        let along = ((at - a).dot(&way) / way.norm_squared()).clamp(0.0, 1.0);
        (at - (a + way * along)).norm()
    })
    .fold(f64::INFINITY, f64::min)
}

/// The pairs of places, the smaller number first, between which a length has been measured.
fn measured(minimum: &Minimum<'_>) -> BTreeSet<(usize, usize)> {
    let network = minimum.network;
    let equations = network.weighted.iter().chain(&network.exact);
    equations
        // A part without a size keeps a distance as it starts: nobody measured that.
        .filter(|equation| equation.source != Source::Datum)
        .filter_map(|equation| match equation.term {
            Term::Distance(p, q) | Term::LevelDistance(p, q) => Some((p.min(q), p.max(q))),
            _ => None,
        })
        .collect()
}
