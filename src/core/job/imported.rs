//! What was taken over from a file of another kind: outlines and faces, and what could not be.

use super::outlines::PlainOutline;
use crate::base::polygon_boolean::{self, Region};
use nalgebra::{Point2, Point3, Vector3};
use std::collections::HashMap;

/// What was taken over. Metres.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Imported {
    /// Outlines by name.
    pub outlines: Vec<(String, PlainOutline)>,
    /// Roof faces by name, each its corners in order.
    pub faces: Vec<(String, Vec<Point3<f64>>)>,
    /// Points that no face names, by name.
    pub points: Vec<(String, Point3<f64>)>,
    /// What could not be taken over.
    pub left_out: Vec<LeftOut>,
    /// What was taken off every place: what the file's numbers are counted from.
    pub origin: [f64; 3],
}

/// What could not be taken over: what it is called in the file, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// What the file calls it.
    pub name: String,
    /// Why.
    pub why: Why,
}

/// Why something could not be taken over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Why {
    /// A hole in a face that stands too steep to be cut in plan.
    Hole,
    /// A body of which no face looks up.
    NoUpper,
    /// A geometry of a kind that is not read; its name.
    Geometry(String),
    /// No semantic surfaces say which is roof.
    NoSemantics,
    /// Walls, floors and the like, so many of them.
    NotRoof(usize),
    /// A feature whose outline cannot be read; its code.
    Outline(String),
    /// A polyline that is open.
    Open,
    /// A number that is none, in a line.
    Number(usize),
    /// A corner farther off than any place on earth is from another, or without numbers.
    Place,
    /// More outlines than a roof file is good for.
    TooMany(usize),
}

/// The farthest a coordinate may lie, metres: the way round the earth and more.
pub const FARTHEST: f64 = 1e8;

/// Whether a place can be one.
#[must_use]
pub fn is_place(place: &Point3<f64>) -> bool {
    place.iter().all(|value| value.abs() <= FARTHEST)
}

/// Names for the corners of faces: those nearer than `within`, metres, are one point.
#[derive(Debug, Default)]
pub struct Corners {
    /// Places in the order of their numbers.
    pub places: Vec<Point3<f64>>,
    cells: HashMap<[i64; 3], Vec<usize>>,
}

impl Corners {
    /// The number of a place, a new one where none is near. Expected O(1).
    pub fn number(&mut self, place: Point3<f64>, within: f64) -> usize {
        #[allow(clippy::cast_possible_truncation)]
        let cell = <[f64; 3]>::from(place.coords).map(|part| (part / within).floor() as i64);
        for step in 0..27 {
            let near = [cell[0] + step % 3 - 1, cell[1] + step / 3 % 3 - 1, cell[2] + step / 9 - 1];
            let known = self.cells.get(&near).into_iter().flatten();
            let found = known.copied().find(|&at| (self.places[at] - place).norm() <= within);
            if let Some(found) = found {
                return found;
            }
        }
        self.places.push(place);
        self.cells.entry(cell).or_default().push(self.places.len() - 1);
        self.places.len() - 1
    }
}

/// The area of a ring of corners in space, square metres (Newell). O(corners).
#[must_use]
pub fn area(ring: &[Point3<f64>]) -> f64 {
    let Some(first) = ring.first() else { return 0.0 };
    let sum: Vector3<f64> = ring.windows(2).map(|pair| (pair[0] - first).cross(&(pair[1] - first))).sum();
    sum.norm() / 2.0
}

