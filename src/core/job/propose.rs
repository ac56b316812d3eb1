//! Which measurement would make the roof's area surer, where pitches count too: the adjustment knows the tapes alone.

use super::model::Slope;
use super::pitches::UnsurePitch;
use super::spread::Spread;
use crate::base::ids::SideId;
use crate::base::order::SortByNumber as _;
use crate::survey::observation::Proposal;
use crate::survey::report::{BestNext, MOST_PROPOSED, Report, SMALLEST_GAIN};
use crate::survey::sigma;

/// Weighs what the adjustment proposes, and each pitch read once more with a digital level, by what is left of the
/// standard deviation of the roof's area. The variance of the area is the sum of what the adjusted places and each pitch
/// add to it; a tape takes off the first in the proportion it takes off the adjustment's own area, a second reading
/// takes a pitch's variance s² to 1 / (1/s² + 1/d²). Nothing changes where no pitch is unsure or the area's standard
/// deviation is not known. O(proposals + pitches).
pub(super) fn with_pitches(report: &mut Report, spread: &Spread, unsure: &[UnsurePitch<'_>]) {
    let Some(total) = spread.total_area.filter(|_| !unsure.is_empty()) else { return };
    let variance = total.powi(2);
    let by_readings: f64 = spread.total_area_by_reading.iter().map(|change| change.powi(2)).sum();
    let by_places = (variance - by_readings).max(0.0);
    let own = report.area_sd.map_or(0.0, |sd| sd.powi(2));
    let tape = |next: &BestNext| {
        let share = next.area_sd_after.filter(|_| own > 0.0).map_or(0.0, |after| 1.0 - after.powi(2) / own);
        (next.observation, variance - by_places * share)
    };
    // What tells which of two is to blame comes first whatever it takes off.
    let parting = report
        .best_next
        .iter()
        .find(|next| next.parts.is_some())
        .map(|next| BestNext { area_sd_after: Some(tape(next).1.max(0.0).sqrt()), ..next.clone() });
    // Pitches come after the readings that an unknown pitch was found from.
    let first = spread.total_area_by_reading.len() - unsure.len();
    let pitches = unsure.iter().zip(&spread.total_area_by_reading[first..]).filter_map(|(pitch, change)| {
        let again = (pitch.sd.powi(-2) + sigma::PITCH_DIGITAL_LEVEL.powi(-2)).recip();
        let taken = change.powi(2) * (1.0 - again / pitch.sd.powi(2));
        Some((Proposal::SidePitch(first_side(pitch)?), variance - taken))
    });
    let mut all: Vec<(Proposal, f64)> = report
        .best_next
        .iter()
        .filter(|next| next.parts.is_none())
        .map(tape)
        .chain(pitches)
        .map(|(observation, after)| (observation, after.max(0.0).sqrt()))
        .filter(|(_, after)| *after < (1.0 - SMALLEST_GAIN) * total)
        .collect();
    all.sort_by_number(|a| a.1);
    let others =
        all.into_iter().map(|(observation, after)| BestNext { observation, area_sd_after: Some(after), parts: None });
    let mut all: Vec<BestNext> = parting.into_iter().chain(others).collect();
    all.truncate(MOST_PROPOSED);
    report.best_next = all;
    report.area_sd = Some(total);
}

/// The first side of an outline that has a pitch.
fn first_side(pitch: &UnsurePitch<'_>) -> Option<SideId> {
    pitch.slopes.iter().find_map(|slope| match slope {
        Slope::Side { side, part: 0 } => Some(*side),
        _ => None,
    })
}
