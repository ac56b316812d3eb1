//! What the take-off answers: what to order, how it is laid, what to mind.

use super::caps::CapRun;
use super::deck::DeckCut;
use super::layout::FaceLayout;
use super::offer::Offer;
use super::pieces::PiecePlan;
use super::reroof::OldRoofAnswer;
use super::valleys::Valleys;
use crate::base::diagnostic::Note;

/// The take-off of a roof.
#[derive(Clone, Debug, Default)]
pub struct TakeOff {
    /// What to order, in the order of work.
    pub lines: Vec<Line>,
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
    /// How each valley is made.
    pub valleys: Valleys,
    /// Rules of the trade met or not, cautions, what was done for the user.
    pub notes: Vec<Note>,
    /// Sums, where prices are given.
    pub offer: Option<Offer>,
    /// What comes off first, where a roof is renewed.
    pub old_roof: Option<OldRoofAnswer>,
    /// Tools and consumables, in the order of work.
    pub tools: Vec<&'static str>,
    /// Net covered area, openings taken off, square metres.
    pub area: f64,
    /// Its standard deviation, where known.
    pub area_sd: Option<f64>,
}

/// Which part of the work a line belongs to, in the order of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Boards or sheets, fascia, soffit.
    Deck,
    /// Metal at edges and valleys, underlay.
    Underlay,
    /// Starter, courses, nails, adhesive.
    Covering,
    /// Caps and flashings.
    Finish,
    /// Gutters and pipes.
    Rain,
}

impl Stage {
    /// All, in the order of work.
    pub const ALL: [Self; 5] = [Self::Deck, Self::Underlay, Self::Covering, Self::Finish, Self::Rain];

    /// Heading for people.
    #[must_use]
    pub fn heading(self) -> &'static str {
        match self {
            Self::Deck => "Deck and boards",
            Self::Underlay => "Edges, valleys and underlay",
            Self::Covering => "Covering",
            Self::Finish => "Ridges, hips and flashings",
            Self::Rain => "Rainwater",
        }
    }
}

/// One thing to order.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Stable name: what prices and scripts match on.
    pub item: String,
    /// What it is for, in plain words.
    pub what: String,
    /// Which part of the work.
    pub stage: Stage,
    /// How much is laid; `None` where the card is silent.
    pub quantity: Option<f64>,
    /// Of the quantity: "piece", "m²", "m", "tube".
    pub unit: &'static str,
    /// Packs, rolls, boxes or lengths to order: the best estimate. `None` for what comes out of another line's packs.
    pub packs: Option<u32>,
    /// What a pack is: "bundle of 14".
    pub pack: Option<String>,
    /// 95 % bounds of `packs` from the survey's uncertainty.
    pub packs_range: Option<[u32; 2]>,
    /// Packs by the rule of thumb, unrounded, its allowance included.
    pub rule_of_thumb: Option<f64>,
    /// Of what is ordered, kilograms.
    pub weight: Option<f64>,
    /// Of what is ordered, in the user's currency.
    pub cost: Option<f64>,
    /// What a price is for, and how many of it, where that is neither the packs nor the quantity: sheets cut to length
    /// cost by the square metre.
    pub priced: Option<(f64, &'static str)>,
    /// Left over of what is ordered, in `unit`.
    pub left_over: Option<f64>,
    /// How the quantity comes about, where that needs saying: "117 for courses, 12 for the starter, 8 for caps".
    pub detail: Option<String>,
}

/// Counts of one face.
#[derive(Clone, Debug, PartialEq)]
pub struct FaceCount {
    /// The face's name.
    pub face: String,
    /// Courses.
    pub courses: usize,
    /// Exposure, metres.
    pub gauge: f64,
    /// Placed and not cut.
    pub pieces_whole: usize,
    /// Placed and cut from new pieces.
    pub pieces_cut: usize,
    /// Placed from what was left over of others.
    pub pieces_from_offcuts: usize,
    /// 1 - covered area / (new pieces × width × gauge).
    pub waste: f64,
    /// What is cut off and not used again, square metres of piece.
    pub scrap: f64,
    /// Cuts, and their length, metres.
    pub cuts: usize,
    /// Length of the cuts, metres.
    pub cut_length: f64,
}

impl TakeOff {
    /// The line of an item.
    #[must_use]
    pub fn line(&self, item: &str) -> Option<&Line> {
        self.lines.iter().find(|line| line.item == item)
    }

    /// Weight of all that is ordered, kilograms: what the van carries.
    #[must_use]
    pub fn weight(&self) -> f64 {
        self.lines.iter().filter_map(|line| line.weight).sum()
    }

    /// Weight of what comes to lie on the deck, kilograms: underlay, covering, metal.
    #[must_use]
    pub fn weight_on_deck(&self) -> f64 {
        let on_deck = [Stage::Underlay, Stage::Covering, Stage::Finish];
        self.lines.iter().filter(|line| on_deck.contains(&line.stage)).filter_map(|line| line.weight).sum()
    }

    /// Sum of all costs; `None` where no line has one.
    #[must_use]
    pub fn cost(&self) -> Option<f64> {
        let costs: Vec<f64> = self.lines.iter().filter_map(|line| line.cost).collect();
        (!costs.is_empty()).then(|| costs.iter().sum())
    }
}
