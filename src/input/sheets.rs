//! `plan = true` in a `[[photo]]`: a scanned plan, or a picture straight down with one size of pixel all over.

use super::node::Table;
use super::reader::Reader;
use super::reported::Reported;
use crate::job::reading::{Conflict, Fault, Problem};
use crate::survey::model::{Camera, Measured, Sheet};
use crate::survey::sigma;
use std::f64::consts::FRAC_PI_2;

/// Keys that say how a plan lies.
const OF_A_PLAN: [&str; 3] = ["scale", "scale_sigma", "north"];

impl<'d> Reader<'d> {
    /// What is stated of a picture that is a plan; `None` of a photo.
    pub(super) fn plan_of(&mut self, table: &Table<'d>) -> Result<Option<Sheet>, Reported> {
        let is_plan = self.switch(table, "plan").ok_or(Reported)?;
        if !is_plan {
            for item in OF_A_PLAN.iter().filter_map(|key| table.get(key)) {
                let fault = Fault::OnlyOfPlan { key: item.key.to_owned() };
                self.report(Problem::error(item.key_span.clone(), fault).written(item.key));
            }
            return if OF_A_PLAN.iter().any(|key| table.has(key)) { Err(Reported) } else { Ok(None) };
        }
        if let (Some(plan), Some(camera)) = (table.get("plan"), table.get("camera")) {
            self.conflict(&plan, &camera, Conflict::PlanAndCamera);
            return Err(Reported);
        }
        let scale = self.maybe(table, "scale");
        let sigma = self.maybe(table, "scale_sigma");
        let north = self.maybe(table, "north");
        if let (Some(item), false) = (table.get("scale_sigma"), table.has("scale")) {
            self.report(Problem::error(item.key_span.clone(), Fault::ScaleSigmaAlone).written(item.key));
            return Err(Reported);
        }
        let sigma = sigma?.unwrap_or(sigma::SHEET_SCALE);
        let scale = scale?.map(|value| Measured { value, sigma });
        // Bearings run clockwise from north, directions anticlockwise from +x.
        let up = north?.map(|north| FRAC_PI_2 - (north - self.north));
        Ok(Some(Sheet { scale, up }))
    }
}

/// What stands for the camera of a plan: it has no lens, and nothing is found out about it.
pub(super) fn no_camera(index: usize) -> Camera {
    let none = |value: f64| Measured { value, sigma: 0.0 };
    Camera {
        name: format!("photo {}", index + 1),
        focal: none(1.0),
        centre: [0.0; 2],
        centre_sigma: 0.0,
        k1: none(0.0),
        k2: none(0.0),
    }
}
