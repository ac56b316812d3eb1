//! What the compasses of photos say of how the drawing lies to north. Nothing is turned by it: a phone's compass is off by ten
//! degrees easily, and by more beside steel.

use super::finding::Finding;
use super::model::Job;
use crate::survey::report::Report;
use crate::survey::sigma::COMPASS;
use std::f64::consts::{PI, TAU};

/// A camera that looks up or down by more tells no bearing: the level part of where it looks, of 1.
const LEVEL_PART: f64 = 0.3;
/// Bearings farther apart than so many sigmas of a compass disagree.
const DISAGREE: f64 = 2.0;

/// How far two bearings lie apart, 0 ..= π.
fn apart(a: f64, b: f64) -> f64 {
    ((a - b + PI).rem_euclid(TAU) - PI).abs()
}

/// The bearing of the drawing's +y axis by the compasses of the photos that were placed: worth a word where the file says
/// nothing of north, or something else.
pub(super) fn by_compass(job: &Job, report: &Report) -> Option<Finding> {
    let told = job.survey.photos.iter().zip(&report.photos).enumerate().filter_map(|(index, (photo, sight))| {
        let (compass, sight) = (photo.compass?, (*sight)?);
        let ahead = sight.pose.rotation.row(2);
        let on_site = ahead[0].atan2(ahead[1]);
        let is_level = ahead[0].hypot(ahead[1]) > LEVEL_PART;
        is_level.then_some((index, compass.bearing - on_site, compass.is_magnetic))
    });
    let told: Vec<(usize, f64, bool)> = told.collect();
    let (sum_x, sum_y) = told.iter().fold((0.0, 0.0), |sum, (_, north, _)| (sum.0 + north.sin(), sum.1 + north.cos()));
    let north = sum_x.atan2(sum_y).rem_euclid(TAU);
    let spread = told.iter().map(|(_, own, _)| apart(*own, north)).fold(0.0, f64::max);
    let written = job.site.north_is_stated.then_some(job.site.north);
    let is_news = written.is_none_or(|written| apart(written, north) > DISAGREE * COMPASS);
    (!told.is_empty() && is_news).then(|| Finding::NorthByCompass {
        photos: told.iter().map(|one| one.0).collect(),
        north,
        is_magnetic: told.iter().any(|one| one.2),
        apart: (spread > DISAGREE * COMPASS).then_some(spread),
        written,
    })
}
