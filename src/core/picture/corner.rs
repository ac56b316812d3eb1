//! A corner found in a photo near a place that was pointed at: where edges meet that start from it.
//!
//! From places about the one pointed at, brightness is compared on both sides of rays in all directions. Where two or more
//! rays run along edges, those edges are measured as lines ([`super::line`]), from a little away of the corner where they
//! do not blur into each other, and the corner is the place nearest to all of them (least squares, each line by its own
//! covariance).

use super::grey::Grey;
use super::line::{PictureLine, Search, Station, line_along, straight};
use super::refusal::Refusal;
use crate::base::order::SortByNumber as _;
use nalgebra::{Matrix2, Vector2};

/// A corner that was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Corner {
    /// Pixels.
    pub at: [f64; 2],
    /// Covariance of its coordinates, square pixels.
    pub covariance: Matrix2<f64>,
    /// Directions of the edges that meet there, unit vectors away from it.
    pub edges: Vec<[f64; 2]>,
}

impl Corner {
    /// Standard deviation of each coordinate, in the mean of both, pixels.
    #[must_use]
    pub fn sigma(&self) -> f64 {
        (self.covariance.trace() / 2.0).sqrt()
    }
}

/// Edges are looked at from this far from the corner, pixels: nearer they blur into each other ...
const FROM: f64 = 4.0;
/// ... to this far.
const TO: f64 = 40.0;
/// Directions that are tried.
const DIRECTIONS: usize = 72;
/// Distance between places that are tried, pixels.
const GRID: f64 = 2.0;
/// Distance between samples along a ray, pixels.
const PACE: f64 = 2.0;
/// Samples stand this far on either side of a ray, pixels.
const BESIDE: f64 = 1.3;
/// Brightness must differ by this between the sides of a ray.
const LEAST_STEP: f64 = 5.0;
/// Edges cross when the sine of their angle is at least this.
const CROSSES: f64 = 0.3;
/// Directions nearer than this to each other are one edge, steps of [`DIRECTIONS`].
const ONE_EDGE: usize = 4;
/// Edges that are followed from one place at most.
const MOST_EDGES: usize = 4;
/// Places that are looked at closely.
const TRIED: usize = 10;
/// Corners nearer to each other are one, pixels.
const SAME: f64 = 0.7;
/// Corners farther apart than this are different ones, pixels.
const RIVAL: f64 = 1.5;
/// Another corner is as good from this part of the best one's worth on ...
const AS_GOOD: f64 = 0.5;
/// ... unless it is farther from the place pointed at by this, pixels.
const NEARER: f64 = 3.0;
/// How far from a ray its edge is looked for, pixels.
const REACH: f64 = 3.0;
/// Into so many pieces an edge is cut, the first of which must show it: the line of one that begins farther off, produced
/// backwards, crosses others where no corner is.
const PIECES: usize = 4;
/// Edges that miss one place by more than this many of their standard deviations do not meet there.
const MEETS: f64 = 4.0;
/// Half a pixel is forgiven before that: corners of real roofs are not sharp.
const FORGIVEN: f64 = 0.5;

/// Looks for a corner within `reach` pixels of a place.
///
/// # Errors
/// [`Refusal`]: outside, nothing there, one edge alone, or edges that do not meet. O(reach² × directions).
pub fn corner_near(grey: &Grey, place: [f64; 2], reach: f64) -> Result<Corner, Refusal> {
    let [width, height] = grey.size().map(|side| side as f64);
    let border = 8.0;
    if !(place[0] >= border && place[1] >= border && place[0] <= width - border && place[1] <= height - border) {
        return Err(Refusal::Outside);
    }
    let mut tries = places(grey, place, reach);
    tries.sort_by_largest(|a| a.worth);
    let mut found: Vec<Candidate> = Vec::new();
    let mut refused = Refusal::Nothing;
    let mut looked: Vec<[f64; 2]> = Vec::new();
    for attempt in tries {
        if looked.len() >= TRIED {
            break;
        }
        if looked.iter().any(|&other| apart(other, attempt.at) < 1.5 * GRID) {
            continue;
        }
        looked.push(attempt.at);
        // From where its edges meet, all that start there are looked for once more.
        let again = |corner: Corner| match self::attempt(grey, corner.at).map(|attempt| refined(grey, &attempt)) {
            Some(Ok(better)) if better.edges.len() >= corner.edges.len() && apart(better.at, corner.at) < GRID => {
                better
            }
            _ => corner,
        };
        match refined(grey, &attempt).map(again) {
            Ok(corner) => {
                let off = apart(corner.at, place);
                let is_known = found.iter().any(|other| {
                    apart(other.corner.at, corner.at) < SAME && other.corner.edges.len() >= corner.edges.len()
                });
                if off <= reach && !is_known {
                    found.push(Candidate { worth: attempt.worth, off, corner });
                }
            }
            Err(why) => refused = refused.max(why),
        }
    }
    chosen(found, reach, refused)
}

