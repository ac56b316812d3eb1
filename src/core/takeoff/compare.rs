//! The same roof at other pitches: what changes in area, height, room, order, price, suitability, snow and rain.

use super::answer::TakeOff;
use super::finding::Finding;
use super::item::Item;
use super::{rain, snow};
use crate::base::estimate::{Assumption, Estimate, Reason};
use crate::base::tolerance;
use crate::base::units::Pitch;
use crate::roof::Roof;
use crate::roof::analysis::chord::longest_from_eave;
use crate::roof::analysis::clearance::plan_area_above;
use crate::roof::analysis::drainage::{Drainage, drain};
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
#[derive(Clone, Copy)]
pub struct CompareInput<'a> {
    /// The order of a roof, with where its water goes.
    pub take_off: &'a dyn Fn(&Trial, &Drainage) -> TakeOff,
    /// What the building must keep to.
    pub limits: DesignLimits,
    /// The pitches the roof has now, radians.
    pub present: &'a [f64],
}

/// What a building must keep to whatever its pitch: `[compare]`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DesignLimits {
    /// Highest point above datum that planning allows, metres.
    pub planning_height: Option<f64>,
    /// Room wanted under the roof.
    pub headroom: Option<Headroom>,
}

/// Room wanted under a roof, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Headroom {
    /// From the floor to the underside of the roof.
    pub height: f64,
    /// The floor above datum.
    pub floor: f64,
    /// From the covering's plane plumb down to the underside of the roof.
    pub build_up: f64,
}

/// A pitch is the present one within this, radians: a twentieth of a degree, half of what is told.
const SAME_PITCH: f64 = 0.05 * std::f64::consts::PI / 180.0;

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
    /// Layers of underlay on the flattest face; `None` where the card has none.
    pub underlay_layers: Option<u32>,
    /// Rolls of underlay.
    pub underlay_packs: Option<u32>,
    /// Of all material that is priced.
    pub cost: Estimate,
    /// Labour, access and disposal, where they are priced.
    pub work: Estimate,
    /// All of it with what goes on top and tax; `None` while anything has no price.
    pub price: Estimate,
    /// Plan area with the headroom asked for, square metres; `None` where none is asked for.
    pub headroom_area: Estimate,
    /// Whether the roof has this pitch now.
    pub is_present: bool,
    /// All pitches the roof has now, radians.
    pub present: Vec<f64>,
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
            Err(why) => Row { findings: vec![Finding::PitchNotSolved], why_none: Some(why), ..empty(pitch, input) },
        })
        .collect()
}

fn empty<W>(pitch: Pitch, input: &CompareInput) -> Row<W> {
    let none = Estimate::not_determined(Reason::Absent);
    Row {
        pitch,
        area: none,
        ridge_height: none,
        rafter: none,
        packs: None,
        weight: none,
        underlay_layers: None,
        underlay_packs: None,
        cost: none,
        work: none,
        price: none,
        headroom_area: none,
        is_present: input.present.iter().any(|present| (present - pitch.radians()).abs() < SAME_PITCH),
        present: input.present.to_vec(),
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
    let answer = (input.take_off)(&trial, &drainage);
    let covering = || answer.lines.iter().filter(|line| is_covering(&line.item));
    let of_pitch = |finding: &&Finding| {
        finding.is_unsuitable() || matches!(finding, Finding::SteepFixing { .. } | Finding::UnderlayDoubled { .. })
    };
    let mut findings: Vec<Finding> = answer.findings.iter().filter(of_pitch).cloned().collect();
    findings.extend(over_planning_height(roof, input.limits));
    let drained = rain::gutters(roof, &drainage).into_iter().map(|gutter| gutter.area).reduce(f64::max);
    Row {
        area: unsure(Some(roof.total_area().0)),
        ridge_height: unsure(roof.ridge_height()),
        rafter: unsure(longest_from_eave(roof).map(|length| length.0)),
        packs: covering().filter_map(|line| line.packs).reduce(|a, b| a + b),
        weight: unsure(covering().filter_map(|line| line.weight.value()).reduce(|a, b| a + b)),
        underlay_layers: layers(&answer),
        underlay_packs: answer.line(Item::Underlay.key()).and_then(|line| line.packs),
        cost: answer.cost(),
        work: unsure(
            answer
                .offer
                .as_ref()
                .filter(|offer| !offer.work.is_empty())
                .map(|offer| offer.work.iter().map(|line| line.sum).sum()),
        ),
        price: unsure(answer.offer.as_ref().and_then(|offer| offer.whole()).map(|sums| sums.total)),
        headroom_area: unsure(
            input.limits.headroom.map(|room| plan_area_above(roof, room.floor + room.height + room.build_up)),
        ),
        suitable: Some(!findings.iter().any(Finding::is_unsuitable)),
        rain_area: unsure(drained),
        findings,
        roof: trial.roof,
        ..empty(pitch, input)
    }
}

/// Whether an item is the covering itself, by whichever piece it is bought.
#[must_use]
pub fn is_covering(item: &Item) -> bool {
    matches!(item, Item::Strips | Item::Units(_) | Item::Sheets(_) | Item::CapSheet(_))
}

/// Layers of underlay where it lies doubled anywhere, or single.
fn layers(answer: &TakeOff) -> Option<u32> {
    answer.line(Item::Underlay.key())?;
    Some(if answer.underlay_plans.iter().any(|plan| plan.laps.double) { 2 } else { 1 })
}

fn over_planning_height(roof: &Roof, limits: DesignLimits) -> Option<Finding> {
    let (height, most) = (roof.ridge_height()?, limits.planning_height?);
    (height > most + tolerance::SMALLEST).then_some(Finding::OverPlanningHeight { height, most })
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
