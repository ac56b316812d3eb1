//! Wings that run on over the block they stand against until they meet its roof, however short they were measured.
//!
//! The side by which a wing runs in is moved on along the lines of its two neighbours to where the other roof covers all of
//! the wing's end. What of the wing then lies under that roof is hidden, so the two meet in valleys where their planes do.

use super::error::SolveError;
use super::options::Options;
use super::solve::solve_one;
use crate::base::name::SideName;
use crate::base::polygon::{contains, extent};
use crate::base::tolerance;
use crate::outline::{Footprint, Ring, RunIn};
use crate::roof::model::Roof;
use crate::roof::model::finding::Finding;
use nalgebra::{Point2, Vector2};
use std::borrow::Cow;

/// A wing's neighbours of its inner side must lead on into the other block: the cosine of how far they turn from straight in.
const LEADS_IN: f64 = 0.1;
/// An end that lies deeper than this under the other roof is surely covered, metres.
const WELL_UNDER: f64 = 0.001;

/// The footprints with every wing run on, and what is to be told of it. A wing that comes under no roof stays as it is.
/// O(c² + c s) for c places where a roof to run into changes along the wing and s edges of that roof.
///
/// # Errors
/// A block to be run into that makes no roof by itself.
pub fn run_in<'a>(
    footprints: &'a [Footprint],
    wings: &[RunIn],
    options: &Options,
) -> Result<(Cow<'a, [Footprint]>, Vec<Finding>), SolveError> {
    let mut all = Cow::Borrowed(footprints);
    let mut findings = Vec::new();
    if wings.is_empty() {
        return Ok((all, findings));
    }
    let is_wing = |index: usize| wings.iter().any(|wing| wing.block == index);
    let mut hosts: Vec<Option<Roof>> = Vec::with_capacity(footprints.len());
    for (index, footprint) in footprints.iter().enumerate() {
        hosts.push(if is_wing(index) { None } else { Some(solve_one(footprint, options)?) });
    }
    for wing in wings {
        let Some(footprint) = all.get(wing.block) else { continue };
        let Some(side) = footprint.rings[0].sides.iter().position(|side| side.name == wing.side) else { continue };
        let name = SideName::new(&footprint.name, &wing.side);
        match End::of(footprint, side, wing.wall).and_then(|end| end.under(footprints, &hosts, options)) {
            Some((host, run_on)) => {
                findings.push(Finding::RunsOn { wing: name, over: footprints[host].name.as_str().into() });
                all.to_mut()[wing.block] = run_on;
            }
            None => findings.push(Finding::NoRoofToRunInto { wing: name }),
        }
    }
    Ok((all, findings))
}

/// Tells on a roof how its wings ran in, first; that a wing stops which was to run in need not be told as well.
pub fn tell(roof: &mut Roof, run_on: Vec<Finding>) {
    let is_told = |side: &SideName| run_on.contains(&Finding::NoRoofToRunInto { wing: side.clone() });
    roof.findings.retain(|finding| !matches!(finding, Finding::StopsAtWall { side, .. } if is_told(side)));
    roof.findings.splice(0..0, run_on);
}

/// A wing's inner side.
struct End<'a> {
    wing: &'a Footprint,
    side: usize,
    /// Its place in the ring of wall lines.
    wall: usize,
    /// Its ends, and which way its neighbours lead on from there for each metre straight in.
    ends: [(Point2<f64>, Vector2<f64>); 2],
    /// Straight out of the wing.
    out: Vector2<f64>,
}

/// The ends of a ring's side with the ways its neighbours lead on for each metre along `out`; `None` where they do not.
fn leads(corners: &[Point2<f64>], side: usize, out: &Vector2<f64>) -> Option<[(Point2<f64>, Vector2<f64>); 2]> {
    let at = |k: usize| corners[(side + k) % corners.len()];
    let (before, start, end, after) = (at(corners.len() - 1), at(0), at(1), at(2));
    let lead = |from: Point2<f64>, to: Point2<f64>| {
        let way = (to - from).try_normalize(0.0)?;
        let along = way.dot(out);
        (along > LEADS_IN).then(|| (to, way / along))
    };
    Some([lead(before, start)?, lead(after, end)?])
}