/// A corner that may be meant.
struct Candidate {
    worth: f64,
    /// How far from the place pointed at, pixels.
    off: f64,
    corner: Corner,
}

/// The corner where most edges meet, plainest and nearest; none where another is as good and as near.
fn chosen(mut found: Vec<Candidate>, reach: f64, refused: Refusal) -> Result<Corner, Refusal> {
    let rank = |candidate: &Candidate| {
        let edges = candidate.corner.edges.len().min(3) as f64;
        let far = (candidate.off / reach).powi(2);
        candidate.worth * (edges - 1.0) * (1.0 - 0.7 * far) / (0.2 + candidate.corner.sigma())
    };
    found.sort_by_largest(|a| rank(a));
    let best = found.first().ok_or(refused)?;
    let is_rival = |other: &Candidate| {
        apart(other.corner.at, best.corner.at) > RIVAL
            && rank(other) > AS_GOOD * rank(best)
            && other.off < best.off + NEARER
    };
    if found[1..].iter().any(is_rival) {
        return Err(Refusal::Several);
    }
    Ok(found.swap_remove(0).corner)
}

fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// A place with rays that run along edges.
struct Attempt {
    at: [f64; 2],
    /// Plainest first.
    rays: Vec<f64>,
    worth: f64,
}

fn places(grey: &Grey, place: [f64; 2], reach: f64) -> Vec<Attempt> {
    #[allow(clippy::cast_possible_truncation)]
    let cells = (reach / GRID).ceil() as i64;
    let mut list = Vec::new();
    for row in -cells..=cells {
        for column in -cells..=cells {
            let off = [column as f64 * GRID, row as f64 * GRID];
            let far = off[0].hypot(off[1]) / reach;
            if far > 1.0 {
                continue;
            }
            if let Some(mut attempt) = attempt(grey, [place[0] + off[0], place[1] + off[1]]) {
                // What is pointed at is nearer than what lies about it.
                attempt.worth *= 1.0 - 0.5 * far * far;
                list.push(attempt);
            }
        }
    }
    list
}

fn direction(step: f64) -> [f64; 2] {
    let angle = step * std::f64::consts::TAU / DIRECTIONS as f64;
    [angle.cos(), angle.sin()]
}

/// The mean difference of brightness between the sides of a ray.
fn step(grey: &Grey, at: [f64; 2], along: [f64; 2]) -> f64 {
    let (mut sum, mut count, mut far) = (0.0, 0_u32, FROM);
    while far <= TO {
        let side = |by: f64| {
            let place = [at[0] + along[0] * far - along[1] * by, at[1] + along[1] * far + along[0] * by];
            grey.at(place).map(|at| at.stored)
        };
        if let (Some(left), Some(right)) = (side(-BESIDE), side(BESIDE)) {
            sum += right - left;
            count += 1;
        }
        far += PACE;
    }
    if f64::from(count) * PACE * 2.0 < TO - FROM { 0.0 } else { (sum / f64::from(count)).abs() }
}

fn attempt(grey: &Grey, at: [f64; 2]) -> Option<Attempt> {
    let steps: Vec<f64> = (0..DIRECTIONS).map(|ray| step(grey, at, direction(ray as f64))).collect();
    let around = |ray: usize, by: usize| steps[(ray + by) % DIRECTIONS];
    let mut peaks: Vec<usize> = (0..DIRECTIONS)
        .filter(|&ray| {
            let here = steps[ray];
            here > LEAST_STEP
                && (1..=ONE_EDGE).all(|by| here >= around(ray, by) && here >= around(ray, DIRECTIONS - by))
        })
        .collect();
    peaks.sort_by_largest(|a| steps[*a]);
    peaks.truncate(MOST_EDGES);
    let first = *peaks.first()?;
    let crossing = |a: usize, b: usize| {
        let (u, v) = (direction(a as f64), direction(b as f64));
        (u[0] * v[1] - u[1] * v[0]).abs()
    };
    // The best pair that crosses.
    let mut worth = 0.0_f64;
    for (index, &a) in peaks.iter().enumerate() {
        for &b in &peaks[index + 1..] {
            if crossing(a, b) >= CROSSES {
                worth = worth.max(steps[a].min(steps[b]));
            }
        }
    }
    if worth == 0.0 {
        // One edge is told as such when nothing better is found.
        return (steps[first] > 2.0 * LEAST_STEP).then(|| Attempt { at, rays: vec![first as f64], worth: 1e-3 });
    }
    let third: f64 = peaks.iter().skip(2).map(|&ray| steps[ray]).sum();
    Some(Attempt { at, rays: peaks.iter().map(|&ray| ray as f64).collect(), worth: worth + 0.2 * third })
}

