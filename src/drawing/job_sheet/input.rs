//! What the job sheet is made of, and for whom.

use crate::drawing::Context;
use crate::drawing::typeset::pages;
use crate::drawing::typeset::paper::PaperSize;
use crate::job::Job;
use crate::job::answer::Answer;
use crate::takeoff::answer::TakeOff;
use crate::wording::About;

/// For whom the sheet is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Audience {
    /// Whoever does the work: everything.
    #[default]
    Own,
    /// The client: the offer with its total; no purchase prices, no cut list.
    Client,
}

/// What a sheet is made from.
#[derive(Clone, Copy, Debug)]
pub struct SheetInput<'a> {
    /// The job.
    pub job: &'a Job,
    /// What was found.
    pub answer: &'a Answer,
    /// What is ordered, and how it is laid.
    pub take_off: &'a TakeOff,
    /// How pages look.
    pub context: &'a Context,
    /// For whom.
    pub audience: Audience,
    /// Every drawing of the roof, not only those that are needed to order, cut and lay.
    pub full: bool,
}

impl SheetInput<'_> {
    /// The paper of the sheet, upright: the smaller one of the family, or the one asked for.
    #[must_use]
    pub fn paper(&self) -> PaperSize {
        self.context.sheet.unwrap_or(PaperSize::family(self.context.series)[0])
    }

    /// Room for a figure of at most this share of a page's height, millimetres.
    pub(super) fn room(&self, share: f64) -> [f64; 2] {
        [pages::text_width(self.paper()), pages::figure_height(self.paper()) * share]
    }

    /// What sentences are about.
    #[must_use]
    pub fn about(&self) -> About<'_> {
        About { job: self.job, roof: &self.answer.roof, units: self.context.words }
    }
}
