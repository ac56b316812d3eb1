//! Every edge of a solved roof that a placed photo shows, measured in the picture.

use super::grey::Grey;
use super::line::{Search, Station, line_along};
use super::refusal::Refusal;
use super::seen::Screens;
use crate::base::ids::PointId;
use crate::roof::Roof;
use crate::survey::model::{Known, ObservationKind, RingInput, Survey};
use crate::survey::report::Report;
use crate::survey::sight::Sight;
use nalgebra::Point3;
use std::collections::{BTreeMap, BTreeSet};

/// An edge that a photo should show.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeInPhoto {
    /// An index into [`Survey::photos`].
    pub photo: usize,
    /// The points at its ends.
    pub ends: [PointId; 2],
    /// Where it was found, or why not.
    pub found: Result<Found, Refusal>,
}

/// Where an edge was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// Places along it, pixels.
    pub at: Vec<[f64; 2]>,
    /// Standard deviation of a place's distance from the ideal edge, pixels: the picture's, and what real edges are out of
    /// straight.
    pub sigma: f64,
    /// The picture's part of it, pixels.
    pub in_picture: f64,
    /// The part of it that was looked at and shows.
    pub share: f64,
    /// How far it lies from where it was expected, in the mean, pixels.
    pub off: f64,
}

/// How far a real edge is out of straight, metres: a standard deviation for places half a metre or more apart. Common
/// practice for boarded roofs, no source.
pub const STRAIGHT: f64 = 0.003;
/// Distance between profiles, pixels.
const PACE: f64 = 4.0;
/// Profiles along an edge at most.
const MOST_PROFILES: usize = 240;
/// Places that an edge gives at most.
const MOST_PLACES: usize = 8;
/// Near its ends other edges meet it: so many pixels are left out.
const END: f64 = 10.0;
/// How far below the roof walls reach at most, metres.
const WALLS: f64 = 30.0;