/// The outward normal of a side of an anticlockwise ring.
fn outward(corners: &[Point2<f64>], side: usize) -> Option<Vector2<f64>> {
    let along = (corners[(side + 1) % corners.len()] - corners[side]).try_normalize(0.0)?;
    Some(Vector2::new(along.y, -along.x))
}

impl<'a> End<'a> {
    fn of(wing: &'a Footprint, side: usize, wall: usize) -> Option<Self> {
        let corners = wing.rings[0].corners();
        let out = outward(&corners, side)?;
        let ends = leads(&corners, side, &out)?;
        Some(Self { wing, side, wall, ends, out })
    }

    /// The wing with its end this far on.
    fn moved(&self, by: f64) -> Option<Footprint> {
        let mut wing = self.wing.clone();
        let count = wing.rings[0].sides.len();
        for (k, (corner, way)) in self.ends.iter().enumerate() {
            wing.rings[0].sides[(self.side + k) % count].start = corner + way * by;
        }
        if let Some(walls) = &mut wing.walls {
            let ends = leads(&walls[0], self.wall, &self.out)?;
            let count = walls[0].len();
            for (k, (corner, way)) in ends.iter().enumerate() {
                walls[0][(self.wall + k) % count] = corner + way * by;
            }
        }
        Some(wing)
    }

    /// The block whose roof covers the end when the wing is run on, and the wing so.
    fn under(&self, footprints: &[Footprint], hosts: &[Option<Roof>], options: &Options) -> Option<(usize, Footprint)> {
        let middle = nalgebra::center(&self.ends[0].0, &self.ends[1].0);
        let beyond = middle + self.out * (options.join_gap + WELL_UNDER);
        let covers = |rings: &[Ring]| {
            let within = |ring: &Ring| contains(&ring.corners(), &beyond);
            within(&rings[0]) && !rings[1..].iter().any(within)
        };
        let is_host = |&index: &usize| hosts[index].is_some() && covers(&footprints[index].rings);
        let host = (0..footprints.len()).find(is_host)?;
        let roof = hosts[host].as_ref()?;
        let plan: Vec<Point2<f64>> = roof.corners.iter().map(nalgebra::Point3::xy).collect();
        let near = tolerance::default_for(extent(&plan)).max(10.0 * tolerance::SMALLEST);
        let own = solve_one(self.wing, options).ok()?;
        let mut touches = None;
        let changes = self.changes(roof, &plan, &profile(&own, &self.ends[0].0, &self.out, near), near);
        // First a shade beside them, where the end lies in no line of the other roof.
        let beside =
            changes.iter().flat_map(|by| [by - 2.0 * WELL_UNDER, by + 2.0 * WELL_UNDER]).filter(|by| *by > near);
        for by in beside.chain(changes.iter().copied()) {
            let Some(run_on) = self.moved(by) else { continue };
            let Ok(solved) = solve_one(&run_on, options) else { continue };
            let start = self.ends[0].0 + self.ends[0].1 * by;
            let above = cover(roof, &plan, &profile(&solved, &start, &self.out, near), (&start, &self.out), near);
            if above > WELL_UNDER {
                return Some((host, run_on));
            }
            if above >= -near {
                touches.get_or_insert((host, run_on));
            }
        }
        touches
    }

    /// How far on the other roof may begin or cease to cover the end: where its edges are passed by an end of the side, or by
    /// what rises over it.
    fn changes(&self, roof: &Roof, plan: &[Point2<f64>], profile: &[[f64; 2]], near: f64) -> Vec<f64> {
        let along = Vector2::new(-self.out.y, self.out.x);
        let straight = profile.iter().map(|[s, _]| (self.ends[0].0 + along * *s, self.out));
        let rays: Vec<(Point2<f64>, Vector2<f64>)> = self.ends.iter().copied().chain(straight).collect();
        let mut found: Vec<f64> = plan.iter().map(|corner| (corner - self.ends[0].0).dot(&self.out)).collect();
        for edge in &roof.edges {
            let (from, to) = (plan[edge.from.index()], plan[edge.to.index()]);
            found.extend(rays.iter().filter_map(|&(start, way)| crossing((start, way), (from, to))));
        }
        found.retain(|by| by.is_finite() && *by > near);
        found.sort_by(f64::total_cmp);
        found.dedup_by(|next, kept| *next - *kept <= near);
        found
    }
}

