//! What water does at each edge and corner, from the faces beside it alone.

use super::columns::{FlowFrame, edges_of};
use super::{leaves, roof_beside};
use crate::base::cells::Cells;
use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::order::SortByNumber as _;
use crate::base::polygon::extent;
use crate::base::tolerance::default_for;
use crate::roof::model::{EdgeKind, FaceKind, Roof};
use nalgebra::{Point2, Point3, Vector2};
use std::cell::OnceCell;
use std::collections::HashMap;
use std::f64::consts::TAU;

/// Directions nearer than this are one, radians.
const SAME_DIRECTION: f64 = 1e-6;

/// What may lie under a place is looked for so many tolerances round it: more than any of the tests for it allows.
const NEAR: f64 = 8.0;

/// What water that comes down a face does at its low edge.
#[derive(Clone, Debug, PartialEq)]
pub enum EdgeFlow {
    /// It leaves the roof.
    Leaves,
    /// It runs along the edge.
    Collects,
    /// It runs on over the next face.
    Crosses(FaceId),
    /// It stands on a level face.
    Rests(FaceId),
    /// It falls down a wall, by shares of the edge's length on to lower edges and the faces below those; elsewhere it
    /// leaves the roof.
    Falls(Vec<Fall>),
}

/// Where water lands below a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fall {
    /// From and to, as shares of the upper edge as its face's ring runs along it.
    pub share: [f64; 2],
    /// The wall's foot.
    pub edge: EdgeId,
    /// The face below it.
    pub face: FaceId,
}

/// A roof as water sees it.
pub struct Flow<'a> {
    /// The roof.
    pub roof: &'a Roof,
    /// Nearer is one place; columns narrower follow their neighbours. Metres.
    pub tolerance: f64,
    frames: Vec<Option<FlowFrame>>,
    /// Ends of each face's edges as its ring runs.
    ends: HashMap<(EdgeId, FaceId), [CornerId; 2]>,
    edges_at: Vec<Vec<EdgeId>>,
    /// Largest distance in plan, metres.
    extent: f64,
    /// Feet of walls and corners by place, once water falls.
    feet: OnceCell<Cells>,
    corners: OnceCell<Cells>,
}

impl<'a> Flow<'a> {
    /// O(corners).
    #[must_use]
    pub fn new(roof: &'a Roof) -> Self {
        let plan: Vec<Point2<f64>> = roof.corners.iter().map(Point3::xy).collect();
        let mut ends = HashMap::new();
        for (id, face) in roof.roof_faces() {
            ends.extend(edges_of(face).map(|(edge, ends)| ((edge, id), ends)));
        }
        let mut edges_at = vec![Vec::new(); roof.corners.len()];
        for (index, edge) in roof.edges.iter().enumerate() {
            edges_at[edge.from.index()].push(EdgeId::new(index));
            edges_at[edge.to.index()].push(EdgeId::new(index));
        }
        let frame = |face| FlowFrame::of(roof, face).filter(|_| face.kind == FaceKind::Roof);
        let frames = roof.faces.iter().map(frame).collect();
        let extent = extent(&plan);
        let (feet, corners) = (OnceCell::new(), OnceCell::new());
        Self { roof, tolerance: default_for(extent), frames, ends, edges_at, extent, feet, corners }
    }

    /// A roof face's frame; `None` for walls and level faces.
    #[must_use]
    pub fn frame(&self, face: FaceId) -> Option<&FlowFrame> {
        self.frames[face.index()].as_ref()
    }

    /// The feet of walls whose boxes in plan come near the box between two places.
    fn feet_near(&self, places: [&Point2<f64>; 2]) -> impl Iterator<Item = EdgeId> + use<> {
        let feet = self.feet.get_or_init(|| {
            let edges = self.roof.edges.iter().enumerate();
            let feet: Vec<_> = edges.filter(|(_, edge)| edge.kind == EdgeKind::Abutment).collect();
            let mut cells = Cells::new(self.extent, feet.len());
            for (index, edge) in feet {
                let [from, to] = [edge.from, edge.to].map(|corner| self.roof.at(corner).xy());
                cells.put(index, [&from, &to]);
            }
            cells
        });
        feet.near(places, NEAR * self.tolerance).into_iter().map(EdgeId::new)
    }

    /// The corners near a place in plan.
    fn corners_near(&self, place: &Point2<f64>) -> Vec<CornerId> {
        let corners = self.corners.get_or_init(|| {
            let mut cells = Cells::new(self.extent, self.roof.corners.len());
            for (index, corner) in self.roof.corners.iter().enumerate() {
                let place = corner.xy();
                cells.put(index, [&place, &place]);
            }
            cells
        });
        corners.near([place, place], NEAR * self.tolerance).into_iter().map(CornerId::new).collect()
    }

