//! What the take-off answers: what to order, how it is laid, what to mind.

use super::caps::CapRun;
use super::deck::DeckCut;
use super::felt::FeltLaid;
use super::finding::Finding;
use super::reroof::OldRoofAnswer;
use super::scope::NotOrdered;
use crate::takeoff::layout::FaceCount;
use crate::takeoff::order_line::OrderLine;
use crate::takeoff::work::Step;

use super::layout::FaceLayout;
use super::offer::{Measures, Offer};
use super::pieces::PiecePlan;

use super::valleys::Valleys;

use crate::base::estimate::{Assumption, Estimate, Reason};

pub use super::item::Stage;

/// The take-off of a roof.
#[derive(Clone, Debug)]
pub struct TakeOff {
    /// What to order, in the order of work.
    pub lines: Vec<OrderLine>,
    /// What the roof has or takes and is not bought for this job, and why.
    pub not_ordered: Vec<NotOrdered>,
    /// How each roof face is laid.
    pub layouts: Vec<FaceLayout>,
    /// Counts a face, in the order of `layouts`.
    pub faces: Vec<FaceCount>,
    /// Lines of ridge and hip caps with their direction.
    pub caps: Vec<CapRun>,
    /// Lengths to cut deck boards or sheets to.
    pub deck_cuts: Vec<DeckCut>,
    /// Deck boards or sheets where they lie, a face each; empty where the card has no deck.
    pub deck_plans: Vec<PiecePlan>,
    /// Rows of underlay where they lie, a face each; empty where the card has none.
    pub underlay_plans: Vec<PiecePlan>,
    /// Both layers of a felt roof where they lie; nothing where it is covered otherwise.
    pub felt: FeltLaid,
    /// How each valley is made.
    pub valleys: Valleys,
    /// Rules of the trade met or not, what was done for the user: what stops the work first.
    pub findings: Vec<Finding>,
    /// What is done, in the order of work.
    pub work: Vec<Step>,
    /// Sums, where prices are given.
    pub offer: Option<Offer>,
    /// What comes off first, where a roof is renewed.
    pub old_roof: Option<OldRoofAnswer>,
    /// Tools and consumables, in the order of work.
    pub tools: Vec<Tool>,
    /// What the van carries at once, kilograms, where that is said.
    pub van_payload: Option<f64>,
    /// Net covered area, openings taken off, square metres.
    pub area: Estimate,
    /// What labour is priced by.
    pub measures: Measures,
    /// Buildings and their parts by their coverings, each with its own order; empty where all of it has one.
    pub parts: Vec<PartOrder>,
}

/// The order of a building, or of a part of it, that has a covering of its own.
#[derive(Clone, Debug)]
pub struct PartOrder {
    /// Names of its blocks, or of its faces by points.
    pub names: Vec<String>,
    /// Its covering's card.
    pub card: String,
    /// The card's title.
    pub title: String,
    /// Net covered area, square metres.
    pub area: Estimate,
    /// What it takes of the order.
    pub lines: Vec<OrderLine>,
}

/// A tool or consumable.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tool {
    /// Harness, anchor and rope, or scaffold.
    FallProtection,
    /// Ladders.
    Ladders,
    /// What is worn.
    Clothing,
    /// Tape, chalk line, square, pencil.
    Marking,
    /// Hammer or nailer, flat bar.
    Nailing,
    /// Knife with hooked and straight blades.
    Knife,
    /// Straight edge of this length.
    StraightEdge,
    /// Saw for boards, panels and battens.
    WoodSaw,
    /// Cutter for slates.
    SlateCutter,
    /// Saw with water for tiles.
    TileSaw,
    /// Dust mask.
    DustMask,
    /// Shears or nibbler.
    Shears,
    /// Screwdriver with a depth stop.
    Screwdriver,
    /// Notched spreader, brush and roller for adhesive out of tins.
    Spreader,
    /// Gun for tubes of adhesive.
    AdhesiveGun,
    /// Hot-air tool to warm caps before they are bent.
    WarmAir,
    /// Snips for metal.
    Snips,
    /// Magnet and broom for dropped nails.
    Magnet,
}

impl TakeOff {
    /// An order of nothing, for the reasons given.
    #[must_use]
    pub fn nothing(area: Estimate, findings: Vec<Finding>) -> Self {
        Self {
            lines: Vec::new(),
            not_ordered: Vec::new(),
            layouts: Vec::new(),
            faces: Vec::new(),
            caps: Vec::new(),
            deck_cuts: Vec::new(),
            deck_plans: Vec::new(),
            underlay_plans: Vec::new(),
            felt: FeltLaid::default(),
            valleys: Valleys::default(),
            findings,
            work: Vec::new(),
            offer: None,
            old_roof: None,
            tools: Vec::new(),
            van_payload: None,
            area,
            measures: Measures::default(),
            parts: Vec::new(),
        }
    }

    /// The line of an item by its stable name.
    #[must_use]
    pub fn line(&self, item: &str) -> Option<&OrderLine> {
        self.lines.iter().find(|line| line.item.key() == item)
    }

    /// Weight of all that is ordered, kilograms: what the van carries.
    #[must_use]
    pub fn weight(&self) -> Estimate {
        sum(self.lines.iter().map(|line| &line.weight)).unwrap_or(Estimate::exact(0.0))
    }

    /// Trips of the van for all that is ordered, each as full as it may be; `None` where its payload is not said. Long or
    /// bulky goods may ask for more.
    #[must_use]
    pub fn van_trips(&self) -> Option<u32> {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let trips = |(payload, weight): (f64, f64)| (weight / payload).ceil().max(1.0) as u32;
        self.van_payload.filter(|_| !self.lines.is_empty()).zip(self.weight().value()).map(trips)
    }

    /// Weight of what comes to lie on the deck, kilograms: underlay, covering, metal.
    #[must_use]
    pub fn weight_on_deck(&self) -> Estimate {
        let on_deck = [Stage::Underlay, Stage::Covering, Stage::Finish];
        let lines = self.lines.iter().filter(|line| on_deck.contains(&line.stage()));
        sum(lines.map(|line| &line.weight)).unwrap_or(Estimate::exact(0.0))
    }

    /// Sum of all costs; absent where no line has one.
    #[must_use]
    pub fn cost(&self) -> Estimate {
        sum(self.lines.iter().map(|line| &line.cost)).unwrap_or(Estimate::not_determined(Reason::Absent))
    }
}

/// The sum of those that are there; `None` where none is. All hang on the same measured area, so they are off together:
/// their deviations add up.
pub(super) fn sum<'a>(parts: impl Iterator<Item = &'a Estimate>) -> Option<Estimate> {
    let there: Vec<&Estimate> = parts.filter(|part| part.value().is_some()).collect();
    let value = there.iter().filter_map(|part| part.value()).sum();
    let sd: Option<f64> = there.iter().map(|part| part.sd()).sum();
    (!there.is_empty()).then(|| match sd {
        Some(sd) => Estimate::measured(value, sd),
        None => Estimate::taken(value, Assumption::SpreadNotComputed),
    })
}
