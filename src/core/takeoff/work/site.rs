//! What steps are worked out from.

use super::caution::Caution;
use super::kind::Kind;
use crate::base::ids::{EdgeId, FaceId};
use crate::roof::EdgeKind;
use crate::takeoff::answer::TakeOff;
use crate::takeoff::card::Card;
use crate::takeoff::input::TakeoffInput;
use crate::takeoff::item::{Item, Quantity};
use crate::takeoff::outline::CoveredFace;

/// What steps are worked out from: the job, its faces as covered, and everything counted so far.
#[derive(Clone, Copy)]
pub struct Site<'a> {
    pub input: &'a TakeoffInput<'a>,
    pub faces: &'a [CoveredFace],
    pub answer: &'a TakeOff,
}

impl Site<'_> {
    pub(super) fn card(&self) -> &Card {
        &self.input.covering.card
    }

    /// Those of the items that are on the order.
    pub(super) fn on_order(&self, items: &[Item]) -> Vec<Item> {
        let is_ordered = |item: &&Item| self.answer.lines.iter().any(|line| line.item == **item);
        items.iter().filter(is_ordered).cloned().collect()
    }

    /// Whether underlay is laid.
    pub(super) fn has_underlay(&self) -> bool {
        !self.on_order(&[Item::Underlay]).is_empty()
    }

    /// The length of the pieces that an item is ordered in; as usual where it is not.
    pub(super) fn stock_length(&self, item: &Item, usual: f64) -> f64 {
        let line = self.answer.lines.iter().find(|line| line.item == *item);
        line.and_then(|line| line.pack.as_ref()?.length()).unwrap_or(usual)
    }

    /// How many of an item are on the order; 0 where it is not.
    pub(super) fn count(&self, item: &Item) -> u32 {
        let line = self.answer.lines.iter().find(|line| line.item == *item);
        match line.map(|line| line.quantity) {
            Some(Quantity::Count(count)) => count,
            _ => 0,
        }
    }

    /// The item of the covering itself, and what holds it.
    pub(super) fn covering_items(&self) -> Vec<Item> {
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
    pub(super) fn edges(&self, kind: EdgeKind) -> Vec<EdgeId> {
        let of_face = self.faces.iter().flat_map(|face| &face.edges).filter(|edge| edge.kind == kind);
        let mut edges: Vec<EdgeId> = of_face.filter_map(|edge| edge.id).collect();
        edges.sort_unstable();
        edges.dedup();
        edges
    }

    /// Faces that one of these edges borders.
    pub(super) fn faces_at(&self, edges: &[EdgeId]) -> Vec<FaceId> {
        let touches = |face: &&CoveredFace| face.edges.iter().any(|edge| edge.id.is_some_and(|id| edges.contains(&id)));
        self.faces.iter().filter(touches).map(|face| face.id).collect()
    }

    /// Whether it is covered with roll felt.
    pub(super) fn is_felt(&self) -> bool {
        self.kind() == Kind::Felt
    }

    /// Length of edges, metres.
    pub(super) fn length(&self, edges: &[EdgeId]) -> f64 {
        self.input.roof.length_of(edges).0
    }

    pub(super) fn all_faces(&self) -> Vec<FaceId> {
        self.faces.iter().map(|face| face.id).collect()
    }

    /// What kind of covering it is to the hands that lay it.
    pub(super) fn kind(&self) -> Kind {
        Kind::of(self.card())
    }
}

/// What can hurt at cutting.
pub(super) fn cutting(site: &Site<'_>) -> Vec<Caution> {
    let adhesive = site.card().adhesive.as_ref().map(|_| Caution::Solvent);
    let tool = match site.kind() {
        Kind::Strip | Kind::SingleTab | Kind::Felt => vec![Caution::Blades],
        Kind::Slate | Kind::Tile | Kind::PlainTile => vec![Caution::StoneDust],
        Kind::Sheet => vec![Caution::MetalEdges, Caution::Sparks],
    };
    tool.into_iter().chain(adhesive).collect()
}
