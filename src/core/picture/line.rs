//! A straight edge found in a photo near where it is expected.
//!
//! Brightness is sampled along profiles across the expected edge. Steps that are steeper than the texture about them are
//! kept; the line on which most of them agree is looked for among all lines within reach, and is believed when chance
//! would not bring so many together (in the manner of A. Desolneux, L. Moisan and J.-M. Morel, "Meaningful alignments",
//! 2000: expected number of false alarms). It is then fitted by least squares to the steps near it.

use super::chance::log_chance;
use super::grey::Grey;
use super::profile::{Profile, Step};
use super::refusal::Refusal;
use nalgebra::{Matrix2, Vector2};

/// A place on the expected edge, and the unit vector across it there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// Pixels.
    pub at: [f64; 2],
    /// To the right as one walks along the edge, y down.
    pub across: [f64; 2],
}

/// How a line is looked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Search {
    /// How far from the expected edge, pixels.
    pub reach: f64,
    /// Each profile is the mean over this many pixels on either side along the edge.
    pub along: usize,
    /// Whether a second edge beside it, as plain as the first, is a reason to refuse.
    pub alone: bool,
    /// The length of the pieces of which each gives a place, stations.
    pub piece: usize,
}

/// A place on an edge as the picture shows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Pixels.
    pub at: [f64; 2],
    /// Standard deviation across the edge, pixels.
    pub sigma: f64,
}

/// A line that was found.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureLine {
    /// How far it lies from the expected edge at the first and the last station, pixels, along [`Station::across`].
    pub off: [f64; 2],
    /// Covariance of the two, square pixels.
    pub covariance: Matrix2<f64>,
    /// Standard deviation of one profile's step about the line, pixels.
    pub scatter: f64,
    /// The part of the profiles that show it.
    pub share: f64,
    /// Step of brightness a pixel in the mean.
    pub slope: f64,
    /// One a piece that shows it.
    pub places: Vec<Place>,
}

/// Texture beside the edge is looked at within this many pixels on either side at least.
const BACKGROUND: f64 = 8.0;
/// A step counts when it is this many times the median slope about it ...
const OVER_TEXTURE: f64 = 3.0;
/// ... and at least this steep, brightness a pixel: a step of three grey levels, blurred.
const LEAST_SLOPE: f64 = 0.8;
/// A step this many times as steep as one that counts has no more say than this.
const MOST_SAY: f64 = 4.0;
/// Distance between lines that are tried, pixels.
const GRID: f64 = 0.5;
/// A step agrees with a line within this distance, pixels.
const AGREES: f64 = 1.0;
/// The fewest stations that a line is looked for along.
const LEAST_STATIONS: usize = 8;
/// The least part of the profiles that must show it.
const LEAST_SHARE: f64 = 0.25;
/// The logarithm of the number of false alarms that is put up with: one in a thousand.
const FALSE_ALARMS: f64 = -6.9;
/// Another line as far as this from the found one is another edge, pixels.
const APART: f64 = 2.5;
/// Another edge is as plain when it has this part of the votes.
const AS_PLAIN: f64 = 0.6;
/// Sampling of the picture itself may shift a place by this, pixels.
const SAMPLING: f64 = 0.05;
/// Light that is cut off on the bright side moves an edge towards the dark by up to about this, pixels.
const CUT_OFF: f64 = 0.4;
/// The fewest steps that a piece is located by.
const LEAST_IN_PIECE: usize = 4;

/// Looks for a straight edge near an expected one. Stations are evenly spaced along it, in order.
///
/// # Errors
/// [`Refusal`]: outside, too short, nothing there, or two edges side by side. O(stations × reach + reach² × stations).
pub fn line_along(grey: &Grey, stations: &[Station], search: &Search) -> Result<PictureLine, Refusal> {
    if stations.len() < LEAST_STATIONS {
        return Err(Refusal::TooShort);
    }
    let wide = search.reach.max(BACKGROUND);
    let profiles: Vec<Option<Profile>> =
        stations.iter().map(|station| Profile::new(grey, station.at, station.across, wide, search.along)).collect();
    let within = profiles.iter().flatten().count();
    if within < LEAST_STATIONS.max(stations.len() / 3) {
        return Err(Refusal::Outside);
    }
    let mut sizes: Vec<f64> = profiles.iter().flatten().flat_map(Profile::sizes).collect();
    let middle = sizes.len() / 2;
    let (_, median, _) = sizes.select_nth_unstable_by(middle, f64::total_cmp);
    let least = (OVER_TEXTURE * *median).max(LEAST_SLOPE);
    let seen = Seen {
        steps: profiles
            .iter()
            .map(|profile| profile.as_ref().map_or_else(Vec::new, |profile| profile.steps(search.reach, least)))
            .collect(),
        within,
        reach: search.reach,
        least,
    };
    seen.line(stations, search)
}