/// An edge through the corner: a place on it, the unit vector along it away from the corner, and the variance of the edge's
/// distance from a place at the corner.
struct Ray {
    on: Vector2<f64>,
    along: Vector2<f64>,
    variance: f64,
}

fn refined(grey: &Grey, attempt: &Attempt) -> Result<Corner, Refusal> {
    let mut at = Vector2::from(attempt.at);
    let mut ways: Vec<Vector2<f64>> = attempt.rays.iter().map(|&ray| Vector2::from(direction(ray))).collect();
    let mut found = None;
    for _ in 0..3 {
        let rays: Vec<Ray> = ways.iter().filter_map(|way| ray(grey, at, *way).ok()).collect();
        let (corner, kept) = meeting(&rays)?;
        let moved = (corner.0 - at).norm();
        if moved > 2.0 * GRID + REACH {
            return Err(Refusal::NotOnePlace);
        }
        at = corner.0;
        ways.clone_from(&kept);
        found = Some((corner, kept));
        if moved < 0.02 {
            break;
        }
    }
    let ((at, covariance), kept) = found.ok_or(Refusal::Nothing)?;
    Ok(Corner { at: [at.x, at.y], covariance, edges: kept.iter().map(|way| [way.x, way.y]).collect() })
}

/// The edge along a ray from a place.
fn ray(grey: &Grey, at: Vector2<f64>, way: Vector2<f64>) -> Result<Ray, Refusal> {
    let place = |far: f64| {
        let place = at + way * far;
        [place.x, place.y]
    };
    let stations: Vec<Station> = straight(place(FROM), place(TO), 1.5);
    let search = Search { reach: REACH, along: 0, alone: false, piece: stations.len().div_ceil(PIECES).max(1) };
    let PictureLine { off, covariance, places, .. } = line_along(grey, &stations, &search)?;
    let first_piece = FROM + (TO - FROM) / PIECES as f64;
    if !places.iter().any(|place| (Vector2::from(place.at) - at).dot(&way) <= first_piece) {
        return Err(Refusal::Nothing);
    }
    let (Some(first), Some(last)) = (stations.first(), stations.last()) else { return Err(Refusal::TooShort) };
    let shifted = |station: &Station, by: f64| Vector2::from(station.at) + Vector2::from(station.across) * by;
    let (on, end) = (shifted(first, off[0]), shifted(last, off[1]));
    // At the corner the line is continued backwards: offsets by shares -FROM / (TO - FROM) and the rest.
    let back = FROM / (TO - FROM);
    let weights = Vector2::new(1.0 + back, -back);
    let variance = (weights.transpose() * covariance * weights).x;
    Ok(Ray { on, along: (end - on).normalize(), variance })
}

/// The place nearest to all edges, with its covariance, and the directions of those that meet there. Where they do not all
/// meet, the one whose absence helps most is left out.
#[allow(clippy::type_complexity)]
fn meeting(rays: &[Ray]) -> Result<((Vector2<f64>, Matrix2<f64>), Vec<Vector2<f64>>), Refusal> {
    if rays.len() < 2 {
        return Err(if rays.is_empty() { Refusal::Nothing } else { Refusal::OneEdge });
    }
    let all: Vec<usize> = (0..rays.len()).collect();
    let mut sets = vec![all.clone()];
    if rays.len() > 2 {
        // Without each in turn, the plainest last to go.
        sets.extend((0..rays.len()).rev().map(|left| all.iter().copied().filter(|&k| k != left).collect()));
    }
    let mut crossed = false;
    for set in sets {
        let crosses = set.iter().any(|&a| set.iter().any(|&b| rays[a].along.perp(&rays[b].along).abs() >= CROSSES));
        if !crosses {
            continue;
        }
        crossed = true;
        let (mut normal, mut right) = (Matrix2::zeros(), Vector2::zeros());
        let across = |ray: &Ray| Vector2::new(-ray.along.y, ray.along.x);
        for &k in &set {
            let n = across(&rays[k]);
            normal += n * n.transpose() / rays[k].variance;
            right += n * (n.dot(&rays[k].on) / rays[k].variance);
        }
        let Some(covariance) = normal.try_inverse() else { continue };
        let at = covariance * right;
        let miss = |k: &usize| across(&rays[*k]).dot(&(at - rays[*k].on)).abs();
        let fits = set.iter().all(|k| miss(k) <= FORGIVEN + MEETS * rays[*k].variance.sqrt());
        if !fits {
            continue;
        }
        let squares: f64 = set.iter().map(|k| miss(k).powi(2) / rays[*k].variance).sum();
        let spare = set.len().saturating_sub(2);
        let wider = if spare > 0 { (squares / spare as f64).max(1.0) } else { 1.0 };
        return Ok(((at, covariance * wider), set.iter().map(|&k| rays[k].along).collect()));
    }
    Err(if crossed { Refusal::NotOnePlace } else { Refusal::OneEdge })
}
