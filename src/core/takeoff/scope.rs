//! What of a job is not bought: what stays on the building, what is no part of the job, what is there already.

use super::item::{Item, Quantity, Stage, Unit};
use super::model::Covering;

/// Why something is not ordered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spared {
    /// It is no part of the job.
    LeftOut,
    /// It stays on the building while the roof is renewed.
    Stays,
    /// It is on the building already.
    InPlace,
    /// It is in the yard already: laid, but not bought.
    InYard,
}

impl Spared {
    /// The word scripts match on.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::LeftOut => "left-out",
            Self::Stays => "stays",
            Self::InPlace => "in-place",
            Self::InYard => "in-yard",
        }
    }
}

/// Something the roof has or could have that is not bought.
#[derive(Clone, Debug, PartialEq)]
pub struct NotOrdered {
    /// What.
    pub item: Item,
    /// How much of it the roof takes.
    pub quantity: Quantity,
    /// Of the quantity.
    pub unit: Unit,
    /// Why it is not bought.
    pub why: Spared,
}

/// Why an item is not bought for this job; `None` for one that is. What is built onto the house before the roof and hung
/// on it after (boards, gutters) is in place where it is there already, all else lies in the yard.
#[must_use]
pub fn spared(covering: &Covering, item: &Item) -> Option<Spared> {
    let names = |list: &[String]| list.iter().any(|name| name == item.key());
    let stays = covering.old_roof.as_ref().is_some_and(|old| old.stays.iter().any(|stay| names(&stay.items)));
    if names(&covering.scope.leave_out) {
        Some(Spared::LeftOut)
    } else if stays && !renewed_in_part(covering, item) {
        Some(Spared::Stays)
    } else if names(&covering.scope.already_there) {
        Some(if matches!(item.stage(), Stage::Deck | Stage::Rain) { Spared::InPlace } else { Spared::InYard })
    } else {
        None
    }
}

/// Whether an item is the deck of a roof whose deck is mended: its share is ordered, though the rest stays.
fn renewed_in_part(covering: &Covering, item: &Item) -> bool {
    matches!(item, Item::Deck(_)) && covering.old_roof.as_ref().is_some_and(|old| old.deck_share > 0.0)
}