/// A face with holes as faces without, cut through the middle of a hole along the y axis, hole after hole: a roof file's
/// faces have one ring. Places keep their heights, those on a cut lie in the face's plane. `None` for what is plumb in
/// plan. O(n log n) a hole.
#[must_use]
pub fn without_holes(rings: &[Vec<Point3<f64>>]) -> Option<Vec<Vec<Point3<f64>>>> {
    let outer = rings.first()?;
    let first = outer.first()?;
    let normal: Vector3<f64> = outer.windows(2).map(|pair| (pair[0] - first).cross(&(pair[1] - first))).sum();
    if normal.z.abs() <= 1e-6 * normal.norm() {
        return None;
    }
    let up = normal.z > 0.0;
    let plan: Vec<Vec<Point2<f64>>> = rings.iter().map(|ring| ring.iter().map(Point3::xy).collect()).collect();
    let height = |place: &Point2<f64>| {
        let known = rings.iter().flatten().find(|corner| (corner.xy() - place).norm() < 1e-9);
        let from = place - first.xy();
        known.map_or_else(|| first.z - (normal.x * from.x + normal.y * from.y) / normal.z, |corner| corner.z)
    };
    let mut left = vec![Region { rings: plan }];
    let mut found = Vec::new();
    // Each cut opens a hole at least.
    for _ in 0..2 * rings.len() * rings.len() {
        let Some(region) = left.pop() else { break };
        let [outer, hole, ..] = region.rings.as_slice() else {
            let mut ring: Vec<Point3<f64>> =
                region.rings.iter().flatten().map(|at| Point3::new(at.x, at.y, height(at))).collect();
            if !up {
                ring.reverse();
            }
            found.push(ring);
            continue;
        };
        let bound = |ring: &[Point2<f64>], axis: usize| {
            let parts = || ring.iter().map(|place| place[axis]);
            [parts().fold(f64::INFINITY, f64::min), parts().fold(f64::NEG_INFINITY, f64::max)]
        };
        let ([west, east], [south, north]) = (bound(outer, 0), bound(outer, 1));
        let [from, to] = bound(hole, 0);
        let cut = f64::midpoint(from, to);
        for [west, east] in [[west - 1.0, cut], [cut, east + 1.0]] {
            let corners = [[west, south - 1.0], [east, south - 1.0], [east, north + 1.0], [west, north + 1.0]];
            left.extend(polygon_boolean::common(&region.rings, &[corners.map(Point2::from).to_vec()]));
        }
    }
    Some(found)
}

impl Imported {
    /// Adds a face, one with holes as several without; what cannot be is said.
    pub fn add_face(&mut self, name: &str, rings: &[Vec<Point3<f64>>]) {
        if !rings.iter().flatten().all(is_place) {
            self.left_out.push(LeftOut { name: name.to_owned(), why: Why::Place });
            return;
        }
        if let [ring] = rings {
            self.faces.push((name.to_owned(), ring.clone()));
            return;
        }
        match without_holes(rings) {
            Some(parts) => {
                let part =
                    |(at, ring)| (if at == 0 { name.to_owned() } else { format!("{name} part {}", at + 1) }, ring);
                self.faces.extend(parts.into_iter().enumerate().map(part));
            }
            None => self.left_out.push(LeftOut { name: name.to_owned(), why: Why::Hole }),
        }
    }

    /// Takes the whole metres of its lowest corner off every place, so that a site far from a grid's origin keeps its
    /// digits; nothing where it is near. O(places).
    pub fn bring_near(&mut self) {
        let plan = self.outlines.iter().flat_map(|(_, outline)| outline.polygons.iter().flatten().flatten());
        let plan = plan.map(|place| [place.x, place.y]);
        let faces = self.faces.iter().flat_map(|(_, ring)| ring).chain(self.points.iter().map(|(_, place)| place));
        let low = plan.chain(faces.map(|place| [place.x, place.y])).reduce(|a, b| [a[0].min(b[0]), a[1].min(b[1])]);
        let Some(low) = low.filter(|low| low.iter().any(|part| part.abs() > 1000.0)) else { return };
        let low = low.map(f64::floor);
        self.origin[0] += low[0];
        self.origin[1] += low[1];
        for (_, outline) in &mut self.outlines {
            for place in outline.polygons.iter_mut().flatten().flatten() {
                place.x -= low[0];
                place.y -= low[1];
            }
        }
        for place in
            self.faces.iter_mut().flat_map(|(_, ring)| ring).chain(self.points.iter_mut().map(|(_, place)| place))
        {
            place.x -= low[0];
            place.y -= low[1];
        }
    }
}
