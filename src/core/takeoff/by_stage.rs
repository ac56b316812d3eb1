//! The order by parts of the work, each with what it costs.

use super::answer::{TakeOff, sum};
use super::item::Stage;
use super::order_line::OrderLine;
use super::small::SmallGoods;
use crate::base::estimate::{Estimate, Reason};

/// What one part of the work takes of the order.
#[derive(Clone, Debug, PartialEq)]
pub struct StageOrder<'a> {
    /// Which part.
    pub stage: Stage,
    /// Its lines, in the order of work; never none.
    pub lines: Vec<&'a OrderLine>,
    /// Of those that have a price; absent where none has.
    pub cost: Estimate,
}

impl TakeOff {
    /// The order by parts of the work, those that take nothing left out. O(lines).
    #[must_use]
    pub fn by_stage(&self) -> Vec<StageOrder<'_>> {
        let of = |stage: Stage| {
            let lines: Vec<&OrderLine> = self.lines.iter().filter(|line| line.stage() == stage).collect();
            let cost = sum(lines.iter().map(|line| &line.cost)).unwrap_or(Estimate::not_determined(Reason::Absent));
            (!lines.is_empty()).then_some(StageOrder { stage, lines, cost })
        };
        Stage::ALL.into_iter().filter_map(of).collect()
    }

    /// The lines that tell most of the order, in its order: what is bought, but no small goods, the covering before all
    /// and then the heaviest. O(lines × log lines).
    #[must_use]
    pub fn foremost(&self, most: usize) -> Vec<&OrderLine> {
        let is_bought = |line: &&OrderLine| {
            SmallGoods::of(&line.item).is_none()
                && !line.comes_from_another()
                && !line.is_there
                && line.packs != Some(0)
        };
        let mut ranked: Vec<(usize, &OrderLine)> = self.lines.iter().filter(is_bought).enumerate().collect();
        let weight = |line: &OrderLine| line.weight.value().unwrap_or(0.0);
        let is_covering = |line: &OrderLine| line.stage() == Stage::Covering;
        ranked.sort_by(|(_, a), (_, b)| is_covering(b).cmp(&is_covering(a)).then(weight(b).total_cmp(&weight(a))));
        ranked.truncate(most);
        ranked.sort_by_key(|(place, _)| *place);
        ranked.into_iter().map(|(_, line)| line).collect()
    }
}
