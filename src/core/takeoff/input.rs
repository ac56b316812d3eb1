//! What a take-off is worked out from.

use super::model::Covering;
use super::timber_goods::TimberNeed;
use crate::roof::Roof;
use crate::roof::analysis::drainage::Drainage;
use crate::roof::analysis::opening::CutOpening;

/// What the take-off needs.
#[derive(Clone, Copy, Debug)]
pub struct TakeoffInput<'a> {
    /// The solved roof.
    pub roof: &'a Roof,
    /// Where its water goes.
    pub drainage: &'a Drainage,
    /// Openings cut from its faces.
    pub openings: &'a [CutOpening],
    /// What it is covered with.
    pub covering: &'a Covering,
    /// Bearing the prevailing wind comes from, radians clockwise from north.
    pub wind_from: Option<f64>,
    /// Bearing of the drawing's +y axis, radians clockwise from north.
    pub north: f64,
    /// Timber to order; none where the job does not say what timbers are cut to.
    pub timbers: &'a [TimberNeed],
    /// Standard deviation of the whole roof area, square metres, where the survey gives one.
    pub area_sd: Option<f64>,
}
