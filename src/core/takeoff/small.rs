//! Small goods: many kinds that are ordered together, so that a short list tells each group in one row.

use super::answer::{TakeOff, sum};
use super::item::Item;
use super::order_line::OrderLine;
use crate::base::estimate::Estimate;

/// A group of small goods.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SmallGoods {
    /// Nails, screws and hooks of everything.
    Fixings,
    /// Single pieces of metal at walls and openings.
    Metal,
    /// Brackets, corners, ends and outlets of gutters, bends and clips of pipes.
    GutterParts,
}

impl SmallGoods {
    /// All, in the order of work.
    pub const ALL: [Self; 3] = [Self::Fixings, Self::Metal, Self::GutterParts];

    /// The word scripts match on.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Fixings => "fixings",
            Self::Metal => "metal",
            Self::GutterParts => "gutter-parts",
        }
    }

    /// The group an item belongs to; `None` for what has a row of its own.
    #[must_use]
    pub fn of(item: &Item) -> Option<Self> {
        match item {
            Item::Fixings(_) | Item::Holds(_) => Some(Self::Fixings),
            Item::StepFlashing | Item::KickOut | Item::Saddle => Some(Self::Metal),
            Item::GutterBracket
            | Item::GutterCorner
            | Item::StopEnd
            | Item::GutterOutlet
            | Item::PipeBend
            | Item::PipeClip => Some(Self::GutterParts),
            _ => None,
        }
    }
}

/// The lines of a group.
#[derive(Clone, Debug, PartialEq)]
pub struct SmallGroup<'a> {
    /// Which.
    pub of: SmallGoods,
    /// Its lines, in the order of work; never none.
    pub lines: Vec<&'a OrderLine>,
    /// Of all of them, kilograms.
    pub weight: Estimate,
    /// Of those that have a price; `None` where none has.
    pub cost: Option<f64>,
}

impl TakeOff {
    /// Small goods by group, in the order of work. O(lines).
    #[must_use]
    pub fn small_goods(&self) -> Vec<SmallGroup<'_>> {
        let group = |of: SmallGoods| {
            let lines: Vec<&OrderLine> =
                self.lines.iter().filter(|line| SmallGoods::of(&line.item) == Some(of)).collect();
            let costs: Vec<f64> = lines.iter().filter_map(|line| line.cost.value()).collect();
            (!lines.is_empty()).then(|| SmallGroup {
                of,
                weight: sum(lines.iter().map(|line| &line.weight)).unwrap_or(Estimate::exact(0.0)),
                cost: (!costs.is_empty()).then(|| costs.iter().sum()),
                lines,
            })
        };
        SmallGoods::ALL.into_iter().filter_map(group).collect()
    }

    /// Lines with a row of their own in a short list: what is bought, small goods apart. What is cut from another line's
    /// packs is told with that. O(lines).
    pub fn main_lines(&self) -> impl Iterator<Item = &OrderLine> {
        self.lines.iter().filter(|line| SmallGoods::of(&line.item).is_none() && !line.comes_from_another())
    }
}
