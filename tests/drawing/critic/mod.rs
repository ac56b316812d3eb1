//! A draughtsman's eye on drawings and pages, read as data: what ink lies on what other ink, what is lettered where, how full
//! a page is. Each rule says what it found, with the place on the page.

mod ink;
mod labels;
mod page;
mod scale;
mod sixty_roofs;
mod words;

use eavewright::drawing::Drawing;
use eavewright::drawing::typeset::board::faults;

/// What is wrong with a drawing, or with what is drawn on a page.
pub fn of_drawing(drawing: &Drawing) -> Vec<String> {
    let mut found = faults(drawing);
    found.extend(ink::crossed_leaders(drawing));
    found.extend(ink::struck_lettering(drawing));
    found.extend(labels::led_though_room_within(drawing));
    found.extend(words::zero_lengths(drawing));
    found
}

/// What is wrong with a drawing on a sheet of its own.
pub fn of_sheet(drawing: &Drawing, imperial: bool) -> Vec<String> {
    let mut found = of_drawing(drawing);
    found.extend(scale::could_be_larger(drawing, imperial));
    found.extend(page::only_a_key(drawing));
    found
}

/// What is wrong with the pages of a document.
pub fn of_pages(pages: &[Drawing]) -> Vec<String> {
    let mut found = Vec::new();
    for one in pages {
        let wrong = of_drawing(one).into_iter().chain(words::parted_from_unit(one)).chain(page::orphan_heading(one));
        found.extend(wrong.chain(page::hardly_filled(one)).map(|wrong| format!("{}: {wrong}", one.title)));
    }
    found
}
