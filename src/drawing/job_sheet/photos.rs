//! The photos a roof was measured from, with the solved roof over them.

use super::SheetInput;
use super::what::sentence;
use crate::drawing::typeset::document::Document;
use crate::drawing::views::photo_page;
use crate::drawing::views::photo_page::Taken;

/// A photo that lies takes no more than this share of a page's height, so that two stand on one; one that stands takes
/// more.
const LYING: f64 = 0.4;
const STANDING: f64 = 0.72;

/// The photos, each as large as two to a page allow.
pub(super) fn photos(input: &SheetInput<'_>, taken: &[Taken], document: &mut Document) {
    if taken.is_empty() {
        return;
    }
    document.heading(2, "The solved roof over the photos");
    document.text(
        "Look whether each line runs along its edge in the picture. Where all the lines of one photo are off the same way, \
         its marks disagree with the rest; where one line is off, a mark or a tape at its ends is to be doubted.",
    );
    for photo in taken {
        let [wide, high] = photo.overlay.size;
        let room = input.room(if wide > high { LYING } else { STANDING });
        let caption = sentence(&format!("the solved roof over {}", photo.shown.file));
        document.figure(Some(photo_page::inset(photo, input.answer, input.context, room)), caption);
    }
}
