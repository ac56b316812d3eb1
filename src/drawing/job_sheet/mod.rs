//! The job sheet: the answers of a job in the order of work, as one document.
//!
//! What it is and how sure; picture, plan, faces; what to order; what to cut; how to lay; what to mind.

mod cutting;
mod cutting_table;
mod details;
pub mod face_cards;
mod field;
pub mod input;
mod laying;
mod offer;
mod order;
mod photos;
mod repair;
mod set_out;
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
use super::typeset::figure::{Key, inset};
use super::typeset::pages;
use super::views::body::Body;
use super::views::building;
use super::views::photo_page::Taken;
use super::views::plan::Plan;

/// Least height of the picture, its key beneath it included, millimetres.
const LEAST_PICTURE: f64 = 95.0;

/// Room for a figure's caption and what parts it from the next, millimetres.
const CAPTION: f64 = 14.0;

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
    what::first(input, &mut document);
    what::what_it_is(input, &mut document);
    let mut sure = Document::default();
    if input.audience == Audience::Own {
        what::how_sure(input, &mut sure);
    }
    // How sure it is stands before the picture where both find room on the first page.
    let tables = pages::height(&document, input.paper());
    let with_sure = tables + pages::height(&sure, input.paper());
    let early = pages::left_on_first(input.paper(), with_sure) - CAPTION > LEAST_PICTURE;
    let left = pages::left_on_first(input.paper(), if early { with_sure } else { tables });
    let mut late = Document::default();
    if early { &mut document } else { &mut late }.blocks.append(&mut sure.blocks);
    let standing = building::body(input.answer, 0.0);
    let [width, most] = input.room(0.62);
    // Where the first page has no room for it, the picture shares the second with how sure it all is.
    let fits = left - CAPTION >= LEAST_PICTURE;
    let picture_room = [width, if fits { (left - CAPTION).min(most) } else { LEAST_PICTURE }];
    let view = super::views::elevation::Isometric::new(&input.answer.roof, &standing, input.context);
    document.figure(inset(&view, input.context, picture_room, Key::With), "Picture");
    if !fits {
        document.blocks.append(&mut late.blocks);
    }
    document.heading(1, "Plan");
    document.figure(inset(&Plan::of(input.answer), input.context, input.room(0.95), Key::With), "Roof plan");
    document.blocks.append(&mut late.blocks);
    if input.full {
        views::views(input, &standing, &mut document);
    }
    match input.audience {
        Audience::Own => {
            photos::photos(input, taken, &mut document);
            order::order(input, &mut document);
            cutting::cut_list(input, &mut document);
            laying::laying(input, &mut document);
            laying::mind(input, &mut document);
            if input.full {
                views::rows(input, &mut document);
                views::net(input, &Body::of(&input.answer.roof, 0.0), &mut document);
            }
        }
        Audience::Client => {
            offer::description(input, &mut document);
            laying::mind_client(input, &mut document);
        }
    }
    document
}
