//! Where a plane cuts the solid: level cuts are the shrinking outline of the sweep, plumb ones are sections.

use crate::base::ids::FaceId;
use crate::base::plane::Plane;
use crate::base::polygon;
use crate::base::tolerance::ROUNDING;
use crate::roof::model::solid::Solid;
use crate::roof::model::triangulate::axes;
use earcut::Earcut;
use nalgebra::{Point2, Point3};
use std::collections::HashMap;

/// A line round one piece of what is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct CutLine {
    /// Corners, the solid to the left as seen from the tip of the plane's normal.
    pub places: Vec<Point3<f64>>,
    /// The face that each side lies in, from its corner to the next; `None` for walls below the outline and the floor.
    pub faces: Vec<Option<FaceId>>,
    /// Whether the last corner joins the first; always so for a closed solid.
    pub closed: bool,
}

/// What a plane cuts of a solid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cut {
    /// Every line; outer ones run anticlockwise, holes clockwise, seen from the tip of the plane's normal.
    pub lines: Vec<CutLine>,
}

impl Cut {
    /// The cut of a solid by a plane. A corner that lies in the plane counts as behind it, so a cut through corners is
    /// the limit of cuts just before them. Which triangle follows which is read from their common edges, never from
    /// coordinates. O(triangles).
    #[must_use]
    pub fn of(solid: &Solid, plane: &Plane) -> Self {
        let before: Vec<f64> = solid.positions.iter().map(|place| plane.distance(place)).collect();
        // Each cut triangle by the edge that its piece of the line starts from, with the edge it ends at.
        let mut pieces: HashMap<(u32, u32), Vec<((u32, u32), usize)>> = HashMap::new();
        let mut starts = Vec::new();
        for (index, triangle) in solid.triangles.iter().enumerate() {
            let crossing = |down: bool| {
                (0..3).map(|side| (triangle[side], triangle[(side + 1) % 3])).find(|(a, b)| {
                    let (a, b) = if down { (a, b) } else { (b, a) };
                    before[*a as usize] > 0.0 && before[*b as usize] <= 0.0
                })
            };
            if let (Some(from), Some((low, high))) = (crossing(true), crossing(false)) {
                pieces.entry(from).or_default().push(((high, low), index));
                starts.push(from);
            }
        }
        let place = |(high, low): (u32, u32)| {
            let (a, b) = (&solid.positions[high as usize], &solid.positions[low as usize]);
            let (above, below) = (before[high as usize], before[low as usize]);
            Point3::from(b.coords + (a - b) * (-below / (above - below)))
        };
        // Lines of an open surface start where no other piece ends.
        let ends: std::collections::HashSet<(u32, u32)> = pieces.values().flatten().map(|(to, _)| *to).collect();
        starts.sort_by_key(|from| ends.contains(from));
        let mut lines = Vec::new();
        for start in starts {
            let (mut at, mut places, mut faces) = (start, Vec::new(), Vec::new());
            while let Some((to, triangle)) = pieces.get_mut(&at).and_then(Vec::pop) {
                places.push(place(at));
                faces.push(solid.face_of[triangle]);
                at = to;
                if at == start {
                    break;
                }
            }
            if places.is_empty() {
                continue;
            }
            let closed = at == start;
            if !closed {
                places.push(place(at));
            }
            lines.extend(CutLine { places, faces, closed }.simplified());
        }
        Self { lines }
    }

    /// Area that the plane cuts, square metres; 0 for an open surface.
    #[must_use]
    pub fn area(&self, plane: &Plane) -> f64 {
        let closed = self.lines.iter().filter(|line| line.closed);
        closed.map(|line| polygon::vector_area(&line.places).dot(&plane.normal)).sum()
    }