/// The pairs of points between which an edge may be seen: neighbours in a face by points, neighbouring corners of a block,
/// and points that stand plumb over each other, as the corner of a wall joins them. In order.
#[must_use]
pub fn pairs(rings: &[RingInput<'_>], survey: &Survey) -> Vec<[PointId; 2]> {
    let mut pairs = BTreeSet::new();
    let mut add = |a: PointId, b: PointId| {
        if a != b {
            pairs.insert([a.min(b), a.max(b)]);
        }
    };
    for face in &survey.faces {
        let next = face.points.iter().cycle().skip(1);
        face.points.iter().zip(next).for_each(|(&a, &b)| add(a, b));
    }
    for observation in &survey.observations {
        if let ObservationKind::Plumb { a, b } = observation.kind {
            add(a, b);
        }
    }
    let corner = |(index, point): (usize, &crate::survey::model::Point)| match point.known {
        Known::Corner(side) => Some(((side.block.index(), side.ring, side.side), PointId::new(index))),
        _ => None,
    };
    let corners: BTreeMap<(usize, u32, u32), PointId> = survey.points.iter().enumerate().filter_map(corner).collect();
    let mut block = 0;
    for (index, input) in rings.iter().enumerate() {
        block += usize::from(input.ring == 0 && index > 0);
        let Ok(ring) = u32::try_from(input.ring) else { continue };
        let count = u32::try_from(input.sides.len()).unwrap_or(0);
        for side in 0..count {
            let ends = [side, (side + 1) % count].map(|side| corners.get(&(block, ring, side)));
            if let [Some(&a), Some(&b)] = ends {
                add(a, b);
            }
        }
    }
    pairs.into_iter().collect()
}

/// Measures every edge that a photo shows, within `reach` pixels of where it is expected. Edges that are hidden or out of
/// the picture are not told of. O(edges × profiles × reach).
#[must_use]
pub fn edges(
    pairs: &[[PointId; 2]],
    (survey, roof, report): (&Survey, &Roof, &Report),
    photo: usize,
    grey: &Grey,
    reach: f64,
) -> Vec<EdgeInPhoto> {
    // A plan's lines were drawn: nothing is found at their flanks.
    let Some(sight) = report.photos.get(photo).copied().flatten().filter(|_| survey.photos[photo].sheet.is_none())
    else {
        return Vec::new();
    };
    let screens = Screens::of(roof, WALLS);
    // A picture of another size than the marks count in.
    let size = survey.photos[photo].size;
    if grey.size().map(|side| side as f64) != size {
        return Vec::new();
    }
    let of = |&ends: &[PointId; 2]| {
        let places = ends.map(|end| report.points.get(end.index()).filter(|point| point.located).map(|point| point.at));
        let [Some(a), Some(b)] = places else { return None };
        let seen = in_view(&sight, &screens, [a, b])?;
        let found = measured(&sight, [a, b], &seen, grey, reach);
        Some(EdgeInPhoto { photo, ends, found })
    };
    pairs.iter().filter_map(of).collect()
}

/// The shares of an edge, evenly spaced, that are seen: the longest part in one piece. `None` where hardly any is.
fn in_view(sight: &Sight, screens: &Screens, ends: [Point3<f64>; 2]) -> Option<Vec<f64>> {
    let at = |share: f64| ends[0] + (ends[1] - ends[0]) * share;
    let trail = sight.trail(ends, [0.0, 1.0]);
    let length: f64 = trail.windows(2).map(|pair| (pair[1] - pair[0]).norm()).sum();
    if length < 2.0 * END {
        return None;
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let count = ((length / PACE).ceil() as usize).clamp(4, MOST_PROFILES);
    let end = (END / length).min(0.3);
    let hiding = screens.but_own(ends);
    let mut runs: Vec<Vec<f64>> = vec![Vec::new()];
    for step in 0..=count {
        let share = end + (1.0 - 2.0 * end) * step as f64 / count as f64;
        let place = at(share);
        let inside = sight
            .pixel(&place)
            .is_some_and(|pixel| pixel.x > 0.0 && pixel.y > 0.0 && pixel.x < sight.size[0] && pixel.y < sight.size[1]);
        if inside && hiding.sees(&sight.pose.centre, &place) {
            if let Some(run) = runs.last_mut() {
                run.push(share);
            }
        } else if runs.last().is_some_and(|run| !run.is_empty()) {
            runs.push(Vec::new());
        }
    }
    let longest = runs.into_iter().max_by_key(Vec::len)?;
    (longest.len() >= 4).then_some(longest)
}

fn measured(sight: &Sight, ends: [Point3<f64>; 2], shares: &[f64], grey: &Grey, reach: f64) -> Result<Found, Refusal> {
    let at = |share: f64| ends[0] + (ends[1] - ends[0]) * share;
    let pixel = |share: f64| sight.pixel(&at(share));
    let gap = (shares[1] - shares[0]) / 2.0;
    let station = |&share: &f64| {
        let (here, before, after) = (pixel(share)?, pixel(share - gap)?, pixel(share + gap)?);
        let along = (after - before).try_normalize(f64::MIN_POSITIVE)?;
        Some(Station { at: [here.x, here.y], across: [-along.y, along.x] })
    };
    let stations: Vec<Station> = shares.iter().filter_map(station).collect();
    if stations.len() != shares.len() {
        return Err(Refusal::Outside);
    }
    let piece = stations.len().div_ceil(MOST_PLACES).max(4);
    let line = line_along(grey, &stations, &Search { reach, along: 2, alone: true, piece })?;
    let middle = at(f64::midpoint(shares[0], shares[shares.len() - 1]));
    let depth = (sight.pose.rotation * (middle - sight.pose.centre)).z;
    let straight = STRAIGHT * sight.lens.focal() / depth;
    let count = line.places.len();
    if count < 2 {
        return Err(Refusal::Nothing);
    }
    let in_picture = (line.places.iter().map(|place| place.sigma.powi(2)).sum::<f64>() / count as f64).sqrt();
    Ok(Found {
        at: line.places.iter().map(|place| place.at).collect(),
        sigma: straight.hypot(in_picture),
        in_picture,
        share: line.share,
        off: f64::midpoint(line.off[0], line.off[1]),
    })
}
