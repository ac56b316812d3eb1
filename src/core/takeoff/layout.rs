//! The layout of a face: where every piece lies. Rich enough to draw from.
//!
//! All places are in the face's own frame ([`FaceFrame`]): u along the eave, v up the slope, metres. Courses run from
//! the eave up; pieces in laying order.

use super::details::Details;
use crate::base::ids::FaceId;
use crate::base::order::SortByNumber as _;
use crate::base::tolerance;
use crate::roof::model::frame::FaceFrame;
use crate::takeoff::details::Hand;
use nalgebra::Point2;

/// How one roof face is covered.
#[derive(Clone, Debug, PartialEq)]
pub struct FaceLayout {
    /// The face, by its number in the roof.
    pub face: FaceId,
    /// Its frame; every place below is in it.
    pub frame: FaceFrame,
    /// Outlines of what is covered: the face with its projections and trims, openings cut out with their clearance.
    /// Outer rings and openings anticlockwise, holes clockwise.
    pub outline: Vec<Vec<Point2<f64>>>,
    /// The ring of `outline` from which on they are openings.
    pub first_opening: usize,
    /// Exposure used, metres; for sheets the length of one row.
    pub gauge: f64,
    /// From which end it is laid.
    pub hand: Hand,
    /// Shift of the first course in bond steps (half tabs).
    pub phase: u32,
    /// Starter pieces in laying order: those along low edges, then those up the verges where the card says so.
    pub starter: Vec<LaidPiece>,
    /// Which of them lie along which low edge, from the lowest up.
    pub starter_runs: Vec<StarterRun>,
    /// Courses from the eave up.
    pub courses: Vec<Course>,
    /// Lengths of offcuts cut here, long enough to keep, that no course of any face used.
    pub offcuts_left: Vec<f64>,
    /// Offcuts of other faces that are laid here: the face each was cut from, and its length; of sheets its area.
    pub borrowed: Vec<(FaceId, f64)>,
    /// Up to which height pieces fold over the ridge instead of being trimmed at it; `None`: all are trimmed.
    pub folds_to: Option<f64>,
    /// What the other hands and phases would have cost.
    pub choice: Choice,
    /// What is told of the face beside its pieces.
    pub details: Details,
}

/// Starter pieces along one low edge.
#[derive(Clone, Debug, PartialEq)]
pub struct StarterRun {
    /// Their lower edge.
    pub butt_v: f64,
    /// Their upper edge.
    pub head_v: f64,
    /// Their places among the starter pieces of the face.
    pub pieces: std::ops::Range<usize>,
}

/// A course: pieces side by side with their butts on one line.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// Where the lower edges of its pieces lie.
    pub butt_v: f64,
    /// Their upper edges before cutting.
    pub head_v: f64,
    /// One of its joints: all stand at this place and whole widths from it.
    pub joint_u: f64,
    /// In laying order.
    pub pieces: Vec<LaidPiece>,
}

/// A piece as placed.
#[derive(Clone, Debug, PartialEq)]
pub struct LaidPiece {
    /// Left and right end of the position of the uncut piece.
    pub from_u: f64,
    /// Right end.
    pub to_u: f64,
    /// What remains after cutting to the outline: convex parts (quadrilaterals, triangles), anticlockwise. A piece that
    /// nothing cuts has one part, its rectangle.
    pub parts: Vec<Vec<Point2<f64>>>,
    /// Area that remains, square metres.
    pub area: f64,
    /// Where the piece comes from.
    pub source: Source,
    /// Whether it is cut at all (trimming along the top of a level ridge counts).
    pub cut: bool,
}

/// Where a piece comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// A new piece out of the pack.
    New,
    /// What was left over of an earlier piece.
    Offcut(Place),
}

/// Where a piece lies: its face, its course and its place in laying order, both counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// The face, by its number in the roof.
    pub face: FaceId,
    /// The course.
    pub course: usize,
    /// The place in the course.
    pub piece: usize,
}

