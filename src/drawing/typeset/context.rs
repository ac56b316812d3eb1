//! What every page says of its job, and how it says it.

use super::format::Format;
use super::paper::{PaperSize, Series};

/// What every page of a job says about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Context {
    /// The job's title.
    pub title: String,
    /// Printed when given; none is made up.
    pub date: Option<String>,
    /// How numbers are written.
    pub words: Format,
    /// Bearing of the drawing's +y axis, radians clockwise from north.
    pub north: f64,
    /// Bearing the prevailing wind comes from, radians clockwise from north.
    pub wind_from: Option<f64>,
    /// Which paper to choose from.
    pub series: Series,
    /// This sheet and no other, upright; drawings may lay it on its side.
    pub sheet: Option<PaperSize>,
}

impl Context {
    /// For a job, on paper of the family that goes with its units.
    #[must_use]
    pub fn of(job: &crate::job::Job) -> Self {
        Self {
            title: job.title.clone(),
            date: job.date.clone(),
            words: Format::of(job.units),
            north: job.site.north,
            wind_from: job.site.wind_from,
            series: if job.units.is_imperial() { Series::American } else { Series::Iso },
            sheet: None,
        }
    }

    /// Sheets to try, the preferred first: the small one lying and upright, then the large one.
    #[must_use]
    pub fn sheets(&self) -> Vec<PaperSize> {
        if let Some(sheet) = self.sheet {
            return vec![sheet.landscape(), sheet];
        }
        let [small, large] = PaperSize::family(self.series);
        vec![small.landscape(), small, large.landscape()]
    }
}
