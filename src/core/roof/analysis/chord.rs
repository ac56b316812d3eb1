//! Lines straight up a face's slope, from a low edge to a high one: rafters, and how far courses reach.

use crate::base::ids::EdgeId;
use crate::base::order::SortByNumber as _;
use crate::base::units::TrueLength;
use crate::roof::model::frame::FaceFrame;
use crate::roof::{EdgeKind, Face, Roof};
use nalgebra::Point2;

/// The longest line from an eave straight up its slope, true length: the longest common rafter. `None` where no roof face
/// has an eave. O(corners log corners) a face.
#[must_use]
pub fn longest_from_eave(roof: &Roof) -> Option<TrueLength> {
    let chords = roof.roof_faces().filter_map(|(_, face)| Chords::of(roof, face));
    let from_eaves = chords.flat_map(|chords| chords.extremes());
    from_eaves
        .filter(|chord| roof.edges[chord.foot.index()].kind == EdgeKind::Eave)
        .map(|chord| TrueLength(chord.length))
        .max_by(|a, b| a.0.total_cmp(&b.0))
}

/// A line up the slope from one edge of a face to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chord {
    /// The edge at its foot.
    pub foot: EdgeId,
    /// The edge at its head.
    pub head: EdgeId,
    /// Along the slope, metres.
    pub length: f64,
    /// Foot and head in the face's frame.
    pub ends: [Point2<f64>; 2],
}

/// A face cut into strips up the slope between its corners.
#[derive(Clone, Debug)]
pub struct Chords {
    /// The face's frame: places along the eave are in it.
    pub frame: FaceFrame,
    /// Every edge with its ends in the frame, the left end first; edges up the slope are left out.
    edges: Vec<(EdgeId, Point2<f64>, Point2<f64>)>,
    /// Places of corners along the eave, in order.
    along: Vec<f64>,
    /// Edges by equal parts of the face along the eave, as many as there are edges: which edges each part meets.
    parts: Vec<Vec<u32>>,
}

impl Chords {
    /// `None` for a level face. O(corners log corners).
    #[must_use]
    pub fn of(roof: &Roof, face: &Face) -> Option<Self> {
        let frame = FaceFrame::of(roof, face)?;
        let mut edges = Vec::new();
        let mut along = Vec::new();
        for &id in &face.edges {
            let edge = &roof.edges[id.index()];
            let (a, b) = (frame.to_face(&roof.at(edge.from)), frame.to_face(&roof.at(edge.to)));
            along.extend([a.x, b.x]);
            if a.x != b.x {
                edges.push(if a.x < b.x { (id, a, b) } else { (id, b, a) });
            }
        }
        along.sort_by(f64::total_cmp);
        along.dedup();
        let mut chords = Self { frame, parts: vec![Vec::new(); edges.len()], edges, along };
        for (index, (_, left, right)) in chords.edges.iter().enumerate() {
            for part in chords.part(left.x)..=chords.part(right.x) {
                chords.parts[part].push(u32::try_from(index).ok()?);
            }
        }
        Some(chords)
    }

    /// From where to where the face reaches along its eave; `None` for a face without corners.
    #[must_use]
    pub fn span(&self) -> Option<[f64; 2]> {
        Some([*self.along.first()?, *self.along.last()?])
    }

    /// The part of the face that a place along the eave falls into. Precondition: the face has edges along it.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    fn part(&self, place: f64) -> usize {
        let (Some(left), Some(right)) = (self.along.first(), self.along.last()) else { return 0 };
        // Between 0 and the count, so that it fits and is never negative.
        let share = ((place - left) / (right - left)).clamp(0.0, 1.0);
        ((share * self.parts.len() as f64) as usize).min(self.parts.len() - 1)
    }

    /// The chords at the ends of every strip, the strip's own edges at foot and head: a chord's length is linear within
    /// a strip, so the longest of all is among them.
    #[must_use]
    pub(crate) fn extremes(&self) -> Vec<Chord> {
        let mut chords = Vec::new();
        for strip in self.along.windows(2) {
            chords.extend(self.within(strip[0], strip[1], strip[0]));
            chords.extend(self.within(strip[0], strip[1], strip[1]));
        }
        chords
    }

    /// The chords at a place along the eave, lowest first.
    #[must_use]
    pub fn at(&self, place: f64) -> Vec<Chord> {
        let after = self.along.partition_point(|corner| *corner <= place);
        match (after.checked_sub(1).and_then(|before| self.along.get(before)), self.along.get(after)) {
            (Some(low), Some(high)) => self.within(*low, *high, place),
            _ => Vec::new(),
        }
    }

    fn within(&self, low: f64, high: f64, place: f64) -> Vec<Chord> {
        if self.parts.is_empty() {
            return Vec::new();
        }
        let middle = f64::midpoint(low, high);
        let height = |a: &Point2<f64>, b: &Point2<f64>, at: f64| a.y + (b.y - a.y) * ((at - a.x) / (b.x - a.x));
        // Edges over the whole strip are over its middle, so that those of that part of the face hold them all.
        let near = self.parts[self.part(middle)].iter().map(|&edge| &self.edges[edge as usize]);
        let mut crossed: Vec<_> = near.filter(|(_, a, b)| a.x <= low && b.x >= high).collect();
        crossed.sort_by_number(|x| height(&x.1, &x.2, middle));
        crossed
            .chunks_exact(2)
            .map(|pair| {
                let ((foot, a, b), (head, c, d)) = (pair[0], pair[1]);
                let ends = [height(a, b, place), height(c, d, place)];
                let length = ends[1] - ends[0];
                Chord { foot: *foot, head: *head, length, ends: ends.map(|v| Point2::new(place, v)) }
            })
            .collect()
    }
}