/// The steps that count.
struct Seen {
    /// Of each station.
    steps: Vec<Vec<Step>>,
    /// Stations within the picture.
    within: usize,
    reach: f64,
    least: f64,
}

/// Steps on one line: the share of the way along, the step.
type Agreeing = Vec<(usize, f64, Step)>;

impl Seen {
    fn share(&self, station: usize) -> f64 {
        station as f64 / (self.steps.len() - 1) as f64
    }

    /// What a line from one offset to the other is worth: each station's step nearest to it has a say by its steepness and
    /// by how near it is.
    fn votes(&self, from: f64, to: f64) -> f64 {
        let vote = |(station, steps): (usize, &Vec<Step>)| {
            let line = from + (to - from) * self.share(station);
            let format = |step: &Step| {
                let off = (step.off - line) / AGREES;
                (1.0 - off * off).max(0.0) * (step.slope.abs() / self.least).min(MOST_SAY)
            };
            steps.iter().map(format).fold(0.0, f64::max)
        };
        self.steps.iter().enumerate().map(vote).sum()
    }

    fn line(&self, stations: &[Station], search: &Search) -> Result<PictureLine, Refusal> {
        #[allow(clippy::cast_possible_truncation)]
        let cells = (self.reach / GRID).floor() as i64;
        let offs: Vec<f64> = (-cells..=cells).map(|cell| cell as f64 * GRID).collect();
        let table: Vec<f64> = offs
            .iter()
            .flat_map(|&from| offs.iter().map(move |&to| (from, to)))
            .map(|(from, to)| self.votes(from, to))
            .collect();
        let best = (0..table.len()).max_by(|&a, &b| table[a].total_cmp(&table[b])).ok_or(Refusal::Nothing)?;
        let ends = |cell: usize| [offs[cell / offs.len()], offs[cell % offs.len()]];
        let agreeing = self.agreeing(ends(best), AGREES);
        if !self.is_meant(agreeing.len(), table.len()) {
            return Err(Refusal::Nothing);
        }
        let fitted = self.fitted(ends(best)).ok_or(Refusal::Nothing)?;
        if search.alone {
            let rival = (0..table.len())
                .filter(|&cell| table[cell] > AS_PLAIN * table[best])
                .filter(|&cell| apart(ends(cell), fitted.off) > APART)
                .max_by(|&a, &b| table[a].total_cmp(&table[b]));
            if rival.is_some_and(|cell| self.is_meant(self.agreeing(ends(cell), AGREES).len(), table.len())) {
                return Err(Refusal::Several);
            }
        }
        Ok(self.describe(&fitted, stations, search))
    }

    /// Whether chance would not bring so many steps together on one of so many lines.
    fn is_meant(&self, agreeing: usize, lines: usize) -> bool {
        let count: usize = self.steps.iter().map(Vec::len).sum();
        let at_one = count as f64 / self.within as f64 * (AGREES / self.reach.max(AGREES)).min(1.0);
        let chance = 1.0 - (-at_one).exp();
        agreeing as f64 >= LEAST_SHARE * self.within as f64
            && agreeing >= LEAST_STATIONS.min(self.within)
            && (lines as f64).ln() + log_chance(self.within, agreeing, chance) < FALSE_ALARMS
    }

    /// The step nearest to a line at every station where one lies within a distance of it.
    fn agreeing(&self, [from, to]: [f64; 2], within: f64) -> Agreeing {
        let near = |(station, steps): (usize, &Vec<Step>)| {
            let share = self.share(station);
            let line = from + (to - from) * share;
            let step = *steps.iter().min_by(|a, b| (a.off - line).abs().total_cmp(&(b.off - line).abs()))?;
            ((step.off - line).abs() <= within).then_some((station, share, step))
        };
        self.steps.iter().enumerate().filter_map(near).collect()
    }

    fn fitted(&self, start: [f64; 2]) -> Option<Fitted> {
        let mut fitted = Fitted { off: start, scatter: AGREES / 2.0, normal: Matrix2::identity(), steps: Vec::new() };
        for _ in 0..4 {
            // Three standard deviations, never so few that the line can't move to where it belongs.
            let within = (3.0 * fitted.scatter).clamp(0.5, 1.5 * AGREES);
            fitted = fit(self.agreeing(fitted.off, within))?;
        }
        Some(fitted)
    }

