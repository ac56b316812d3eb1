//! The drawings of a job, as files by name.

use crate::drawing::plan::{Extras, plan};
use crate::drawing::{Context, number_pages};
use crate::job::Job;
use crate::job::answer::Answer;
use crate::roof::frame::FaceFrame;
use crate::write::svg::{Setting, svg};

/// Every drawing as SVG: `plan.svg`, and where it runs over a page `plan-2.svg` and on.
#[must_use]
pub fn all(job: &Job, answer: &Answer) -> Vec<(String, Vec<u8>)> {
    let roof = &answer.roof;
    let openings = answer.openings.iter().filter_map(|opening| {
        let frame = FaceFrame::of(roof, &roof.faces[opening.face.index()])?;
        Some((opening.ring.iter().map(|place| frame.to_space(place)).collect(), opening.kind.clone()))
    });
    let extras = Extras { area_sd: answer.spread.face_area.clone(), openings: openings.collect() };
    let mut pages = plan(roof, &Context::of(job), &extras);
    number_pages(&mut pages);
    let name = |index: usize| if index == 0 { "plan.svg".to_owned() } else { format!("plan-{}.svg", index + 1) };
    let written = |(index, page): (usize, &_)| (name(index), svg(page, Setting::Document).into_bytes());
    pages.iter().enumerate().map(written).collect()
}
