//! The first page, by which a job is run: what forbids it and what to doubt, how it looks and how large it is, what to order
//! in a few lines, what to check on site.

use super::what;
use super::{SheetInput, order};
use crate::drawing::Drawing;
use crate::drawing::typeset::document::{Align, Block, Document, Table};
use crate::drawing::typeset::figure::{Key, inset};
use crate::drawing::typeset::pages;
use crate::drawing::views::body::Body;
use crate::drawing::views::elevation::Isometric;
use crate::wording::estimate;
use crate::wording::key_dimensions::key_dimensions;

/// Least, good and greatest height of the picture, its scale included, millimetres.
const PICTURE: [f64; 3] = [54.0, 64.0, 96.0];
/// Its width: half a page at most, so that the dimensions stand beside it.
const WIDTH: f64 = 76.0;

/// What found room on the first page.
pub(super) struct Front {
    /// The picture.
    pub(super) picture: bool,
    /// How the roof was measured, and how sure that is.
    pub(super) sure: bool,
}

/// The first page, as one: what does not fit it in letters for the site is set smaller, and the picture gives way. Where room
/// is left the picture grows and how sure it all is stands below.
pub(super) fn front(input: &SheetInput<'_>, body: &Body, document: &mut Document) -> Front {
    let view = Isometric::new(&input.answer.roof, body, input.context).for_the_eye();
    let picture = |height: f64| inset(&view, input.context, [WIDTH, height], Key::Without);
    // Room left below what a page of these parts holds.
    let left = |parts: &Document| {
        let whole = Document { blocks: parts.blocks.clone(), ..document.clone() };
        pages::left_on_first(&whole, input.paper())
    };
    let least = picture(PICTURE[0]);
    let mut found = None;
    for letters in [[Letters::Large; 2], [Letters::Large, Letters::Small], [Letters::Small; 2]] {
        let parts = page(input, least.clone(), letters);
        let spare = left(&parts);
        if spare >= 0.0 {
            found = Some((letters, parts, spare));
            break;
        }
    }
    let Some((letters, parts, spare)) = found else {
        document.append(page(input, None, [Letters::Small; 2]));
        return Front { picture: false, sure: false };
    };
    let mut sure = page(input, picture(PICTURE[1]), letters);
    what::how_sure(input, &mut sure);
    if left(&sure) >= 0.0 {
        document.append(sure);
        return Front { picture: true, sure: true };
    }
    // Where the dimensions are higher than the picture it has that room for nothing.
    let grown = page(input, picture((PICTURE[0] + spare).min(PICTURE[2])), letters);
    document.append(if left(&grown) >= 0.0 { grown } else { parts });
    Front { picture: true, sure: false }
}

/// How large what is read on site is set.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Letters {
    Large,
    Small,
}

/// The parts of the page; the order and the checks in these letters.
fn page(input: &SheetInput<'_>, picture: Option<Drawing>, [of_order, of_checks]: [Letters; 2]) -> Document {
    let mut parts = Document::default();
    what::first(input, &mut parts);
    let mut seen = Document::default();
    seen.figure(picture, "Picture");
    let mut measures = Document::default();
    measures.text(what::covering(input));
    measures.on_site(dimensions(input));
    measures.text(format!("{}.", estimate::explained(&input.answer.survey)));
    parts.columns([seen, measures]);
    parts.heading(2, "The order in short");
    let mut list = Document::default();
    order::in_short(input, &mut list);
    if of_order == Letters::Large {
        parts.on_site(list);
    } else {
        parts.append(list);
    }
    parts.heading(2, "Check on site");
    let mut asked = Document::default();
    asked.blocks.push(Block::Checks(what::checks(input)));
    if of_checks == Letters::Large {
        parts.on_site(asked);
    } else {
        parts.append(asked);
    }
    parts
}

/// The measures a roof is known by.
fn dimensions(input: &SheetInput<'_>) -> Document {
    let mut table = Table::new(&[("the roof", Align::Left), ("measure", Align::Right)]);
    for (what, told) in key_dimensions(input.answer, input.context.words) {
        table.row([what, told]);
    }
    let mut parts = Document::default();
    parts.table(table);
    parts
}
