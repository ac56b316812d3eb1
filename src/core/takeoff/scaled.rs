//! A roof a little larger or smaller all over: what its order would be, so that bounds of an order are counts too.

use super::input::TakeoffInput;
use crate::base::polygon_boolean::Region;
use crate::roof::Roof;
use crate::roof::analysis::drainage::{Catchment, Drainage};
use crate::roof::analysis::opening::CutOpening;

/// A roof with what is cut from it and where its water goes, all lengths times a factor.
pub(super) struct Scaled {
    roof: Roof,
    drainage: Drainage,
    openings: Vec<CutOpening>,
}

impl Scaled {
    /// The roof of a take-off whose area is this many times what it is. O(corners).
    pub fn of(input: &TakeoffInput, area: f64) -> Self {
        let by = area.sqrt();
        let mut roof = input.roof.clone();
        for corner in &mut roof.corners {
            corner.coords *= by;
        }
        for face in &mut roof.faces {
            face.plane.offset *= by;
        }
        let rings = |rings: &[Vec<nalgebra::Point2<f64>>]| -> Vec<Vec<nalgebra::Point2<f64>>> {
            rings.iter().map(|ring| ring.iter().map(|place| place * by).collect()).collect()
        };
        let catchment = |catchment: &Catchment| Catchment {
            region: Region { rings: rings(&catchment.region.rings) },
            ..catchment.clone()
        };
        let opening = |opening: &CutOpening| CutOpening {
            ring: opening.ring.iter().map(|place| place * by).collect(),
            area: opening.area * area,
            ..opening.clone()
        };
        Self {
            roof,
            drainage: Drainage {
                catchments: input.drainage.catchments.iter().map(catchment).collect(),
                carried: input.drainage.carried.iter().map(|carried| carried * area).collect(),
            },
            openings: input.openings.iter().map(opening).collect(),
        }
    }

    /// What its take-off needs, for the same covering.
    pub fn input<'a>(&'a self, of: &TakeoffInput<'a>) -> TakeoffInput<'a> {
        TakeoffInput { roof: &self.roof, drainage: &self.drainage, openings: &self.openings, area_sd: None, ..*of }
    }
}
