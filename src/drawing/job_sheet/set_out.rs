//! Where openings and dormers stand in their faces, to mark them before anything is cut.

use super::SheetInput;
use crate::drawing::typeset::document::{Align, Document, Table};
use crate::wording::set_out;

/// The table of where openings and dormers stand; nothing where there are none.
pub(super) fn set_out(input: &SheetInput<'_>, document: &mut Document) {
    const ALIGNED: [Align; 5] = [Align::Left, Align::Left, Align::Right, Align::Right, Align::Left];
    let rows = set_out::rows(input.answer, input.context.words);
    if rows.is_empty() {
        return;
    }
    let heads: Vec<(&str, Align)> = set_out::HEADS.into_iter().zip(ALIGNED).collect();
    let mut table = Table::new(&heads);
    for row in rows {
        table.row(row);
    }
    document.heading(2, "Openings and dormers, set out");
    document.table(table);
}
