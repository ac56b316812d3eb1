//! Rows of roll goods cut from rolls: what a row leaves of a roll begins a later one, ends lapped, end laps of neighbouring
//! rows kept apart. Which roll each piece comes from is part of the answer, so that the order can be laid as it is counted.

use crate::base::ids::FaceId;
use crate::base::order::SortByNumber as _;
use crate::base::tolerance;

/// What is unrolled, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Roll {
    /// Length of a new one.
    pub length: f64,
    /// Of a piece's end over the next.
    pub end_lap: f64,
    /// Middles of end laps in neighbouring rows stand at least so far apart.
    pub stagger: f64,
    /// The shortest piece worth laying; shorter rests are scrap.
    pub shortest: f64,
}

/// A stretch to lay in one go, along the way the goods are unrolled.
#[derive(Clone, Debug, PartialEq)]
pub struct RollStretch {
    /// The face it lies on; `None` for a strip of its own, such as one down a valley.
    pub face: Option<FaceId>,
    /// Which row of the face, counted from 0.
    pub row: usize,
    /// From where to where, metres.
    pub span: [f64; 2],
    /// So many strips side by side come out of the width of a roll: 1 for a full width.
    pub strips: u32,
}

/// A piece of a stretch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// From where to where, its laps with it.
    pub span: [f64; 2],
    /// Which roll it comes from, counted from 1.
    pub roll: u32,
}

/// What all stretches took.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Unrolled {
    /// The pieces of each stretch in order along it.
    pub cuts: Vec<Vec<Cut>>,
    /// Rolls begun.
    pub rolls: u32,
}

/// What is left of a roll: a length, and how many strips make up its width (1: all of it).
#[derive(Clone, Copy, Debug, PartialEq)]
struct Rest {
    length: f64,
    strips: u32,
    roll: u32,
}

/// A way to lay a stretch: pieces by their ends, counted from the hand it is laid from.
struct RollPath {
    pieces: Vec<[f64; 2]>,
    /// Which rest each is cut from; `None`: a new roll.
    from: Vec<Option<usize>>,
    is_mirrored: bool,
    /// End laps too near to one of the row below; new rolls; end laps; length cut off that no later row can use.
    cost: (usize, usize, usize, f64),
}

/// Lays stretches one after the other, each in the way that keeps its end laps away from those of the row below, then takes
/// the fewest new rolls, then has the fewest laps and leaves the least scrap. O(stretches² × rests × (length / stagger)).
#[must_use]
pub(crate) fn unroll(stretches: &[RollStretch], roll: &Roll) -> Unrolled {
    let mut answer = Unrolled::default();
    let mut rests: Vec<Rest> = Vec::new();
    for (index, stretch) in stretches.iter().enumerate() {
        let neighbours = stretches[..index]
            .iter()
            .zip(&answer.cuts)
            .filter(|(other, _)| stretch.face.is_some() && other.face == stretch.face && other.row + 1 == stretch.row);
        let below: Vec<f64> = neighbours.flat_map(|(_, cuts)| laps(cuts)).collect();
        let way = best(stretch, &below, roll, &rests);
        let [left, right] = stretch.span;
        let mut taken: Vec<usize> = Vec::new();
        let mut cuts: Vec<Cut> = Vec::new();
        for ([from, to], source) in way.pieces.iter().zip(&way.from) {
            let stock = match source {
                Some(at) => {
                    taken.push(*at);
                    rests[*at]
                }
                None => {
                    answer.rolls += 1;
                    Rest { length: roll.length, strips: 1, roll: answer.rolls }
                }
            };
            leave(&mut rests, stock, to - from, stretch.strips, roll);
            let span = if way.is_mirrored { [right - to, right - from] } else { [left + from, left + to] };
            cuts.push(Cut { span, roll: stock.roll });
        }
        taken.sort_unstable();
        for &at in taken.iter().rev() {
            rests.remove(at);
        }
        cuts.sort_by_number(|a| a.span[0]);
        answer.cuts.push(cuts);
    }
    answer
}

/// The middles of the end laps between pieces in order.
pub fn laps(cuts: &[Cut]) -> impl Iterator<Item = f64> {
    cuts.windows(2).map(|pair| f64::midpoint(pair[0].span[1], pair[1].span[0]))
}

/// Keeps what a piece leaves of its stock: what is beyond its end, and the other strips of its width.
fn leave(rests: &mut Vec<Rest>, stock: Rest, length: f64, strips: u32, roll: &Roll) {
    let beyond = stock.length - length;
    if beyond >= roll.shortest {
        rests.push(Rest { length: beyond, ..stock });
    }
    if stock.strips < strips && length >= roll.shortest {
        rests.extend((1..strips).map(|_| Rest { length, strips, roll: stock.roll }));
    }
}

fn best(stretch: &RollStretch, below: &[f64], roll: &Roll, rests: &[Rest]) -> RollPath {
    let length = stretch.span[1] - stretch.span[0];
    let mut best: Option<RollPath> = None;
    let fits = |rest: &Rest| rest.strips == 1 || rest.strips == stretch.strips;
    let starts = rests.iter().enumerate().filter(|(_, rest)| fits(rest)).map(|(at, rest)| (Some(at), rest.length));
    for (source, stock) in starts.chain([(None, roll.length)]) {
        let longest = stock.min(length);
        // Cut shorter step by step, where that keeps its end away from those below.
        let steps = (0..).map(|step| longest - f64::from(step) * roll.stagger / 2.0);
        for first in steps.take_while(|first| *first >= roll.shortest.min(longest)) {
            for is_mirrored in [false, true] {
                let way = lay(stretch, first, source, is_mirrored, below, roll, rests);
                if best.as_ref().is_none_or(|known| cheaper(&way, known)) {
                    best = Some(way);
                }
            }
            // One piece covers it all: no end to move.
            if first >= length - tolerance::SMALLEST {
                break;
            }
        }
    }
    best.unwrap_or_else(|| lay(stretch, roll.length.min(length), None, false, below, roll, rests))
}