/// What choosing hand and phase was worth.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Choice {
    /// Layouts tried.
    pub tried: usize,
    /// New pieces of the one chosen.
    pub pieces: usize,
    /// New pieces of the worst that keeps the rules as well.
    pub worst: usize,
    /// Upright ends narrower than the least that no bond could avoid.
    pub slivers: usize,
}

/// Counts of a face, as answers give them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Placed and not cut.
    pub whole: usize,
    /// Placed and cut from a new piece.
    pub cut: usize,
    /// Placed from what was left over of another.
    pub from_offcuts: usize,
}

impl LaidPiece {
    /// Left and right end of what is kept. O(corners).
    #[must_use]
    pub fn extent(&self) -> [f64; 2] {
        let u = || self.parts.iter().flatten().map(|place| place.x);
        [u().fold(f64::INFINITY, f64::min), u().fold(f64::NEG_INFINITY, f64::max)]
    }
}

impl Course {
    /// Where two pieces meet, from left to right. O(n log n).
    #[must_use]
    pub fn joints(&self) -> Vec<f64> {
        let mut kept: Vec<[f64; 2]> = self.pieces.iter().map(LaidPiece::extent).collect();
        kept.sort_by_number(|a| a[0]);
        let meet = |pair: &[[f64; 2]]| ((pair[0][1] - pair[1][0]).abs() < tolerance::SMALLEST).then_some(pair[1][0]);
        kept.windows(2).filter_map(meet).collect()
    }
}

impl FaceLayout {
    /// Whether another face of the same shape has its courses at the same heights. O(courses).
    #[must_use]
    pub fn has_courses_of(&self, other: &Self) -> bool {
        let near = |(a, b): (&Course, &Course)| (a.butt_v - b.butt_v).abs() < tolerance::SMALLEST;
        self.courses.len() == other.courses.len() && self.courses.iter().zip(&other.courses).all(near)
    }

    /// Whether another face of the same shape is laid the same: from the same hand, piece for piece, starter too.
    /// O(pieces).
    #[must_use]
    pub fn is_laid_like(&self, other: &Self) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() < tolerance::SMALLEST;
        let same = |a: &[LaidPiece], b: &[LaidPiece]| {
            let pair = |(a, b): (&LaidPiece, &LaidPiece)| near(a.from_u, b.from_u) && near(a.to_u, b.to_u);
            a.len() == b.len() && a.iter().zip(b).all(pair)
        };
        self.hand == other.hand
            && same(&self.starter, &other.starter)
            && self.courses.len() == other.courses.len()
            && self
                .courses
                .iter()
                .zip(&other.courses)
                .all(|(a, b)| near(a.butt_v, b.butt_v) && same(&a.pieces, &b.pieces))
    }

    /// Pieces by kind; starters apart. O(pieces).
    #[must_use]
    pub fn counts(&self) -> Counts {
        let mut counts = Counts::default();
        for piece in self.courses.iter().flat_map(|course| &course.pieces) {
            match (piece.source, piece.cut) {
                (Source::Offcut(_), _) => counts.from_offcuts += 1,
                (Source::New, true) => counts.cut += 1,
                (Source::New, false) => counts.whole += 1,
            }
        }
        counts
    }

    /// New pieces taken from packs; starters apart. O(pieces).
    #[must_use]
    pub fn new_pieces(&self) -> usize {
        let counts = self.counts();
        counts.whole + counts.cut
    }
}

/// Counts of one face.
#[derive(Clone, Debug, PartialEq)]
pub struct FaceCount {
    /// The face, by its number in the roof.
    pub face: FaceId,
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
    /// 1 - area that shows / (new pieces × width × gauge); of sheets 1 - area / what they cover, laps off. Never below 0.
    pub waste: f64,
    /// What is cut off and not used again, square metres of piece.
    pub scrap: f64,
    /// Cuts, and their length, metres.
    pub cuts: usize,
    /// Length of the cuts, metres.
    pub cut_length: f64,
}

impl FaceCount {
    /// All pieces placed on it.
    #[must_use]
    pub fn pieces(&self) -> usize {
        self.pieces_whole + self.pieces_cut + self.pieces_from_offcuts
    }
}