    /// What the plane cuts as triangles, to be filled. O(corners²) at worst.
    #[must_use]
    pub fn triangles(&self, plane: &Plane) -> Vec<[Point3<f64>; 3]> {
        let (right, up) = axes(&plane.normal);
        let flat = |line: &CutLine| -> Vec<Point2<f64>> {
            line.places.iter().map(|place| Point2::new(place.coords.dot(&right), place.coords.dot(&up))).collect()
        };
        let rings: Vec<(&CutLine, Vec<Point2<f64>>)> =
            self.lines.iter().filter(|line| line.closed).map(|line| (line, flat(line))).collect();
        let (outer, holes): (Vec<_>, Vec<_>) =
            rings.into_iter().partition(|(_, ring)| polygon::signed_area(ring) > 0.0);
        let mut triangles = Vec::new();
        let mut earcut = Earcut::new();
        let mut found: Vec<u32> = Vec::new();
        // A hole belongs to the smallest ring about it: islands may stand in courtyards.
        let owner = |hole: &[Point2<f64>]| {
            let about = (0..outer.len()).filter(|&at| polygon::contains(&outer[at].1, &hole[0]));
            about.min_by(|a, b| polygon::signed_area(&outer[*a].1).total_cmp(&polygon::signed_area(&outer[*b].1)))
        };
        let owners: Vec<Option<usize>> = holes.iter().map(|(_, hole)| owner(hole)).collect();
        for (index, (line, ring)) in outer.iter().enumerate() {
            let origin = ring[0];
            let mut corners: Vec<Point3<f64>> = line.places.clone();
            let mut places: Vec<[f64; 2]> = ring.iter().map(|place| (place - origin).into()).collect();
            let mut starts: Vec<u32> = Vec::new();
            for ((hole, inner), _) in holes.iter().zip(&owners).filter(|(_, owner)| **owner == Some(index)) {
                starts.extend(u32::try_from(places.len()));
                corners.extend(&hole.places);
                places.extend(inner.iter().map(|place| <[f64; 2]>::from(place - origin)));
            }
            earcut.earcut_slice(&places, &starts, &mut found);
            triangles.extend(found.chunks_exact(3).map(|t| [t[0], t[1], t[2]].map(|at| corners[at as usize])));
        }
        triangles
    }
}

impl CutLine {
    /// Its sides: both ends and the face each lies in.
    pub fn sides(&self) -> impl Iterator<Item = (Point3<f64>, Point3<f64>, Option<FaceId>)> {
        let next = |index: usize| self.places[(index + 1) % self.places.len()];
        self.faces.iter().enumerate().map(move |(index, face)| (self.places[index], next(index), *face))
    }

    /// Length of all sides, metres.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.sides().map(|(from, to, _)| (to - from).norm()).sum()
    }

    /// One side for each face it runs through, sides without length left out; `None` when nothing is left.
    fn simplified(self) -> Option<Self> {
        let mut sides: Vec<(Point3<f64>, Point3<f64>, Option<FaceId>)> = Vec::with_capacity(self.faces.len());
        for (from, to, face) in self.sides() {
            match sides.last_mut() {
                _ if from == to => {}
                Some(last) if goes_on(last, &(from, to, face)) => last.1 = to,
                _ => sides.push((from, to, face)),
            }
        }
        if self.closed
            && sides.len() > 1
            && let (Some(first), Some(last)) = (sides.first().copied(), sides.last().copied())
            && goes_on(&last, &first)
        {
            sides[0].0 = last.0;
            sides.pop();
        }
        if sides.is_empty() || (self.closed && sides.len() < 3) {
            return None;
        }
        let mut places: Vec<Point3<f64>> = sides.iter().map(|side| side.0).collect();
        if !self.closed {
            places.extend(sides.last().map(|side| side.1));
        }
        Some(Self { places, faces: sides.iter().map(|side| side.2).collect(), closed: self.closed })
    }
}