fn cheaper(a: &RollPath, b: &RollPath) -> bool {
    let ((a_near, a_new, a_laps, a_scrap), (b_near, b_new, b_laps, b_scrap)) = (a.cost, b.cost);
    let whole = (a_near, a_new, a_laps).cmp(&(b_near, b_new, b_laps));
    whole
        .then(if (a_scrap - b_scrap).abs() < tolerance::SMALLEST {
            std::cmp::Ordering::Equal
        } else {
            a_scrap.total_cmp(&b_scrap)
        })
        .is_lt()
}

/// The stretch from one hand: a first piece of this length, whole rolls after it, the last out of the shortest rest that
/// does.
fn lay(
    stretch: &RollStretch,
    first: f64,
    source: Option<usize>,
    is_mirrored: bool,
    below: &[f64],
    roll: &Roll,
    rests: &[Rest],
) -> RollPath {
    let [left, right] = stretch.span;
    let length = right - left;
    let (mut pieces, mut from) = (vec![[0.0, first]], vec![source]);
    let mut end = first;
    while length - end > tolerance::SMALLEST {
        let start = end - roll.end_lap;
        let needed = length - start;
        let last = rests.iter().enumerate().filter(|(at, rest)| {
            !from.contains(&Some(*at))
                && (rest.strips == 1 || rest.strips == stretch.strips)
                && rest.length >= needed - tolerance::SMALLEST
        });
        // Narrow rests before full widths.
        let last = last.min_by(|a, b| b.1.strips.cmp(&a.1.strips).then(a.1.length.total_cmp(&b.1.length)));
        end = if last.is_some() { length } else { length.min(start + roll.length) };
        pieces.push([start, end]);
        from.push(last.map(|(at, _)| at));
    }
    let place = |at: f64| if is_mirrored { right - at } else { left + at };
    let middles: Vec<f64> = pieces.windows(2).map(|pair| place(f64::midpoint(pair[0][1], pair[1][0]))).collect();
    let is_near =
        |middle: &&f64| below.iter().any(|other| (**middle - other).abs() < roll.stagger - tolerance::SMALLEST);
    let near = middles.iter().filter(is_near).count();
    let is_short = |piece: &&[f64; 2]| piece[1] - piece[0] < roll.shortest - tolerance::SMALLEST;
    let short = if pieces.len() > 1 { pieces.iter().filter(is_short).count() } else { 0 };
    let new = from.iter().filter(|source| source.is_none()).count();
    let scrap = |(piece, source): (&[f64; 2], &Option<usize>)| {
        let rest = source.map_or(roll.length, |at| rests[at].length) - (piece[1] - piece[0]);
        if rest >= roll.shortest { 0.0 } else { rest }
    };
    let scrap = pieces.iter().zip(&from).map(scrap).sum();
    RollPath { cost: (near + short, new, middles.len(), scrap), pieces, from, is_mirrored }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::ids::FaceId;

    const ROLL: Roll = Roll { length: 8.0, end_lap: 0.15, stagger: 0.5, shortest: 1.0 };

    fn rows(count: usize, length: f64) -> Vec<RollStretch> {
        (0..count).map(|row| RollStretch { face: Some(FaceId::new(0)), row, span: [0.0, length], strips: 1 }).collect()
    }

    #[test]
    fn what_a_row_leaves_begins_the_next() {
        // Rows of 5 m out of rolls of 8 m: 3 m are left; 3 and 2.15 make the second row, 5.85 are left and make the third.
        let laid = unroll(&rows(3, 5.0), &ROLL);
        assert_eq!(laid.rolls, 2);
        let lengths: Vec<usize> = laid.cuts.iter().map(Vec::len).collect();
        assert_eq!((lengths.iter().sum::<usize>(), lengths.iter().max()), (4, Some(&2)), "{lengths:?}");
        // 8 m rows take a roll each.
        assert_eq!(unroll(&rows(4, 8.0), &ROLL).rolls, 4);
    }

    #[test]
    fn end_laps_of_neighbouring_rows_keep_apart() {
        for tenths in 81..300 {
            let laid = unroll(&rows(9, f64::from(tenths) / 10.0), &ROLL);
            for pair in laid.cuts.windows(2) {
                for lap in laps(&pair[1]) {
                    let near = laps(&pair[0]).map(|other| (other - lap).abs()).fold(f64::INFINITY, f64::min);
                    assert!(near >= 0.5 - 1e-9, "{tenths}: {near}");
                }
            }
        }
    }

    #[test]
    fn narrow_strips_come_side_by_side_out_of_one_length() {
        let strip = |span| RollStretch { face: None, row: 0, span, strips: 3 };
        let laid = unroll(&[strip([0.0, 2.0]), strip([0.0, 2.0]), strip([0.0, 2.0]), strip([0.0, 2.0])], &ROLL);
        assert_eq!(laid.rolls, 1);
        let of_one = |roll: u32| laid.cuts.iter().flatten().filter(|cut| cut.roll == roll).count();
        assert_eq!(of_one(1), 4);
    }
}
