//! Drawings free of any device or format: plan, true shapes, sections, net.
//!
//! A drawing is ink on paper in millimetres ([`Drawing`]); the writers turn it into SVG, PDF and DXF. Every kind of
//! drawing is a function from a solved roof and a [`Context`] to pages.

pub mod board;
pub mod body;
pub mod canvas;
pub mod clip;
pub mod construction;
pub mod cut;
pub mod dimension;
pub mod document;
pub mod elevation;
pub mod face;
pub mod face_groups;
pub mod figure;
pub mod file_names;
pub mod frame;
pub mod grid;
pub mod hidden;
pub mod label;
pub mod lettering;
mod lettering_table;
pub mod model;
pub mod net;
pub mod net_sheets;
pub mod outline;
pub mod overlay;
pub mod pages;
pub mod painter;
pub mod paper;
pub mod pen;
pub mod photo_page;
pub mod plan;
pub mod rows;
pub mod sheet;
mod table_set;
pub mod ticks;
pub mod unfold;
pub mod words;

pub use figure::Figure;
pub use model::{Anchor, Drawing, Item, Photo, Text, View, number_pages};
pub use pen::{Pen, Tone};

use paper::{Series, Sheet};
use words::Words;

/// What every page of a job says about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Context {
    /// The job's title.
    pub title: String,
    /// Printed when given; none is made up.
    pub date: Option<String>,
    /// How numbers are written.
    pub words: Words,
    /// Bearing of the drawing's +y axis, radians clockwise from north.
    pub north: f64,
    /// Bearing the prevailing wind comes from, radians clockwise from north.
    pub wind_from: Option<f64>,
    /// Which paper to choose from.
    pub series: Series,
    /// This sheet and no other, upright; drawings may lay it on its side.
    pub sheet: Option<Sheet>,
}

impl Context {
    /// For a job, on paper of the family that goes with its units.
    #[must_use]
    pub fn of(job: &crate::job::Job) -> Self {
        Self {
            title: job.title.clone(),
            date: job.date.clone(),
            words: Words::of(job.units),
            north: job.site.north,
            wind_from: job.site.wind_from,
            series: if job.units.is_imperial() { Series::American } else { Series::Iso },
            sheet: None,
        }
    }

    /// Sheets to try, the preferred first: the small one lying and upright, then the large one.
    #[must_use]
    pub fn sheets(&self) -> Vec<Sheet> {
        if let Some(sheet) = self.sheet {
            return vec![sheet.landscape(), sheet];
        }
        let [small, large] = Sheet::family(self.series);
        vec![small.landscape(), small, large.landscape()]
    }
}

/// A kind of edge as a word on a drawing.
#[must_use]
pub fn edge_word(kind: crate::roof::EdgeKind) -> &'static str {
    match kind {
        crate::roof::EdgeKind::PitchBreak => "pitch break",
        other => other.word(),
    }
}
