//! A face cut along its flow lines through every corner: within a column all water leaves by one low edge.

use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::order::SortByNumber as _;
use crate::base::polygon::extent;
use crate::roof::model::{Face, Roof};
use nalgebra::{Point2, Vector2};

/// What rounding may leave of places within a face, as a part of its size: a million units in the last place.
const PLACES: f64 = 1e-10;

/// A face's plan with w across the flow and v up it.
#[derive(Clone, Debug)]
pub struct FlowFrame {
    origin: Point2<f64>,
    across: Vector2<f64>,
    up: Vector2<f64>,
    rounding: f64,
}

impl FlowFrame {
    /// `None` for a level face.
    #[must_use]
    pub fn of(roof: &Roof, face: &Face) -> Option<Self> {
        let up = -face.plane.downslope()?;
        let plan: Vec<Point2<f64>> = roof.ring(face).iter().map(nalgebra::Point3::xy).collect();
        let origin = *plan.first()?;
        // Corners carry the rounding of their distance from the origin, places here that of the face's size.
        let far = plan.iter().map(|place| place.coords.norm()).fold(0.0, f64::max);
        let rounding = PLACES * extent(&plan) + 16.0 * f64::EPSILON * far;
        Some(Self { origin, across: Vector2::new(up.y, -up.x), up, rounding })
    }

    /// A place in the frame.
    #[must_use]
    pub fn to(&self, place: &Point2<f64>) -> Point2<f64> {
        let from = place - self.origin;
        Point2::new(from.dot(&self.across), from.dot(&self.up))
    }

    /// And back in plan.
    #[must_use]
    pub fn back(&self, place: &Point2<f64>) -> Point2<f64> {
        self.origin + self.across * place.x + self.up * place.y
    }

    /// Which way water runs, in plan.
    #[must_use]
    pub fn down(&self) -> Vector2<f64> {
        -self.up
    }

    /// Places nearer than this differ by rounding alone.
    #[must_use]
    pub fn rounding(&self) -> f64 {
        self.rounding
    }
}

/// The low or high end of a column.
#[derive(Clone, Copy, Debug)]
pub struct Bound {
    /// The edge it lies on.
    pub edge: EdgeId,
    /// Where, at the column's two sides.
    pub v: [f64; 2],
}

/// A trapezoid between two flow lines.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Its face.
    pub face: FaceId,
    /// Its sides.
    pub w: [f64; 2],
    /// Where water leaves it.
    pub low: Bound,
    /// Where water enters it.
    pub high: Bound,
}

impl Column {
    /// How wide it is.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.w[1] - self.w[0]
    }

    /// Place on one of its bounds over w.
    #[must_use]
    pub fn at(&self, bound: &Bound, w: f64) -> f64 {
        if w == self.w[0] {
            bound.v[0]
        } else if w == self.w[1] {
            bound.v[1]
        } else {
            bound.v[0] + (bound.v[1] - bound.v[0]) * (w - self.w[0]) / self.width()
        }
    }

    /// Corners of its part between two flow lines, anticlockwise.
    #[must_use]
    pub fn between(&self, [from, to]: [f64; 2]) -> Vec<Point2<f64>> {
        let place = |bound: &Bound, w: f64| Point2::new(w, self.at(bound, w));
        let mut ring =
            vec![place(&self.low, from), place(&self.low, to), place(&self.high, to), place(&self.high, from)];
        ring.dedup();
        ring
    }

    /// How much of its side another's covers, for columns side by side.
    #[must_use]
    pub(crate) fn shared_height(&self, other: &Self) -> f64 {
        let middle = |bound: &Bound| f64::midpoint(bound.v[0], bound.v[1]);
        middle(&self.high).min(middle(&other.high)) - middle(&self.low).max(middle(&other.low))
    }
}

/// An edge of a face in the frame, as its ring runs.
struct ColumnLine {
    number: usize,
    edge: EdgeId,
    from: Point2<f64>,
    to: Point2<f64>,
}

impl ColumnLine {
    fn begins(&self) -> f64 {
        self.from.x.min(self.to.x)
    }

    fn ends(&self) -> f64 {
        self.from.x.max(self.to.x)
    }

    fn v_at(&self, w: f64) -> f64 {
        if w == self.from.x {
            self.from.y
        } else if w == self.to.x {
            self.to.y
        } else {
            self.from.y + (self.to.y - self.from.y) * (w - self.from.x) / (self.to.x - self.from.x)
        }
    }
}

/// Edges of a face with their ends, in the order and direction of its rings.
pub fn edges_of(face: &Face) -> impl Iterator<Item = (EdgeId, [CornerId; 2])> {
    let pairs = std::iter::once(&face.ring)
        .chain(&face.holes)
        .flat_map(|ring| (0..ring.len()).map(|k| [ring[k], ring[(k + 1) % ring.len()]]));
    face.edges.iter().copied().zip(pairs)
}

/// The columns of a face, from one side to the other. O(c log c + columns) for c corners.
#[must_use]
pub fn columns(roof: &Roof, id: FaceId, frame: &FlowFrame) -> Vec<Column> {
    let face = &roof.faces[id.index()];
    let lines: Vec<ColumnLine> = edges_of(face)
        .enumerate()
        .map(|(number, (edge, ends))| {
            let [from, to] = ends.map(|corner| frame.to(&roof.at(corner).xy()));
            ColumnLine { number, edge, from, to }
        })
        .collect();
    let mut sides: Vec<f64> = lines.iter().map(|line| line.from.x).collect();
    sides.sort_by(f64::total_cmp);
    sides.dedup();
    // By where they begin.
    let mut to_come: Vec<&ColumnLine> = lines.iter().collect();
    to_come.sort_by_number(|a| a.begins());
    let mut to_come = to_come.into_iter().peekable();
    let mut crossed: Vec<&ColumnLine> = Vec::new();
    let mut out = Vec::new();
    for pair in sides.windows(2) {
        let middle = f64::midpoint(pair[0], pair[1]);
        crossed.retain(|line| line.ends() >= pair[1]);
        while let Some(line) = to_come.next_if(|line| line.begins() <= pair[0]) {
            if line.ends() >= pair[1] {
                crossed.push(line);
            }
        }
        crossed.sort_by(|a, b| a.v_at(middle).total_cmp(&b.v_at(middle)).then(a.number.cmp(&b.number)));
        for bounds in crossed.chunks_exact(2) {
            let bound = |line: &ColumnLine| Bound { edge: line.edge, v: [line.v_at(pair[0]), line.v_at(pair[1])] };
            let (low, high) = (bound(bounds[0]), bound(bounds[1]));
            out.push(Column { face: id, w: [pair[0], pair[1]], low, high });
        }
    }
    out
}
