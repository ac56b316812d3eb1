//! Which pieces come from what was left over of earlier ones.
//!
//! An offcut keeps one end of the uncut piece. What the start of a course leaves has the left end (laying from the left)
//! and finishes a later course; what a finish leaves has the right end and starts one. An offcut is never turned over
//! or upside down, and is used at most once, by a piece laid after the one it was cut from (common practice, no source).

use super::course::Bit;
use super::layout::{Hand, Source};
use crate::base::tolerance;

/// What is cut and how.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Width of an uncut piece.
    pub width: f64,
    /// Height of an uncut piece.
    pub height: f64,
    /// Distance of slots: a piece that keeps neither end must still have its slots in line.
    pub tab: f64,
    /// Shortest offcut worth keeping.
    pub shortest: f64,
}

/// Left over of a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Offcut {
    /// Length of its full-height rectangle.
    pub length: f64,
    /// Whether it has the left end of the uncut piece; else the right.
    pub has_left_end: bool,
    /// The piece it was cut from: course, place in laying order.
    pub cut_from: (usize, usize),
}

/// Offcuts waiting to be used.
#[derive(Clone, Debug, Default)]
pub struct Pool {
    waiting: Vec<Offcut>,
}

/// What a layout takes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tally {
    /// Ends narrower than the least.
    pub slivers: usize,
    /// New pieces.
    pub new: usize,
    /// New pieces that are cut.
    pub cut: usize,
    /// Pieces placed.
    pub placed: usize,
}

impl Pool {
    /// Where a piece comes from: the shortest offcut that fits, the oldest of equals; else a new piece, whose remainders
    /// go to the pool. O(waiting).
    pub fn take(&mut self, bit: &Bit, rules: &Rules, place: (usize, usize)) -> Source {
        let (left, right) = (bit.keeps_left(), bit.keeps_right(rules.width));
        if left && right {
            return Source::New;
        }
        let length = bit.to - bit.from;
        // A piece with both ends cut takes its slots from whichever end the offcut still has.
        let with_left = if left { length } else { length + bit.from % rules.tab };
        let with_right = if right { length } else { length + (rules.width - bit.to) % rules.tab };
        let fits = |offcut: &Offcut| {
            let need = match (offcut.has_left_end, left, right) {
                (true, _, false) => with_left,
                (false, false, _) => with_right,
                _ => return None,
            };
            (offcut.length >= need - tolerance::SMALLEST).then_some(offcut.length)
        };
        let best = self
            .waiting
            .iter()
            .enumerate()
            .filter_map(|(index, offcut)| fits(offcut).map(|length| (index, length)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((index, _)) = best {
            let offcut = self.waiting.remove(index);
            return Source::Offcut { course: offcut.cut_from.0, piece: offcut.cut_from.1 };
        }
        let shortest = rules.shortest - tolerance::SMALLEST;
        if bit.from >= shortest {
            self.waiting.push(Offcut { length: bit.from, has_left_end: true, cut_from: place });
        }
        if rules.width - bit.to >= shortest {
            self.waiting.push(Offcut { length: rules.width - bit.to, has_left_end: false, cut_from: place });
        }
        Source::New
    }

    /// What nobody used.
    #[must_use]
    pub fn left_over(self) -> Vec<Offcut> {
        self.waiting
    }
}

/// Counts what a whole layout takes, course after course in laying order. O(pieces × waiting).
pub fn tally<'a>(courses: impl Iterator<Item = &'a [Bit]>, hand: Hand, rules: &Rules, least_end: f64) -> (Tally, Pool) {
    let mut pool = Pool::default();
    let mut tally = Tally::default();
    for (course, bits) in courses.enumerate() {
        let mut lay = |place: usize, bit: &Bit| {
            tally.placed += 1;
            if pool.take(bit, rules, (course, place)) == Source::New {
                tally.new += 1;
                tally.cut += usize::from(!bit.is_whole(rules.width, rules.height));
            }
            let narrow = bit.to - bit.from < least_end - tolerance::SMALLEST;
            tally.slivers += usize::from(narrow && bit.is_upright());
        };
        match hand {
            Hand::Left => bits.iter().enumerate().for_each(|(place, bit)| lay(place, bit)),
            Hand::Right => bits.iter().rev().enumerate().for_each(|(place, bit)| lay(place, bit)),
        }
    }
    (tally, pool)
}
