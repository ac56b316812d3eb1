//! Which length each piece is cut from.

use super::TimberKind;
use super::piece::Piece;
use crate::framing::spec::Section;
use std::collections::BTreeMap;

/// The width of a saw cut, metres (common practice, no source).
pub const SAW: f64 = 0.004;

/// A timber as it is bought, and what is cut from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Stick {
    /// Its section.
    pub section: Section,
    /// Its length, metres.
    pub length: f64,
    /// The pieces cut from it, by their place in the list, the longest first.
    pub pieces: Vec<usize>,
    /// What is left, metres.
    pub left: f64,
}

/// How much timber to buy of one section and length.
#[derive(Clone, Debug, PartialEq)]
pub struct Bought {
    /// Its section.
    pub section: Section,
    /// Its length, metres.
    pub length: f64,
    /// How many.
    pub count: usize,
}

/// What is bought, stick by stick.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CuttingPlan {
    /// Each stick.
    pub sticks: Vec<Stick>,
    /// Pieces longer than any stock, by their place in the list: they are jointed, or ordered to length.
    pub too_long: Vec<usize>,
}

impl CuttingPlan {
    /// The sticks by section and length, the longest first.
    #[must_use]
    pub fn bought(&self) -> Vec<Bought> {
        let mut bought: Vec<Bought> = Vec::new();
        for stick in &self.sticks {
            let same = |of: &&mut Bought| of.section == stick.section && of.length == stick.length;
            match bought.iter_mut().find(same) {
                Some(of) => of.count += 1,
                None => bought.push(Bought { section: stick.section, length: stick.length, count: 1 }),
            }
        }
        bought.sort_by(|a, b| {
            let size = |of: &Bought| (of.section.depth, of.section.thickness, of.length);
            size(b).partial_cmp(&size(a)).unwrap_or(std::cmp::Ordering::Equal)
        });
        bought
    }
}

/// Cuts pieces from stock, section by section, the longest first, each from the rest it fits best, else from a new stick; at the
/// end each stick is swapped for the shortest stock that holds its pieces. Without stock lengths nothing is planned. Fascias and
/// plates longer than the longest stock are jointed: their length counts in whole sticks and a rest. O(pieces · sticks).
#[must_use]
pub fn cutting_plan(pieces: &[Piece], stock: &[f64]) -> CuttingPlan {
    let Some(longest) = stock.iter().copied().reduce(f64::max) else { return CuttingPlan::default() };
    let mut needs: BTreeMap<[u64; 2], (Section, Vec<(f64, usize)>)> = BTreeMap::new();
    let mut plan = CuttingPlan::default();
    for (index, piece) in pieces.iter().enumerate() {
        let key = [piece.section.thickness.to_bits(), piece.section.depth.to_bits()];
        let (_, of) = needs.entry(key).or_insert_with(|| (piece.section, Vec::new()));
        for _ in 0..piece.count() {
            let mut length = piece.length;
            if length > longest {
                if !matches!(piece.kind, TimberKind::Fascia | TimberKind::Plate | TimberKind::Ridge) {
                    plan.too_long.push(index);
                    continue;
                }
                while length > longest {
                    of.push((longest, index));
                    length -= longest;
                }
            }
            of.push((length, index));
        }
    }
    plan.too_long.dedup();
    for (section, mut of) in needs.into_values() {
        of.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let mut sticks: Vec<(f64, Vec<(f64, usize)>)> = Vec::new();
        for (length, index) in of {
            // Tightest rest that holds it: rests are of the longest stock.
            let fits = sticks.iter_mut().filter(|(used, _)| used + SAW + length <= longest);
            match fits.max_by(|a, b| a.0.total_cmp(&b.0)) {
                Some((used, cut)) => {
                    *used += SAW + length;
                    cut.push((length, index));
                }
                None => sticks.push((length, vec![(length, index)])),
            }
        }
        for (used, cut) in sticks {
            let length = stock.iter().copied().filter(|length| *length >= used).reduce(f64::min).unwrap_or(longest);
            let pieces = cut.into_iter().map(|(_, index)| index).collect();
            plan.sticks.push(Stick { section, length, pieces, left: length - used });
        }
    }
    plan
}