    fn describe(&self, fitted: &Fitted, stations: &[Station], search: &Search) -> PictureLine {
        let Fitted { off, scatter, normal, steps } = fitted;
        let alike = correlation(fitted);
        let blown = steps.iter().filter(|(.., step)| step.is_blown).count() as f64 / steps.len().max(1) as f64;
        let floor = SAMPLING.powi(2) + blown * CUT_OFF.powi(2);
        let all = Matrix2::identity() * floor;
        let covariance = normal.try_inverse().map_or(all, |inverse| inverse * (scatter * scatter * alike) + all);
        let mut places = Vec::new();
        for piece in steps.chunk_by(|a, b| a.0 / search.piece == b.0 / search.piece) {
            if piece.len() < LEAST_IN_PIECE {
                continue;
            }
            let count = piece.len() as f64;
            let weight: f64 = piece.iter().map(|(.., step)| weight(step)).sum();
            let mean = |of: &dyn Fn(&(usize, f64, Step)) -> f64| {
                piece.iter().map(|entry| weight_of(entry) * of(entry)).sum::<f64>() / weight
            };
            let place = |axis: usize| {
                mean(&|(station, _, step)| stations[*station].at[axis] + stations[*station].across[axis] * step.off)
            };
            let sigma = (scatter * scatter * alike / count + floor).sqrt();
            places.push(Place { at: [place(0), place(1)], sigma });
        }
        let slope = steps.iter().map(|(.., step)| step.slope.abs()).sum::<f64>() / steps.len().max(1) as f64;
        let share = steps.len() as f64 / self.within as f64;
        PictureLine { off: *off, covariance, scatter: *scatter, share, slope, places }
    }
}

fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (f64::midpoint(a[0], a[1]) - f64::midpoint(b[0], b[1]))
        .abs()
        .max(0.5 * (a[0] - b[0]).abs().max((a[1] - b[1]).abs()))
}

/// A line through steps.
struct Fitted {
    off: [f64; 2],
    scatter: f64,
    /// Of the two offsets, weights 1 in the mean.
    normal: Matrix2<f64>,
    steps: Agreeing,
}

/// Noise shifts a steep step less, in proportion.
fn weight(step: &Step) -> f64 {
    step.slope * step.slope
}

fn weight_of((.., step): &(usize, f64, Step)) -> f64 {
    weight(step)
}

/// Least squares for the offsets at both ends.
fn fit(steps: Agreeing) -> Option<Fitted> {
    if steps.len() < LEAST_IN_PIECE {
        return None;
    }
    let most = {
        let mut weights: Vec<f64> = steps.iter().map(weight_of).collect();
        let middle = weights.len() / 2;
        // No step has more say than four of the middle one.
        4.0 * *weights.select_nth_unstable_by(middle, f64::total_cmp).1
    };
    let weights: Vec<f64> = steps.iter().map(|entry| weight_of(entry).min(most)).collect();
    let mean = weights.iter().sum::<f64>() / weights.len() as f64;
    let (mut normal, mut right) = (Matrix2::zeros(), Vector2::zeros());
    for ((_, share, step), weight) in steps.iter().zip(&weights) {
        let row = Vector2::new(1.0 - share, *share);
        normal += row * row.transpose() * (weight / mean);
        right += row * (step.off * weight / mean);
    }
    let solution = normal.try_inverse()? * right;
    let off = [solution.x, solution.y];
    let squares: f64 = residuals(&steps, off).zip(&weights).map(|(r, weight)| r * r * weight / mean).sum();
    let scatter = (squares / (steps.len() - 2).max(1) as f64).sqrt();
    Some(Fitted { off, scatter, normal, steps })
}

fn residuals(steps: &Agreeing, off: [f64; 2]) -> impl Iterator<Item = f64> + '_ {
    steps.iter().map(move |(_, share, step)| step.off - (off[0] + (off[1] - off[0]) * share))
}

/// By how much variances grow because neighbouring profiles err alike: (1 + r) / (1 − r) with the correlation r of
/// neighbours, as for a first-order process; never below 1, nor above 9.
fn correlation(fitted: &Fitted) -> f64 {
    let all: Vec<f64> = residuals(&fitted.steps, fitted.off).collect();
    let of: f64 = all.iter().map(|r| r * r).sum();
    let between: f64 = all.windows(2).map(|pair| pair[0] * pair[1]).sum();
    let r = if of > 0.0 { (between / of).clamp(0.0, 0.8) } else { 0.0 };
    (1.0 + r) / (1.0 - r)
}

/// Stations on a straight line between two pixels, evenly spaced by about `spacing` pixels.
#[must_use]
pub fn straight(from: [f64; 2], to: [f64; 2], spacing: f64) -> Vec<Station> {
    let way = [to[0] - from[0], to[1] - from[1]];
    let length = way[0].hypot(way[1]);
    if length < spacing {
        return Vec::new();
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let steps = (length / spacing).floor() as usize;
    let across = [-way[1] / length, way[0] / length];
    let station = |step: usize| {
        let share = step as f64 / steps as f64;
        Station { at: [from[0] + way[0] * share, from[1] + way[1] * share], across }
    };
    (0..=steps).map(station).collect()
}
