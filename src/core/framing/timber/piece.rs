//! Timbers cut alike as one piece with a mark, a count, lengths and cuts.

use super::model::{Against, EndCut, Seat, Timber, TimberKind, Timbers};
use crate::base::order::SortByNumber as _;
use crate::base::tolerance;
use crate::framing::spec::Section;
use std::f64::consts::FRAC_PI_2;

/// Pieces shorter by no more are cut as the longer, metres: a saw cut is wider, and walls are no truer (common practice, no
/// source).
const ALIKE: f64 = 0.003;

/// Angles likewise, radians: 0.1°, finer than a saw is set.
const ANGLE_ALIKE: f64 = 0.1 * std::f64::consts::PI / 180.0;

/// A corner this near a cut's plane lies on it, metres.
const ON_CUT: f64 = 0.0001;

/// Which way round a piece is cut, seen along it from its lower end with its top up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hand {
    /// The same both ways round.
    Either,
    /// The long point is on its left: the mirror image of [`Hand::Right`].
    Left,
    /// The long point is on its right.
    Right,
}

impl Hand {
    /// What a mark ends with: `L`, `R`, or nothing.
    #[must_use]
    pub fn letter(self) -> &'static str {
        match self {
            Self::Either => "",
            Self::Left => " L",
            Self::Right => " R",
        }
    }

    fn mirrored(self) -> Self {
        match self {
            Self::Either => Self::Either,
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// A cut as a carpenter sets it out, radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// What bears there.
    pub against: Against,
    /// On the side of the piece, from square across it: the plumb cut; 0 for a cut square to the piece.
    pub plumb: f64,
    /// How far the saw is tilted along that line, from square: the angle in plan. Positive where the upper end is longer at the
    /// right.
    pub tilt: f64,
    /// On the top of the piece, from square across it.
    pub on_top: f64,
}

/// Pieces cut alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What they are.
    pub kind: TimberKind,
    /// Their number within the kind, from 1, the longest first; both hands of a piece have one.
    pub number: usize,
    /// Which way round.
    pub hand: Hand,
    /// Their section, metres.
    pub section: Section,
    /// Which timbers they are, by index.
    pub timbers: Vec<usize>,
    /// What is cut: from end to end of the timber it is sawn from, metres.
    pub length: f64,
    /// Along the middle of the top, from cut to cut, metres.
    pub top: f64,
    /// Along the top from long point to long point, metres.
    pub long_point: f64,
    /// Of the theoretical line, metres.
    pub theoretical: f64,
    /// In plan, along the middle, metres.
    pub run: f64,
    /// From level, radians.
    pub slope: f64,
    /// Taken off the theoretical line at the lower and the upper end, along it, metres; negative where the piece goes on beyond.
    pub shortening: [f64; 2],
    /// Cuts at the lower and the upper end.
    pub ends: [Vec<Cut>; 2],
    /// The bevel of its planed top left and right, from square, radians; 0: flat.
    pub backing: [f64; 2],
    /// How far it is lowered under the theoretical line, plumb, metres.
    pub lowered: f64,
    /// How it sits on the plate.
    pub seat: Option<Seat>,
}

