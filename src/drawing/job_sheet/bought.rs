//! What is cut from what is bought by the length: timber, boards and sheets of the deck.

use super::SheetInput;
use super::cutting_table::CuttingTable;
use super::timber;
use crate::drawing::typeset::document::Document;

/// Timber to buy, and what is cut from each piece of it.
pub(super) fn timber_to_buy(input: &SheetInput<'_>, document: &mut Document) {
    let (framing, format) = (&input.answer.framing, input.context.words);
    if framing.plan.sticks.is_empty() {
        return;
    }
    let CuttingTable { heading, table, .. } = timber::to_buy(framing, format);
    document.heading(2, heading);
    document.table(table);
    document.text(timber::saw(format));
}

/// Lengths to cut deck boards or sheets to.
pub(super) fn deck(input: &SheetInput<'_>, document: &mut Document) {
    let (cuts, format) = (&input.take_off.deck_cuts, input.context.words);
    let (Some(longest), Some(shortest)) = (cuts.first(), cuts.last()) else { return };
    document.heading(2, "Deck boards and sheets");
    let short = |length: f64| format.fine(length).trim_end_matches(" mm").to_owned();
    let unit = if format.imperial { "" } else { " mm" };
    // Raking edges make nearly every row another length: those are cut in place, and only the full sheet lists them.
    let told: Vec<_> = cuts.iter().filter(|deck| input.full || cuts.len() <= FEW_LENGTHS || deck.count > 1).collect();
    let said: Vec<String> = told.iter().map(|deck| format!("{} of {}", deck.count, short(deck.length))).collect();
    if !said.is_empty() {
        document.text(format!("How many of which length: {}{unit}.", said.join(", ")));
    }
    if told.len() < cuts.len() {
        document.text(format!(
            "The others differ in length, one of each between {} and {}: mark them in place, row by row.",
            format.fine(shortest.length),
            format.fine(longest.length)
        ));
    }
}

/// Up to so many lengths are listed.
const FEW_LENGTHS: usize = 16;