/// Whether the second side runs on straight in the plane of the first: always, within one flat face; walls below the
/// outline share the name of no face, so there the direction tells.
fn goes_on(
    first: &(Point3<f64>, Point3<f64>, Option<FaceId>),
    second: &(Point3<f64>, Point3<f64>, Option<FaceId>),
) -> bool {
    let (a, b) = (first.1 - first.0, second.1 - second.0);
    let straight = || a.cross(&b).norm() <= ROUNDING * a.norm() * b.norm() && a.dot(&b) > 0.0;
    first.2 == second.2 && (first.2.is_some() || straight())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use nalgebra::Vector3;

    /// A ring of square section: outer 4 x 4, inner 2 x 2, 1 high, as a closed mesh.
    fn frame() -> Solid {
        let square = |half: f64, z: f64| {
            [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(x, y)| Point3::new(x * half, y * half, z))
        };
        let positions = [square(2.0, 0.0), square(2.0, 1.0), square(1.0, 0.0), square(1.0, 1.0)].concat();
        let mut triangles = Vec::new();
        let mut quad = |a: u32, b: u32, c: u32, d: u32| triangles.extend([[a, b, c], [a, c, d]]);
        for i in 0..4 {
            let j = (i + 1) % 4;
            quad(i, j, 4 + j, 4 + i); // outside
            quad(8 + j, 8 + i, 12 + i, 12 + j); // inside
            quad(4 + i, 4 + j, 12 + j, 12 + i); // top
            quad(i, 8 + i, 8 + j, j); // floor
        }
        let face_of = vec![None; triangles.len()];
        Solid { positions, triangles, face_of }
    }

    #[test]
    fn a_face_whose_triangles_are_off_by_rounding_is_cut_in_one_line() {
        let mut solid = frame();
        // Each outer side is a face of two triangles; one corner of the first lies a tenth of a micrometre outside.
        for (index, face) in solid.face_of.iter_mut().enumerate() {
            *face = (index % 8 < 2).then(|| FaceId::new(index / 8));
        }
        solid.positions[5].y -= 1e-7;
        let cut = Cut::of(&solid, &Plane { normal: Vector3::z(), offset: 0.3 });
        let outer: Vec<usize> = cut.lines.iter().map(|line| line.faces.iter().flatten().count()).collect();
        assert!(outer.contains(&4) && outer.iter().all(|sides| [0, 4].contains(sides)), "{outer:?}");
    }

    #[test]
    fn a_level_cut_of_a_ring_has_a_hole_that_runs_clockwise() {
        let solid = frame();
        let plane = Plane { normal: Vector3::z(), offset: 0.3 };
        let cut = Cut::of(&solid, &plane);
        assert_eq!(cut.lines.len(), 2);
        assert!(cut.lines.iter().all(|line| line.closed && line.places.len() == 4));
        assert!((cut.area(&plane) - 12.0).abs() < 1e-12);
        let mut areas: Vec<f64> = cut.lines.iter().map(|line| polygon::vector_area(&line.places).z).collect();
        areas.sort_by(f64::total_cmp);
        assert!((areas[0] + 4.0).abs() < 1e-12 && (areas[1] - 16.0).abs() < 1e-12, "{areas:?}");
        let filled: f64 = cut.triangles(&plane).iter().map(|t| polygon::vector_area(t).z.abs()).sum();
        assert!((filled - 12.0).abs() < 1e-12, "{filled}");
    }

    #[test]
    fn a_plumb_cut_shows_both_arms_and_their_size() {
        let solid = frame();
        let plane = Plane { normal: Vector3::x(), offset: 0.25 };
        let cut = Cut::of(&solid, &plane);
        assert_eq!(cut.lines.len(), 2);
        assert!((cut.area(&plane) - 2.0).abs() < 1e-12);
        assert!(cut.lines.iter().all(|line| (line.length() - 4.0).abs() < 1e-12));
    }

    #[test]
    fn corners_in_the_plane_count_as_behind_it() {
        let solid = frame();
        let at = |offset: f64| Cut::of(&solid, &Plane { normal: Vector3::z(), offset });
        assert_eq!(at(0.0).lines.len(), 2);
        assert!(at(1.0).lines.is_empty());
        assert!(at(-0.1).lines.is_empty());
    }

    #[test]
    fn an_open_surface_is_cut_along_open_lines() {
        let mut solid = frame();
        // Nothing but the outside of one wall.
        solid.triangles.truncate(2);
        solid.face_of.truncate(2);
        let cut = Cut::of(&solid, &Plane { normal: Vector3::z(), offset: 0.5 });
        assert_eq!(cut.lines.len(), 1);
        let line = &cut.lines[0];
        assert!(!line.closed && line.places.len() == 2 && line.faces.len() == 1, "{line:?}");
        assert!((line.length() - 4.0).abs() < 1e-12);
    }
}