impl Piece {
    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.timbers.len()
    }

    /// Its mark: `R1`, `J3 L`.
    #[must_use]
    pub fn mark(&self) -> String {
        format!("{}{}{}", self.kind.letter(), self.number, self.hand.letter())
    }

    /// Its mark without its hand: `J3`.
    #[must_use]
    pub fn group(&self) -> String {
        format!("{}{}", self.kind.letter(), self.number)
    }

    /// The level cut of its seat, on its side from square across it, radians.
    #[must_use]
    pub fn level_cut(&self) -> f64 {
        FRAC_PI_2 - self.slope
    }

    fn of(index: usize, timber: &Timber) -> Option<Self> {
        let top = timber.top_line()?;
        let half = timber.section.thickness / 2.0;
        let edges = [timber.line_at(half), timber.line_at(-half)].map(|edge| edge.unwrap_or(top));
        let long = [top, edges[0], edges[1]]
            .iter()
            .fold([f64::INFINITY, f64::NEG_INFINITY], |long, edge| [long[0].min(edge[0]), long[1].max(edge[1])]);
        let extent = timber.body.extent(&timber.along)?;
        let theoretical = (timber.line[1] - timber.line[0]).dot(&timber.along);
        let level = timber.along.xy().norm();
        let ends = [0, 1].map(|end| timber.ends[end].iter().map(|cut| cut_of(cut, timber)).collect::<Vec<Cut>>());
        let mut piece = Self {
            kind: timber.kind,
            number: 0,
            hand: Hand::Either,
            section: timber.section,
            timbers: vec![index],
            length: extent[1] - extent[0],
            top: top[1] - top[0],
            long_point: long[1] - long[0],
            theoretical,
            run: (top[1] - top[0]) * level,
            slope: timber.along.z.atan2(level),
            shortening: [top[0], theoretical - top[1]],
            ends,
            backing: timber.backing,
            lowered: timber.lowered,
            seat: timber.seat,
        };
        piece.drop_unused(timber);
        piece.hand = piece.handed();
        Some(piece)
    }

    /// Leaves out cuts that take nothing off the piece, as of an edge that its thickness only just reaches.
    fn drop_unused(&mut self, timber: &Timber) {
        let corners = timber.body.corners();
        for end in 0..2 {
            let touches = |cut: &EndCut| {
                let on = corners.iter().filter(|corner| cut.plane.distance(corner).abs() <= ON_CUT);
                on.count() >= 3
            };
            let used: Vec<bool> = timber.ends[end].iter().map(touches).collect();
            let mut index = 0;
            self.ends[end].retain(|_| {
                index += 1;
                used[index - 1]
            });
            let alike = |a: &Cut, b: &Cut| a.against == b.against && (a.tilt - b.tilt).abs() < ANGLE_ALIKE;
            let mut kept: Vec<Cut> = Vec::new();
            for cut in self.ends[end].drain(..) {
                if !kept.iter().any(|other| alike(other, &cut)) {
                    kept.push(cut);
                }
            }
            kept.sort_by_number(|a| a.tilt);
            self.ends[end] = kept;
        }
    }

    /// The first cut from the upper end down that leans says which hand it is; those that lean both ways alike say nothing.
    fn handed(&self) -> Hand {
        let lean = |end: usize| self.ends[end].iter().map(|cut| cut.tilt).sum::<f64>();
        // A level piece may be turned end for end.
        if self.slope.abs() <= ANGLE_ALIKE && (lean(0) + lean(1)).abs() <= ANGLE_ALIKE {
            return Hand::Either;
        }
        for lean in [lean(1), -lean(0)] {
            if lean.abs() > ANGLE_ALIKE {
                return if lean > 0.0 { Hand::Right } else { Hand::Left };
            }
        }
        if (self.backing[0] - self.backing[1]).abs() > ANGLE_ALIKE {
            return if self.backing[0] < self.backing[1] { Hand::Left } else { Hand::Right };
        }
        Hand::Either
    }

    /// What it must agree in with another to be cut alike, as cut for the left hand.
    fn key(&self) -> Vec<Size> {
        let flip = if self.hand == Hand::Right { -1.0 } else { 1.0 };
        let sizes = [self.section.thickness, self.section.depth].map(Size::Exact);
        let lengths = [self.length, self.top, self.lowered].map(Size::Length);
        let mut key: Vec<Size> = sizes.into_iter().chain(lengths).collect();
        for end in &self.ends {
            let mut cuts: Vec<(u8, f64, f64)> =
                end.iter().map(|cut| (cut.against as u8, cut.plumb, flip * cut.tilt)).collect();
            cuts.sort_by_number(|a| a.2);
            let of_cut = |(against, plumb, tilt): (u8, f64, f64)| {
                [Size::Exact(f64::from(against)), Size::Angle(plumb), Size::Angle(tilt)]
            };
            key.extend(cuts.into_iter().flat_map(of_cut));
        }
        let [left, right] = self.backing;
        key.extend((if flip < 0.0 { [right, left] } else { [left, right] }).map(Size::Angle));
        key.extend(self.seat.iter().flat_map(|seat| [seat.tail, seat.heel, seat.seat, seat.packing]).map(Size::Length));
        key
    }
}

