//! The same roof at other pitches: what changes in area, height, order, suitability, snow and rain.

use super::finding::Finding;
use super::model::Covering;
use super::take_off::{TakeoffInput, covering_item, take_off};
use super::{rain, snow};
use crate::base::estimate::{Assumption, Estimate, Reason};
use crate::base::units::Pitch;
use crate::roof::Roof;
use crate::roof::analysis::chord::longest_from_eave;
use crate::roof::analysis::drainage::drain;
use crate::roof::analysis::opening::CutOpening;

/// A roof solved at one pitch.
#[derive(Clone, Debug, Default)]
pub struct Trial {
    /// The roof.
    pub roof: Roof,
    /// Its openings.
    pub openings: Vec<CutOpening>,
}

/// What a comparison needs beside a way to solve.
#[derive(Clone, Copy, Debug)]
pub struct CompareInput<'a> {
    /// What the roof is covered with.
    pub covering: &'a Covering,
    /// Bearing the prevailing wind comes from, radians clockwise from north.
    pub wind_from: Option<f64>,
    /// Bearing of the drawing's +y axis, radians clockwise from north.
    pub north: f64,
}

/// One pitch. Nothing is determined where the roof has no answer at it; `W` says why.
#[derive(Clone, Debug, PartialEq)]
pub struct Row<W> {
    /// First pitch of the eaves that change.
    pub pitch: Pitch,
    /// Roof area, openings not taken off, square metres.
    pub area: Estimate,
    /// Highest point above datum, metres.
    pub ridge_height: Estimate,
    /// Longest common rafter, eave edge to ridge, metres.
    pub rafter: Estimate,
    /// Packs of the covering.
    pub packs: Option<u32>,
    /// Of the covering ordered, kilograms.
    pub weight: Estimate,
    /// Of all that is priced.
    pub cost: Estimate,
    /// Whether the card allows this pitch and rafter.
    pub suitable: Option<bool>,
    /// EN 1991-1-3 table 5.2.
    pub snow_mu1: f64,
    /// EN 1991-1-3 table 5.2, for valleys between slopes; `None` above 60 degrees.
    pub snow_mu2: Option<f64>,
    /// Largest area one eave drains, EN 12056-3, square metres.
    pub rain_area: Estimate,
    /// Why it does not suit, or that there is no answer.
    pub findings: Vec<Finding>,
    /// Why there is no answer.
    pub why_none: Option<W>,
    /// The roof at this pitch, whose faces the findings name.
    pub roof: Roof,
}

/// Compares pitches. `solve_at` gives the roof at a pitch, or the reason why there is none. O(pitches × (solve + pieces)).
pub fn compare<W>(
    pitches: &[Pitch],
    input: &CompareInput,
    mut solve_at: impl FnMut(Pitch) -> Result<Trial, W>,
) -> Vec<Row<W>> {
    pitches
        .iter()
        .map(|&pitch| match solve_at(pitch) {
            Ok(trial) => answered(pitch, trial, input),
            Err(why) => Row { findings: vec![Finding::PitchNotSolved], why_none: Some(why), ..empty(pitch) },
        })
        .collect()
}

fn empty<W>(pitch: Pitch) -> Row<W> {
    let none = Estimate::not_determined(Reason::Absent);
    Row {
        pitch,
        area: none,
        ridge_height: none,
        rafter: none,
        packs: None,
        weight: none,
        cost: none,
        suitable: None,
        snow_mu1: snow::mu1(pitch.radians(), false),
        snow_mu2: snow::mu2(pitch.radians()),
        rain_area: none,
        findings: Vec::new(),
        why_none: None,
        roof: Roof::default(),
    }
}

/// A number of a roof that nobody measured at this pitch.
fn unsure(value: Option<f64>) -> Estimate {
    value
        .map_or(Estimate::not_determined(Reason::Absent), |value| Estimate::taken(value, Assumption::SpreadNotComputed))
}

fn answered<W>(pitch: Pitch, trial: Trial, input: &CompareInput) -> Row<W> {
    let roof = &trial.roof;
    let drainage = drain(roof);
    let answer = take_off(&TakeoffInput {
        roof,
        drainage: &drainage,
        openings: &trial.openings,
        covering: input.covering,
        wind_from: input.wind_from,
        north: input.north,
        area_sd: None,
    });
    let line = answer.line(covering_item(&input.covering.card));
    let of_pitch = |finding: &&Finding| finding.is_unsuitable() || matches!(finding, Finding::SteepFixing { .. });
    let findings: Vec<Finding> = answer.findings.iter().filter(of_pitch).cloned().collect();
    let drained = rain::gutters(roof, &drainage).into_iter().map(|gutter| gutter.area).reduce(f64::max);
    Row {
        area: unsure(Some(roof.total_area().0)),
        ridge_height: unsure(roof.ridge_height()),
        rafter: unsure(longest_from_eave(roof).map(|length| length.0)),
        packs: line.and_then(|line| line.packs),
        weight: unsure(line.and_then(|line| line.weight.value())),
        cost: answer.cost(),
        suitable: Some(!findings.iter().any(Finding::is_unsuitable)),
        rain_area: unsure(drained),
        findings,
        roof: trial.roof,
        ..empty(pitch)
    }
}

/// The pitch at which the roof's highest point stands at `height` above datum, between 1 and 80 degrees, by bisection to
/// the last digit: the highest point rises with the pitch. `None` where no pitch in between reaches it.
pub fn pitch_for_ridge<E>(height: f64, mut solve_at: impl FnMut(Pitch) -> Result<Trial, E>) -> Option<Pitch> {
    let mut rise = |degrees: f64| {
        let pitch = Pitch::from_degrees(degrees).ok()?;
        solve_at(pitch).ok()?.roof.ridge_height()
    };
    let (mut low, mut high) = (1.0, 80.0);
    if rise(low)? > height || rise(high)? < height {
        return None;
    }
    loop {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            return Pitch::from_degrees(low).ok();
        }
        if rise(middle)? <= height { low = middle } else { high = middle }
    }
}
