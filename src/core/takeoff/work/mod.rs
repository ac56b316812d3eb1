//! The job in the order of work, as data: each step with what it uses up, where, its numbers and its cautions.
//!
//! A step exists exactly when something is laid or must be done before or after: no metal is laid that is not on the
//! order, and every line of the order is used by a step. What the card has no goods for is found and said. `wording::work`
//! makes sentences of it.

mod along;
mod caution;
mod courses;
mod felt;
mod felt_task;
mod finish;
mod ground;
mod kind;
mod missing;
mod opened;
mod repair_task;
mod site;
mod step;

pub use along::{Along, StarterBegins};
pub use caution::Caution;
pub use felt_task::{Collar, FeltEdges, FeltLayer};
pub use kind::Kind;
pub use opened::Opened;
pub use repair_task::RepairTask;
pub use step::{Coursing, Step, Task, Trim, TrimSide};

pub(super) use self::site::Site;

use super::card::{Card, CoveringKind};
use super::finding::Finding;
use super::goods::DeckKind;

impl Kind {
    /// What kind of covering a card is to the hands that lay it.
    #[must_use]
    pub fn of(card: &Card) -> Self {
        match &card.covering {
            CoveringKind::Strip(_) => Self::Strip,
            CoveringKind::Sheet(_) => Self::Sheet,
            CoveringKind::Felt(_) => Self::Felt,
            CoveringKind::Unit(unit) if unit.layers < 2 => Self::Tile,
            CoveringKind::Unit(unit) if unit.nib.is_some() => Self::PlainTile,
            // What is bedded in adhesive bends; else what hangs on battens is stone.
            CoveringKind::Unit(_) if card.adhesive.is_some() => Self::SingleTab,
            CoveringKind::Unit(_) => match card.deck.as_ref().map(|deck| deck.kind) {
                Some(DeckKind::Boards | DeckKind::Sheets) => Self::SingleTab,
                Some(DeckKind::Battens) | None => Self::Slate,
            },
        }
    }
}

/// The steps of a job in the order of work. O(faces × (edges + pieces)).
pub(super) fn steps(site: &Site<'_>) -> Vec<Step> {
    if site.answer.lines.is_empty() {
        return Vec::new();
    }
    let mut steps = ground::steps(site);
    steps.extend(felt::covering(site));
    steps.extend(courses::steps(site));
    steps.extend(finish::steps(site));
    steps
}

/// What the roof asks for and the card has no goods for. O(faces × edges).
pub(super) fn missing(site: &Site<'_>) -> Vec<Finding> {
    missing::findings(site)
}
