//! The job sheet: the answers of a job in the order of work, as one document.
//!
//! The first page runs the job; then the order and how sure it all is; then a page for each trade: what to cut, how to lay.

mod alike;
mod bought;
mod cutting;
mod cutting_table;
mod details;
pub mod face_cards;
mod field;
mod front;
pub mod input;
mod laying;
mod offer;
mod order;
mod photos;
mod repair;
mod set_out;
mod shapes;
mod timber;
mod views;
mod what;

pub use cutting::tables as cutting_tables;
pub use cutting_table::CuttingTable;
pub use field::{Shape, field_sheet};
pub use input::{Audience, SheetInput};
pub use offer::{handover_sheet, offer_sheet};
pub(crate) use repair::repair_sheet;

use super::typeset::document::Document;
use super::views::body::Body;
use super::views::building;
use super::views::photo_page::Taken;

/// Least height of the picture, its key beneath it included, millimetres.
const LEAST_PICTURE: f64 = 95.0;

/// The job sheet of a roof that no photo shows. Deterministic. O(drawings + text).
#[must_use]
pub fn job_sheet(input: &SheetInput<'_>) -> Document {
    job_sheet_with_photos(input, &[])
}

/// The job sheet; the work's own shows the roof over the photos it was measured from.
#[must_use]
pub fn job_sheet_with_photos(input: &SheetInput<'_>, taken: &[Taken]) -> Document {
    let kind = match input.audience {
        Audience::Own => "job sheet",
        Audience::Client => "roof: description and offer",
    };
    let mut document = Document {
        title: input.job.title.clone(),
        kind: kind.to_owned(),
        date: input.job.date.clone(),
        blocks: Vec::new(),
    };
    let body = building::body(input.answer, 0.0);
    match input.audience {
        Audience::Own => for_the_work(input, taken, &body, &mut document),
        Audience::Client => for_the_client(input, &body, &mut document),
    }
    document
}

/// The first page, by which the job is run; the order and how sure it all is; then a page a trade.
fn for_the_work(input: &SheetInput<'_>, taken: &[Taken], body: &Body, document: &mut Document) {
    let seen = front::front(input, body, document);
    document.page();
    if !seen.picture {
        views::picture(input, body, LEAST_PICTURE, document);
    }
    order::order(input, document);
    bought::timber_to_buy(input, document);
    bought::deck(input, document);
    if !seen.sure {
        what::how_sure(input, document);
    }
    laying::mind(input, document);
    photos::photos(input, taken, document);
    document.page();
    cutting::cut_list(input, document);
    document.page();
    laying::laying(input, document);
    if input.full {
        document.page();
        views::views(input, body, document);
        views::rows(input, document);
        views::net(input, &Body::of(&input.answer.roof, 0.0), document);
    }
}

/// What a client reads: what stops the work, the roof, what is done for which price.
fn for_the_client(input: &SheetInput<'_>, body: &Body, document: &mut Document) {
    what::first(input, document);
    what::what_it_is(input, document);
    views::picture(input, body, LEAST_PICTURE, document);
    views::plan(input, 0.4, document);
    if input.full {
        views::views(input, body, document);
    }
    offer::description(input, document);
    laying::mind_client(input, document);
}
