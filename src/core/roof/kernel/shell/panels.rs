//! Plumb panels over the arcs of the plan, wherever the cell on one side is solid and the other is not.

use super::cells::{Cells, Interval, Surface};
use super::sheet::tolerance;
use crate::base::ids::FaceId;
use crate::base::polygon::contains;
use crate::roof::model::solid::Solid;
use crate::roof::model::triangulate::Triangulator;
use crate::roof::model::{FaceKind, Roof};
use nalgebra::{Point2, Vector2};

/// A panel: the half it stands over with the solid to the left, and the two surfaces it stands between.
struct Panel {
    half: usize,
    between: Interval,
}

/// Adds all panels to a solid whose surfaces are there already, each the part of a wall of the roof where it lies in one.
/// O(arcs · surfaces²).
pub fn raise(cells: &mut Cells, roof: &Roof, triangulator: &mut Triangulator, solid: &mut Solid) {
    let panels = panels(cells);
    // All corners are made before any plumb edge is cut at them.
    let feet_and_tops: Vec<[usize; 4]> = panels
        .iter()
        .map(|panel| {
            let [from, to] = cells.arrangement.ends(panel.half);
            let [low, high] = panel.between;
            [(low, from), (low, to), (high, to), (high, from)].map(|(surface, point)| cells.corner(surface, point))
        })
        .collect();
    let walls = walls(roof);
    let mut used = vec![false; cells.corners.places.len()];
    solid.triangles.iter().flatten().for_each(|&at| used[at as usize] = true);
    feet_and_tops.iter().flatten().for_each(|&at| used[at] = true);
    for (panel, [a, b, c, d]) in panels.iter().zip(feet_and_tops) {
        let [from, to] = cells.arrangement.ends(panel.half);
        let mut ring: Vec<usize> = vec![a, b];
        ring.extend(between(cells, &used, to, b, c));
        ring.extend([c, d]);
        ring.extend(between(cells, &used, from, d, a));
        ring.dedup();
        while ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
        if ring.len() < 3 {
            continue;
        }
        let places = &cells.corners.places;
        let origin = places[a];
        let along = (places[b] - origin).xy();
        let Some(along) = along.try_normalize(0.0) else { continue };
        let flat = |at: u32| {
            let spoke = places[at as usize] - origin;
            Point2::new(spoke.xy().dot(&along), spoke.z)
        };
        #[allow(clippy::cast_possible_truncation)]
        let numbers = vec![ring.iter().map(|&at| at as u32).collect::<Vec<u32>>()];
        let middle = ring.iter().map(|&at| places[at].coords).sum::<nalgebra::Vector3<f64>>() / ring.len() as f64;
        let face = walls.iter().find(|wall| wall.holds(&middle.into(), &along)).map(|wall| wall.face);
        solid.triangles.extend(triangulator.cut_floor(&numbers, flat).0);
        solid.face_of.resize(solid.triangles.len(), face);
    }
}

/// The corners over a point between two of its corners, in order from the first.
fn between(cells: &Cells, used: &[bool], point: usize, from: usize, to: usize) -> Vec<usize> {
    let over = &cells.corners.over[point];
    let position = |corner| over.iter().position(|&other| other == corner).unwrap_or_default();
    let (a, b) = (position(from), position(to));
    let mut found: Vec<usize> = over.iter().copied().take(a.max(b)).skip(a.min(b) + 1).collect();
    if a > b {
        found.reverse();
    }
    found.retain(|&corner| used[corner]);
    found
}

fn panels(cells: &mut Cells) -> Vec<Panel> {
    let mut out = Vec::new();
    for arc in 0..cells.arrangement.arcs.len() {
        let half = 2 * arc;
        let [left, right] = [half, half + 1].map(|half| cells.solid[cells.arrangement.cell[half]].clone());
        if left == right {
            continue;
        }
        let ends = cells.arrangement.ends(half);
        // Surfaces that have one corner over either end are one level.
        let mut levels: Vec<(f64, [usize; 2], Vec<Surface>)> = Vec::new();
        for surface in cells.beside(arc) {
            let corners = ends.map(|point| cells.corner(surface, point));
            match levels.iter_mut().find(|(_, other, _)| *other == corners) {
                Some((_, _, surfaces)) => surfaces.push(surface),
                None => {
                    let height = corners.map(|corner| cells.corners.places[corner].z);
                    levels.push((f64::midpoint(height[0], height[1]), corners, vec![surface]));
                }
            }
        }
        levels.sort_by(|a, b| a.0.total_cmp(&b.0));
        let level_of = |surface: Surface| levels.iter().position(|(_, _, surfaces)| surfaces.contains(&surface));
        let mut filled = vec![[false; 2]; levels.len()];
        for (side, stack) in [&left, &right].into_iter().enumerate() {
            for [low, high] in stack {
                let (Some(low), Some(high)) = (level_of(*low), level_of(*high)) else { continue };
                filled[low.min(high)..low.max(high)].iter_mut().for_each(|filled| filled[side] ^= true);
            }
        }
        for (level, filled) in filled.iter().enumerate().filter(|(_, filled)| filled[0] != filled[1]) {
            let between = [levels[level].2[0], levels[level + 1].2[0]];
            out.push(Panel { half: if filled[0] { half } else { half + 1 }, between });
        }
    }
    out
}

/// A wall of the roof, in plan and upright.
struct Wall {
    face: FaceId,
    origin: nalgebra::Point3<f64>,
    along: Vector2<f64>,
    ring: Vec<Point2<f64>>,
    slack: f64,
}

impl Wall {
    /// Whether a place of a panel that runs along lies in this wall.
    fn holds(&self, place: &nalgebra::Point3<f64>, along: &Vector2<f64>) -> bool {
        let spoke = place - self.origin;
        self.along.dot(along) > 0.0
            && self.along.perp(along).abs() < 1e-3
            && self.along.perp(&spoke.xy()).abs() <= self.slack
            && contains(&self.ring, &Point2::new(self.along.dot(&spoke.xy()), spoke.z))
    }
}

fn walls(roof: &Roof) -> Vec<Wall> {
    let slack = 4.0 * tolerance(roof);
    let walls = roof.faces.iter().enumerate().filter(|(_, face)| face.kind == FaceKind::Wall);
    walls
        .filter_map(|(index, face)| {
            let normal = face.plane.normal.xy().try_normalize(0.0)?;
            // Seen from outside, to the right.
            let along = Vector2::new(-normal.y, normal.x);
            let origin = roof.at(*face.ring.first()?);
            let place = |corner: nalgebra::Point3<f64>| {
                let spoke = corner - origin;
                Point2::new(along.dot(&spoke.xy()), spoke.z)
            };
            let ring = roof.ring(face).into_iter().map(place).collect();
            Some(Wall { face: FaceId::new(index), origin, along, ring, slack })
        })
        .collect()
}
