//! Which pieces come from what was left over of earlier ones.
//!
//! An offcut keeps one end of the uncut piece. What the start of a course leaves has the left end (laying from the left)
//! and finishes a later course; what a finish leaves has the right end and starts one. An offcut is never turned over
//! or upside down, and is used at most once, by a piece laid after the one it was cut from, on the same face or on a
//! later one (common practice, no source). Which hand a face is laid from does not matter to an offcut: it fits wherever
//! the end it has is wanted, with its slots in line, because both count from that end.

use super::course::ClippedSpan;
use super::details::Hand;
use super::layout::Place;
use crate::base::ids::FaceId;
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
    /// The piece it was cut from.
    pub cut_from: Place,
}

/// Offcuts waiting to be used: by which end of the uncut piece they have, shortest first, the oldest of equals first.
#[derive(Clone, Debug, Default)]
pub struct Pool {
    with_left_end: Vec<Offcut>,
    with_right_end: Vec<Offcut>,
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
    /// The offcut a piece is made of: the shortest that fits, the oldest of equals. `None`: a new piece, whose remainders
    /// go to the pool. O(log waiting) to find, O(waiting) to move up.
    pub fn take(&mut self, bit: &ClippedSpan, rules: &Rules, place: Place) -> Option<Offcut> {
        let (left, right) = (bit.keeps_left(), bit.keeps_right(rules.width));
        if left && right {
            return None;
        }
        let length = bit.to - bit.from;
        // A piece with both ends cut takes its slots from whichever end the offcut still has.
        let with_left = (!right).then(|| if left { length } else { length + bit.from % rules.tab });
        let with_right = (!left).then(|| if right { length } else { length + (rules.width - bit.to) % rules.tab });
        let find = |waiting: &[Offcut], need: Option<f64>| {
            let need = need? - tolerance::SMALLEST;
            let index = waiting.partition_point(|offcut| offcut.length < need);
            waiting.get(index).map(|offcut| (offcut.length, index))
        };
        let from_left = find(&self.with_left_end, with_left);
        let from_right = find(&self.with_right_end, with_right);
        match (from_left, from_right) {
            (Some((a, index)), Some((b, _))) if a <= b => return Some(self.with_left_end.remove(index)),
            (_, Some((_, index))) => return Some(self.with_right_end.remove(index)),
            (Some((_, index)), None) => return Some(self.with_left_end.remove(index)),
            (None, None) => {}
        }
        self.keep(bit, rules, place);
        None
    }

    /// Keeps what a new piece leaves at either end, where it is long enough.
    fn keep(&mut self, bit: &ClippedSpan, rules: &Rules, cut_from: Place) {
        for (waiting, length) in [(&mut self.with_left_end, bit.from), (&mut self.with_right_end, rules.width - bit.to)]
        {
            if length >= rules.shortest - tolerance::SMALLEST {
                let after = waiting.partition_point(|offcut| offcut.length <= length);
                waiting.insert(after, Offcut { length, cut_from });
            }
        }
    }

    /// What nobody used.
    pub fn left_over(self) -> impl Iterator<Item = Offcut> {
        self.with_left_end.into_iter().chain(self.with_right_end)
    }
}

/// Counts what a whole face takes, course after course in laying order, with these offcuts at hand; they are used up as
/// it goes. O(pieces × log waiting).
pub fn tally<'a>(
    face: FaceId,
    courses: impl Iterator<Item = &'a [ClippedSpan]>,
    hand: Hand,
    rules: &Rules,
    least_end: f64,
    pool: &mut Pool,
) -> Tally {
    let mut tally = Tally::default();
    for (course, bits) in courses.enumerate() {
        let mut lay = |piece: usize, bit: &ClippedSpan| {
            tally.placed += 1;
            if pool.take(bit, rules, Place { face, course, piece }).is_none() {
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
    tally
}

impl std::ops::AddAssign for Tally {
    fn add_assign(&mut self, other: Self) {
        self.slivers += other.slivers;
        self.new += other.new;
        self.cut += other.cut;
        self.placed += other.placed;
    }
}