    /// Edges that end at a corner.
    #[must_use]
    pub(crate) fn edges_at(&self, corner: CornerId) -> &[EdgeId] {
        &self.edges_at[corner.index()]
    }

    /// Roof faces that touch a corner with one of their edges.
    #[must_use]
    pub(crate) fn faces_at(&self, corner: CornerId) -> Vec<FaceId> {
        let mut faces: Vec<FaceId> =
            self.edges_at(corner).iter().flat_map(|&edge| roof_beside(self.roof, edge)).collect();
        faces.sort_unstable();
        faces.dedup();
        faces
    }

    /// How much of an edge's length water crosses, metres: positive where it runs from the edge into the face, negative
    /// where it arrives.
    #[must_use]
    pub fn into(&self, edge: EdgeId, face: FaceId) -> f64 {
        let (Some(frame), Some(ends)) = (self.frame(face), self.ends.get(&(edge, face))) else { return 0.0 };
        let [from, to] = ends.map(|corner| self.roof.at(corner).xy());
        let along = to - from;
        Vector2::new(-along.y, along.x).dot(&frame.down())
    }

    /// The places of an edge's ends in plan, as the face's ring runs along it.
    #[must_use]
    pub fn run(&self, edge: EdgeId, face: FaceId) -> Option<[Point3<f64>; 2]> {
        Some(self.ends.get(&(edge, face))?.map(|corner| self.roof.at(corner)))
    }

    /// What water from a face does at its low edge. O(1), or O(feet of walls near it) at the top of a wall.
    #[must_use]
    pub fn meeting(&self, edge: EdgeId, from: FaceId) -> EdgeFlow {
        let stated = &self.roof.edges[edge.index()];
        let Some(&other) = stated.faces.iter().find(|&&face| face != from) else { return EdgeFlow::Leaves };
        if self.roof.faces[other.index()].kind == FaceKind::Wall {
            return match stated.kind {
                EdgeKind::Abutment => EdgeFlow::Collects,
                kind if leaves(kind) => EdgeFlow::Leaves,
                _ => EdgeFlow::Falls(self.falls(edge, from)),
            };
        }
        if self.frame(other).is_none() {
            EdgeFlow::Rests(other)
        } else if self.into(edge, other) > self.tolerance {
            EdgeFlow::Crosses(other)
        } else {
            EdgeFlow::Collects
        }
    }

    /// Whether water runs along an edge.
    #[must_use]
    pub fn collects(&self, edge: EdgeId) -> bool {
        roof_beside(self.roof, edge)
            .any(|face| self.into(edge, face) < -self.tolerance && self.meeting(edge, face) == EdgeFlow::Collects)
    }

    /// How far one end of an edge lies above the other per metre of plan, and the lower end; `None` for a level one.
    #[must_use]
    pub fn fall(&self, edge: EdgeId) -> Option<(f64, CornerId)> {
        let edge = &self.roof.edges[edge.index()];
        let (from, to) = (self.roof.at(edge.from), self.roof.at(edge.to));
        let length = (to - from).xy().norm();
        let drop = (to.z - from.z).abs();
        let lower = if from.z < to.z { edge.from } else { edge.to };
        (drop > self.tolerance).then(|| (drop / length.max(f64::MIN_POSITIVE), lower))
    }

    /// Edges at the foot of a wall that lie under an edge, the highest under each stretch of it.
    fn falls(&self, edge: EdgeId, face: FaceId) -> Vec<Fall> {
        let Some([from, to]) = self.run(edge, face) else { return Vec::new() };
        let along = (to - from).xy();
        let length = along.norm();
        if length <= self.tolerance {
            return Vec::new();
        }
        let unit = along / length;
        let share = |place: &Point3<f64>| (place - from).xy().dot(&unit) / length;
        let feet: Vec<(EdgeId, FaceId, [Point3<f64>; 2])> = self
            .feet_near([&from.xy(), &to.xy()])
            .filter(|&foot| foot != edge)
            .flat_map(|foot| roof_beside(self.roof, foot).map(move |face| (foot, face)))
            .filter_map(|(foot, face)| Some((foot, face, self.run(foot, face)?)))
            // Below on the far side: its face's ring runs the other way.
            .filter(|(_, _, ends)| {
                let off = |place: &Point3<f64>| unit.perp(&(place - from).xy()).abs();
                ends.iter().all(|end| off(end) <= 2.0 * self.tolerance) && share(&ends[1]) < share(&ends[0])
            })
            .collect();
        let mut cuts: Vec<f64> = feet.iter().flat_map(|(_, _, ends)| ends.map(|end| share(&end))).collect();
        cuts.extend([0.0, 1.0]);
        cuts.retain(|cut| (0.0..=1.0).contains(cut));
        cuts.sort_by(f64::total_cmp);
        cuts.dedup();
        let mut falls = Vec::new();
        for pair in cuts.windows(2) {
            let middle = f64::midpoint(pair[0], pair[1]);
            let height = from.z + (to.z - from.z) * middle;
            let over = |ends: &[Point3<f64>; 2]| {
                let [high, low] = [share(&ends[0]), share(&ends[1])];
                let part = (middle - high) / (low - high);
                (0.0..=1.0).contains(&part).then(|| ends[0].z + (ends[1].z - ends[0].z) * part)
            };
            let below = feet.iter().filter_map(|(foot, face, ends)| Some((over(ends)?, *foot, *face)));
            let below = below.filter(|(z, _, _)| *z < height + self.tolerance);
            if let Some((_, edge, face)) = below.max_by(|a, b| a.0.total_cmp(&b.0)) {
                falls.push(Fall { share: [pair[0], pair[1]], edge, face });
            }
        }
        falls
    }

