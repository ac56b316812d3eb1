//! Timber to order: what the cutting plan buys, a line a section and length.

use super::input::TakeoffInput;
use super::item::{Item, Pack, Unit};
use super::lines::{Amount, Lines};
use super::timber_goods::TimberItem;

/// Adds a line for every section and length.
pub(super) fn timber_lines(input: &TakeoffInput, lines: &mut Lines) {
    for need in input.timbers {
        let item = Item::Timber(TimberItem::of(need.section, need.length));
        let quantity = lines.length(need.cut);
        match need.length {
            #[allow(clippy::cast_precision_loss)]
            Some(length) => {
                let count = need.count as f64;
                let left = Some((count * length - need.cut).max(0.0));
                let amount = Amount { quantity, unit: Unit::Metre, need: count, left, chosen: false };
                lines.add(item, amount, |line| line.pack = Some(Pack::Piece(length)));
            }
            None => lines.add(item, Amount::laid(quantity, Unit::Metre), |_| {}),
        }
    }
}
