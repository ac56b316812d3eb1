//! The job in the order of work, as data: each step with what it uses up, where, its numbers and its cautions.
//!
//! A step exists exactly when something is laid or must be done before or after: no metal is laid that is not on the
//! order, and every line of the order is used by a step. What the card has no goods for is found and said. `wording::work`
//! makes sentences of it.

mod along;
mod caution;
mod courses;
mod felt;
mod finish;
mod ground;
mod kind;
mod missing;
mod opened;
mod repair_task;
mod step;

pub use along::{Along, StarterBegins};
pub use caution::Caution;
pub use felt::{Collar, FeltEdges, FeltLayer};
pub use kind::Kind;
pub use opened::Opened;
pub use repair_task::RepairTask;
pub use step::{Coursing, Step, Task, Trim, TrimSide};

use super::answer::TakeOff;
use super::card::{Card, CoveringKind};
use super::finding::Finding;
use super::goods::DeckKind;
use super::item::{Item, Quantity};
use super::outline::CoveredFace;
use super::take_off::TakeoffInput;
use crate::base::ids::{EdgeId, FaceId};
use crate::roof::EdgeKind;

/// What steps are worked out from: the job, its faces as covered, and everything counted so far.
#[derive(Clone, Copy)]
pub(super) struct Site<'a> {
    pub input: &'a TakeoffInput<'a>,
    pub faces: &'a [CoveredFace],
    pub answer: &'a TakeOff,
}

impl Site<'_> {
    fn card(&self) -> &Card {
        &self.input.covering.card
    }

    /// Those of the items that are on the order.
    fn on_order(&self, items: &[Item]) -> Vec<Item> {
        let is_ordered = |item: &&Item| self.answer.lines.iter().any(|line| line.item == **item);
        items.iter().filter(is_ordered).cloned().collect()
    }

    /// Whether underlay is laid.
    fn has_underlay(&self) -> bool {
        !self.on_order(&[Item::Underlay]).is_empty()
    }

    /// The length of the pieces that an item is ordered in; as usual where it is not.
    fn stock_length(&self, item: &Item, usual: f64) -> f64 {
        let line = self.answer.lines.iter().find(|line| line.item == *item);
        line.and_then(|line| line.pack.as_ref()?.length()).unwrap_or(usual)
    }

    /// How many of an item are on the order; 0 where it is not.
    fn count(&self, item: &Item) -> u32 {
        let line = self.answer.lines.iter().find(|line| line.item == *item);
        match line.map(|line| line.quantity) {
            Some(Quantity::Count(count)) => count,
            _ => 0,
        }
    }

    /// The item of the covering itself, and what holds it.
    fn covering_items(&self) -> Vec<Item> {
        let lines = self.answer.lines.iter().map(|line| line.item.clone());
        let is_covering = |item: &Item| {
            matches!(
                item,
                Item::Strips | Item::Units(_) | Item::Sheets(_) | Item::CapSheet(_) | Item::Fixings(_) | Item::Adhesive
            )
        };
        lines.filter(is_covering).collect()
    }

    /// Edges of a kind that border a roof face, in order.
    fn edges(&self, kind: EdgeKind) -> Vec<EdgeId> {
        let of_face = self.faces.iter().flat_map(|face| &face.edges).filter(|edge| edge.kind == kind);
        let mut edges: Vec<EdgeId> = of_face.filter_map(|edge| edge.id).collect();
        edges.sort_unstable();
        edges.dedup();
        edges
    }

    /// Faces that one of these edges borders.
    fn faces_at(&self, edges: &[EdgeId]) -> Vec<FaceId> {
        let touches = |face: &&CoveredFace| face.edges.iter().any(|edge| edge.id.is_some_and(|id| edges.contains(&id)));
        self.faces.iter().filter(touches).map(|face| face.id).collect()
    }

    /// Whether it is covered with roll felt.
    fn is_felt(&self) -> bool {
        self.kind() == Kind::Felt
    }

    /// Length of edges, metres.
    fn length(&self, edges: &[EdgeId]) -> f64 {
        self.input.roof.length_of(edges).0
    }

    fn all_faces(&self) -> Vec<FaceId> {
        self.faces.iter().map(|face| face.id).collect()
    }

    /// What kind of covering it is to the hands that lay it.
    fn kind(&self) -> Kind {
        Kind::of(self.card())
    }
}

impl Kind {
    /// What kind of covering a card is to the hands that lay it.
    #[must_use]
    pub fn of(card: &Card) -> Self {
        match &card.covering {
            CoveringKind::Strip(_) => Self::Strip,
            CoveringKind::Sheet(_) => Self::Sheet,
            CoveringKind::Felt(_) => Self::Felt,
            CoveringKind::Unit(unit) if unit.layers < 2 => Self::Tile,
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