    /// On which sides of its flow line a face lies just below one of its corners: [towards -w, towards +w].
    #[must_use]
    pub(crate) fn sides_below(&self, corner: CornerId, face: FaceId) -> [bool; 2] {
        let Some(frame) = self.frame(face) else { return [false; 2] };
        let stated = &self.roof.faces[face.index()];
        let rings = std::iter::once(&stated.ring).chain(&stated.holes);
        let mut sides = [false; 2];
        for ring in rings {
            let count = ring.len();
            for at in (0..count).filter(|&at| ring[at] == corner) {
                let direction = |other: CornerId| (self.roof.at(other) - self.roof.at(corner)).xy();
                let (next, before) = (direction(ring[(at + 1) % count]), direction(ring[(at + count - 1) % count]));
                // Anticlockwise from the next edge to the one before lies the face.
                let turn = |d: &Vector2<f64>| next.perp(d).atan2(next.dot(d)).rem_euclid(TAU);
                let (mut down, wide) = (turn(&frame.down()), turn(&before));
                if down > TAU - SAME_DIRECTION {
                    down = 0.0;
                }
                if down <= wide + SAME_DIRECTION {
                    // Down the slope +w is to the left.
                    sides[0] |= down > SAME_DIRECTION;
                    sides[1] |= down < wide - SAME_DIRECTION;
                }
            }
        }
        sides
    }

    /// Corners plumb below one, the highest first. O(corners near it in plan).
    #[must_use]
    pub(crate) fn corners_below(&self, corner: CornerId) -> Vec<CornerId> {
        let place = self.roof.at(corner);
        let mut below = self.corners_near(&place.xy());
        below.retain(|&other| {
            let gap = self.roof.at(other) - place;
            gap.z < -self.tolerance && gap.xy().norm() <= self.tolerance
        });
        below.sort_by_largest(|&a| self.roof.at(a).z);
        below
    }

    /// Faces at the foot of a wall whose foot passes plumb below a corner, the highest first. O(feet of
    /// walls near it in plan).
    #[must_use]
    pub(crate) fn faces_below(&self, corner: CornerId) -> Vec<FaceId> {
        let place = self.roof.at(corner);
        let mut below: Vec<(f64, FaceId)> = Vec::new();
        for foot in self.feet_near([&place.xy(), &place.xy()]) {
            let edge = &self.roof.edges[foot.index()];
            let (from, to) = (self.roof.at(edge.from), self.roof.at(edge.to));
            let along = (to - from).xy();
            let share = (place - from).xy().dot(&along) / along.norm_squared();
            if !(0.0..=1.0).contains(&share) {
                continue;
            }
            let under = from + (to - from) * share;
            if (place - under).xy().norm() <= self.tolerance && under.z < place.z - self.tolerance {
                below.extend(roof_beside(self.roof, foot).map(|face| (under.z, face)));
            }
        }
        below.sort_by_largest(|a| a.0);
        below.into_iter().map(|(_, face)| face).collect()
    }

    /// Whether water at a corner can fall off the roof: an edge that is no fold and no wall's foot ends there.
    #[must_use]
    pub fn is_open(&self, corner: CornerId) -> bool {
        let off = |edge: &EdgeId| {
            let kind = self.roof.edges[edge.index()].kind;
            matches!(kind, EdgeKind::Verge | EdgeKind::Top | EdgeKind::Step | EdgeKind::Eave)
        };
        self.edges_at(corner).iter().any(off)
    }
}