/// How far along a ray it passes a segment, in lengths of its way; `None` where it does not.
fn crossing((start, way): (Point2<f64>, Vector2<f64>), (from, to): (Point2<f64>, Point2<f64>)) -> Option<f64> {
    let side = to - from;
    let turn = way.perp(&side);
    let reach = from - start;
    let share = reach.perp(&way) / turn;
    (turn != 0.0 && (0.0..=1.0).contains(&share)).then(|| reach.perp(&side) / turn)
}

/// What of a roof rises over the line square to `out` through `start`: along it from there and height, highest where there
/// are several, in order.
fn profile(roof: &Roof, start: &Point2<f64>, out: &Vector2<f64>, near: f64) -> Vec<[f64; 2]> {
    let along = Vector2::new(-out.y, out.x);
    let on = roof.corners.iter().filter(|corner| (corner.xy() - start).dot(out).abs() <= near);
    let mut places: Vec<[f64; 2]> = on.map(|corner| [(corner.xy() - start).dot(&along), corner.z]).collect();
    places.sort_by(|a, b| a[0].total_cmp(&b[0]).then(b[1].total_cmp(&a[1])));
    places.dedup_by(|next, kept| next[0] - kept[0] <= near);
    places
}

/// By how much a roof lies above a profile at least, metres; negative infinity where it does not reach all over it.
fn cover(
    roof: &Roof,
    plan: &[Point2<f64>],
    profile: &[[f64; 2]],
    (start, out): (&Point2<f64>, &Vector2<f64>),
    near: f64,
) -> f64 {
    let (Some(first), Some(last)) = (profile.first(), profile.last()) else { return f64::NEG_INFINITY };
    let along = Vector2::new(-out.y, out.x);
    let mut places: Vec<f64> = profile.iter().map(|[s, _]| *s).collect();
    let edges = roof.edges.iter().map(|edge| (plan[edge.from.index()], plan[edge.to.index()]));
    let crossings = edges.filter_map(|edge| crossing((*start, along), edge));
    places.extend(crossings.filter(|s| *s > first[0] && *s < last[0]));
    // Both are linear between these places.
    let above = |s: f64| {
        let at = profile.partition_point(|[place, _]| *place < s).clamp(1, profile.len().max(2) - 1);
        let ([s0, z0], [s1, z1]) = (profile[at - 1], *profile.get(at).unwrap_or(&profile[at - 1]));
        let share = if s1 > s0 { (s - s0) / (s1 - s0) } else { 0.0 };
        height(roof, plan, &(start + along * s), near).map(|height| height - (z0 + (z1 - z0) * share))
    };
    places.into_iter().map(|s| above(s).unwrap_or(f64::NEG_INFINITY)).fold(f64::INFINITY, f64::min)
}

/// The height of a roof over a place; `None` beside it.
fn height(roof: &Roof, plan: &[Point2<f64>], place: &Point2<f64>, near: f64) -> Option<f64> {
    let ring = |ring: &[crate::base::ids::CornerId]| ring.iter().map(|id| plan[id.index()]).collect::<Vec<_>>();
    let is_over = |ring: &[Point2<f64>]| contains(ring, place) || from_ring(ring, place) <= near;
    let over = roof.roof_faces().filter(|(_, face)| {
        is_over(&ring(&face.ring))
            && !face.holes.iter().any(|hole| {
                let hole = ring(hole);
                contains(&hole, place) && from_ring(&hole, place) > near
            })
    });
    over.filter_map(|(_, face)| face.plane.height_at(place)).reduce(f64::max)
}

/// Distance of a place from the nearest edge of a ring.
fn from_ring(ring: &[Point2<f64>], place: &Point2<f64>) -> f64 {
    let ends = ring.iter().zip(ring.iter().cycle().skip(1));
    let away = |(from, to): (&Point2<f64>, &Point2<f64>)| {
        let along = to - from;
        let share = ((place - from).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
        (from + along * share - place).norm()
    };
    ends.map(away).fold(f64::INFINITY, f64::min)
}
