//! Details of eaves, verges, ridges and valleys, side by side.

use super::SheetInput;
use super::shapes::side_by_side;
use super::what::sentence;
use crate::drawing::typeset::document::Document;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::views::detail::DetailFigure;

/// The details of the roof, on the full sheet.
pub(super) fn details(input: &SheetInput<'_>, document: &mut Document) {
    if !input.full {
        return;
    }
    let shown = DetailFigure::all(input.answer, input.context.words);
    let figures: Vec<&dyn Figure> = shown.iter().map(|figure| figure as &dyn Figure).collect();
    let captions: Vec<String> = shown.iter().map(|figure| sentence(&figure.caption())).collect();
    let most = figures.len().div_ceil(2) as f64 * 0.5;
    side_by_side(input, document, "Details", &figures, &captions, most);
    if !shown.is_empty() {
        document.text(crate::wording::building::DETAILS_REMARK);
    }
}