fn cut_of(cut: &EndCut, timber: &Timber) -> Cut {
    let level = timber.along.xy().norm();
    match cut.tilt(&timber.along) {
        Some(tilt) => {
            Cut { against: cut.against, plumb: timber.along.z.atan2(level), tilt, on_top: (tilt.tan() / level).atan() }
        }
        // Not plumb: square to the slope, or half way between two boards of one gable. Either is square through the piece.
        None => {
            let up = (nalgebra::Vector3::z() - timber.along * timber.along.z).normalize();
            let normal = cut.plane.normal;
            let plumb = normal.dot(&up).abs().atan2(normal.dot(&timber.along).abs());
            Cut { against: cut.against, plumb, tilt: 0.0, on_top: 0.0 }
        }
    }
}

/// Timbers cut alike together, kind by kind, the longest first, both hands of a piece one after the other. Near O(timbers ·
/// pieces).
#[must_use]
pub fn pieces(timbers: &Timbers) -> Vec<Piece> {
    let mut pieces: Vec<(Vec<Size>, Piece)> = Vec::new();
    let mut each: Vec<Piece> =
        timbers.all.iter().enumerate().filter_map(|(index, timber)| Piece::of(index, timber)).collect();
    // The longest of those cut alike is what all are cut to.
    each.sort_by_largest(|a| a.length);
    for piece in each {
        let key = piece.key();
        let same = |(other, of): &&mut (Vec<Size>, Piece)| {
            of.kind == piece.kind && of.hand == piece.hand && alike(other, &key)
        };
        match pieces.iter_mut().find(same) {
            Some((_, of)) => of.timbers.extend(piece.timbers),
            None => pieces.push((key, piece)),
        }
    }
    pieces.sort_by(|(_, a), (_, b)| a.kind.cmp(&b.kind).then(b.length.total_cmp(&a.length)).then(a.hand.cmp(&b.hand)));
    let mut numbered: Vec<(Vec<Size>, Piece)> = Vec::with_capacity(pieces.len());
    for kind in TimberKind::ALL {
        let mut number = 0;
        let mut of_kind: Vec<(Vec<Size>, Piece)> = Vec::new();
        for (key, mut piece) in pieces.iter().filter(|(_, piece)| piece.kind == kind).cloned() {
            let other = of_kind.iter().position(|(of, other)| {
                other.hand == piece.hand.mirrored() && piece.hand != Hand::Either && alike(of, &key)
            });
            if let Some(at) = other {
                piece.number = of_kind[at].1.number;
                of_kind.insert(if piece.hand == Hand::Left { at } else { at + 1 }, (key, piece));
            } else {
                number += 1;
                piece.number = number;
                of_kind.push((key, piece));
            }
        }
        numbered.extend(of_kind);
    }
    numbered.into_iter().map(|(_, piece)| piece).collect()
}

/// A measure of a piece, by how near another's must be.
#[derive(Clone, Copy, Debug)]
enum Size {
    Exact(f64),
    Length(f64),
    Angle(f64),
}

fn alike(a: &[Size], b: &[Size]) -> bool {
    let near = |pair: (&Size, &Size)| match pair {
        (Size::Exact(a), Size::Exact(b)) => (a - b).abs() <= tolerance::SMALLEST,
        (Size::Length(a), Size::Length(b)) => (a - b).abs() <= ALIKE,
        (Size::Angle(a), Size::Angle(b)) => (a - b).abs() <= ANGLE_ALIKE,
        _ => false,
    };
    a.len() == b.len() && a.iter().zip(b).all(near)
}
