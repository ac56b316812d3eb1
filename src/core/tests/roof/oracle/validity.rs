//! Whether a roof is one, from its public data and the outline alone.

use super::random::Random;
use eavewright_core::base::polygon::contains;
use eavewright_core::outline::footprint::{Footprint, Role, Side};
use eavewright_core::roof::{Edge, EdgeKind, Face, FaceKind, Roof};
use nalgebra::{Point2, Point3, Vector2};
use std::collections::HashMap;

type Outline = Vec<Point2<f64>>;

struct Check<'a> {
    footprint: &'a Footprint,
    roof: &'a Roof,
    size: f64,
    found: Vec<String>,
}

/// Every flaw, in words. `places` random places of the outline are looked at from above.
pub fn flaws(footprint: &Footprint, roof: &Roof, places: usize) -> Vec<String> {
    let corners: Vec<Point2<f64>> = footprint.rings[0].corners();
    let size = eavewright_core::base::polygon::extent(&corners);
    let mut check = Check { footprint, roof, size, found: Vec::new() };
    check.edges();
    check.planes();
    check.areas();
    check.water();
    check.takeovers();
    check.seen_from_above(places);
    check.found
}

fn distance_to_segment(p: Point2<f64>, a: Point2<f64>, b: Point2<f64>) -> f64 {
    let along = b - a;
    let share = ((p - a).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
    (p - (a + along * share)).norm()
}

impl Check<'_> {
    fn sides(&self) -> impl Iterator<Item = (&Side, Point2<f64>)> {
        self.footprint.rings.iter().flat_map(|ring| {
            let count = ring.sides.len();
            (0..count).map(move |k| (&ring.sides[k], ring.sides[(k + 1) % count].start))
        })
    }

    fn off_outline(&self, p: Point2<f64>) -> f64 {
        self.sides().map(|(side, end)| distance_to_segment(p, side.start, end)).fold(f64::INFINITY, f64::min)
    }

    /// Every edge of the mesh joins two faces in opposite directions, or lies over the outline.
    fn edges(&mut self) {
        let mut runs: HashMap<(usize, usize), Vec<usize>> = HashMap::new();
        for (f, face) in self.roof.faces.iter().enumerate() {
            let mut ids = face.edges.iter();
            for ring in std::iter::once(&face.ring).chain(&face.holes) {
                if ring.len() < 3 {
                    self.found.push(format!("{} has a ring of {}", face.name(), ring.len()));
                }
                for k in 0..ring.len() {
                    let (a, b) = (ring[k].index(), ring[(k + 1) % ring.len()].index());
                    runs.entry((a, b)).or_default().push(f);
                    let Some(id) = ids.next() else {
                        self.found.push(format!("{} lacks edges", face.name()));
                        return;
                    };
                    let edge = &self.roof.edges[id.index()];
                    let ends = [edge.from.index(), edge.to.index()];
                    if ends != [a, b] && ends != [b, a] {
                        self.found.push(format!("edge {id} of {} joins other corners", face.name()));
                    }
                    if !edge.faces.iter().any(|face| face.index() == f) {
                        self.found.push(format!("edge {id} does not know {}", face.name()));
                    }
                }
            }
        }
        for ((a, b), faces) in &runs {
            if a == b || faces.len() > 1 {
                self.found.push(format!("corners {a} {b}: run {} times one way", faces.len()));
            }
            if runs.contains_key(&(*b, *a)) {
                continue;
            }
            let middle = nalgebra::center(&self.roof.corners[*a], &self.roof.corners[*b]);
            let off = self.off_outline(middle.xy());
            if off > 1e-6 * self.size {
                self.found.push(format!("open edge {off} inside the outline in {}", self.roof.faces[faces[0]].name()));
            }
        }
        for (id, edge) in self.roof.edges.iter().enumerate() {
            let (a, b) = (edge.from.index(), edge.to.index());
            let used = usize::from(runs.contains_key(&(a, b))) + usize::from(runs.contains_key(&(b, a)));
            if used != edge.faces.len() {
                self.found.push(format!("edge {id} has {} faces, {used} run along it", edge.faces.len()));
            }
        }
        let mut names: Vec<_> = self.roof.faces.iter().map(eavewright_core::roof::Face::name).collect();
        names.sort_unstable();
        names.dedup();
        if names.len() != self.roof.faces.len() {
            self.found.push("two faces of one name".into());
        }
    }

    /// Corners lie on their face's plane, and the plane is one that its side's profile gives.
    fn planes(&mut self) {
        let mut found = Vec::new();
        for face in &self.roof.faces {
            let off = self
                .roof
                .ring(face)
                .iter()
                .chain(self.roof.holes(face).iter().flatten())
                .map(|corner| face.plane.distance(corner).abs())
                .fold(0.0, f64::max);
            // A wall over a side is as plumb as its corners are near: the same bound.
            if off > 1e-6 * self.size {
                found.push(format!("{}: corner {off} off its plane", face.name()));
            }
            if face.kind == FaceKind::Wall {
                if face.plane.normal.z.abs() > 1e-9 {
                    found.push(format!("{}: wall not plumb", face.name()));
                }
                continue;
            }
            let side = self.sides().find(|(side, _)| Some(&side.name) == face.side().map(|side| &side.side));
            let Some((side, end)) = side else { continue };
            if !self.profile_gives(face, side, end) {
                found.push(format!("{}: not a plane of its side", face.name()));
            }
        }
        self.found.extend(found);
    }

    fn profile_gives(&self, face: &Face, side: &Side, end: Point2<f64>) -> bool {
        let along = (end - side.start).normalize();
        let inward = Vector2::new(-along.y, along.x);
        let profile = side.role.profile();
        let mut run = 0.0;
        for (k, (rise, pitch)) in profile.iter().enumerate() {
            if let Some(pitch) = pitch {
                let at = side.start + inward * run;
                let low = Point3::new(at.x, at.y, side.height + rise);
                let up = Point3::new(at.x + inward.x, at.y + inward.y, low.z + pitch.tangent());
                // A plane is held to its side as far as that is long: what is parallel to a longer one is made so.
                let reach = (end - side.start).norm().min(1.0);
                let level = low + nalgebra::Vector3::new(along.x, along.y, 0.0) * reach;
                if [low, up, level].iter().all(|p| face.plane.distance(p).abs() < 1e-7 * self.size) {
                    return true;
                }
                let top = profile.get(k + 1).map_or(*rise, |next| next.0);
                run += (top - rise) / pitch.tangent();
            }
        }
        false
    }

    fn areas(&mut self) {
        let rings = self.footprint.rings.iter();
        let wanted: f64 = rings.map(|ring| eavewright_core::base::polygon::signed_area(&ring.corners())).sum();
        // Walls lean by what sides nearly in one line are apart.
        let rings = |face: &Face| {
            let rings = std::iter::once(&face.ring).chain(&face.holes);
            rings.map(|ring| self.roof.vector_area(ring).z).sum::<f64>()
        };
        let got: f64 = self.roof.faces.iter().map(rings).sum();
        if (got - wanted).abs() > 1e-7 * wanted {
            self.found.push(format!("plan areas add up to {got}, the outline has {wanted}"));
        }
    }

    /// Water that falls anywhere runs off: no corner, and no group of corners joined level, lies lower than all round it
    /// unless it lies over the outline. (The surface is flat between its corners, so these are all its hollows.)
    fn water(&mut self) {
        let count = self.roof.corners.len();
        let height = |corner: usize| self.roof.corners[corner].z;
        let level = 1e-9 * self.size;
        let mut group: Vec<usize> = (0..count).collect();
        let mut drains = vec![false; count];
        for edge in &self.roof.edges {
            let (a, b) = (edge.from.index(), edge.to.index());
            if (height(a) - height(b)).abs() <= level {
                let (x, y) = (root(&mut group, a), root(&mut group, b));
                group[x] = y;
            } else {
                drains[if height(a) > height(b) { a } else { b }] = true;
            }
            if edge.faces.len() == 1 || self.falls_over(edge) {
                (drains[a], drains[b]) = (true, true);
            }
        }
        // Where a face turns back at a corner, water may leave along the middle of the face.
        for (_, face) in self.roof.roof_faces() {
            let Some(down) = face.plane.downslope() else { continue };
            for ring in std::iter::once(&face.ring).chain(&face.holes) {
                for (k, &corner) in ring.iter().enumerate() {
                    let place =
                        |step: usize| self.roof.at(ring[(k + step) % ring.len()]).xy() - self.roof.at(corner).xy();
                    let (next, last) = (place(1), place(ring.len() - 1));
                    let outside = last.perp(&down) >= 0.0 && down.perp(&next) >= 0.0;
                    drains[corner.index()] |= next.perp(&last) < 0.0 && !outside;
                }
            }
        }
        let mut dry = vec![false; count];
        for (corner, drains) in drains.into_iter().enumerate() {
            dry[root(&mut group, corner)] |= drains;
        }
        for corner in 0..count {
            let at = root(&mut group, corner);
            // Over the outline it runs off, though a wall stands below the eave.
            if !dry[at] && self.off_outline(self.roof.corners[corner].xy()) < 1e-6 * self.size {
                dry[at] = true;
            }
        }
        for corner in 0..count {
            if group[corner] == corner && !dry[corner] {
                self.found.push(format!("water stands at {}", self.roof.corners[corner]));
            }
        }
    }

    /// Whether water falls over an edge, down a wall below it: the roof at it falls towards the side that the wall is seen from.
    fn falls_over(&self, edge: &Edge) -> bool {
        let [one, two] = edge.faces[..] else { return false };
        let (one, two) = (&self.roof.faces[one.index()], &self.roof.faces[two.index()]);
        let (roof, wall) = if one.kind == FaceKind::Wall { (two, one) } else { (one, two) };
        let is_between = roof.kind != FaceKind::Wall && wall.kind == FaceKind::Wall;
        is_between && roof.plane.downslope().is_some_and(|down| down.dot(&wall.plane.normal.xy()) > 0.0)
    }

    /// Where one side's slope goes on above another's, the surface just above their line is the lower of the two planes,
    /// that is the one the shrinking outline reaches first: the flatter.
    fn takeovers(&mut self) {
        for edge in self.roof.edges.iter().filter(|edge| edge.kind == EdgeKind::PitchBreak) {
            let [one, two] = edge.faces[..] else { continue };
            let faces = [&self.roof.faces[one.index()], &self.roof.faces[two.index()]];
            // Two slopes in one line that hardly differ leave such an edge up the slope, where their step has no height.
            let level = (self.roof.at(edge.from).z - self.roof.at(edge.to).z).abs() <= 1e-9 * self.size;
            // A side's own break above a stretch that it shares with another takes nothing over.
            let shared = faces[0].sides.iter().any(|side| faces[1].sides.contains(side));
            if shared || !level {
                continue;
            }
            let middle = nalgebra::center(&self.roof.at(edge.from), &self.roof.at(edge.to));
            let Some(down) = faces[0].plane.downslope() else { continue };
            let place = middle.xy() - down * (1e-4 * self.size);
            let over = |face: &&&Face| {
                let plan: Vec<Point2<f64>> = self.roof.ring(face).iter().map(Point3::xy).collect();
                contains(&plan, &place)
            };
            let Some(above) = faces.iter().find(over) else { continue };
            for face in faces {
                let heights = [above.plane.height_at(&place), face.plane.height_at(&place)];
                if let [Some(above_at), Some(at)] = heights
                    && above_at > at + 1e-6 * self.size
                {
                    self.found.push(format!("{} goes on above {} though it is the steeper", above.name(), face.name()));
                }
            }
        }
    }

    /// Over every place of the outline lies one face and one only, and the water line over it is not below its side.
    fn seen_from_above(&mut self, places: usize) {
        let mut random = Random::new(places as u64);
        let outer = self.footprint.rings[0].corners();
        let low = outer.iter().fold(outer[0], |a, b| a.inf(b));
        let high = outer.iter().fold(outer[0], |a, b| a.sup(b));
        let plan = |ring: Vec<Point3<f64>>| ring.iter().map(Point3::xy).collect::<Vec<_>>();
        let faces: Vec<(&Face, Outline, Vec<Outline>)> = self
            .roof
            .roof_faces()
            .map(|(_, face)| (face, plan(self.roof.ring(face)), self.roof.holes(face).into_iter().map(plan).collect()))
            .collect();
        let near = 1e-6 * self.size;
        let close = |ring: &Vec<Point2<f64>>, p: Point2<f64>| {
            (0..ring.len()).any(|k| distance_to_segment(p, ring[k], ring[(k + 1) % ring.len()]) < near)
        };
        for _ in 0..places {
            let p = Point2::new(low.x + (high.x - low.x) * random.share(), low.y + (high.y - low.y) * random.share());
            let inside =
                contains(&outer, &p) && !self.footprint.rings[1..].iter().any(|hole| contains(&hole.corners(), &p));
            let edge = self.off_outline(p) < near
                || faces.iter().any(|(_, ring, holes)| close(ring, p) || holes.iter().any(|hole| close(hole, p)));
            if edge {
                continue;
            }
            let over: Vec<String> = faces
                .iter()
                .filter(|(_, ring, holes)| contains(ring, &p) && !holes.iter().any(|hole| contains(hole, &p)))
                .map(|(face, _, _)| face.name())
                .collect();
            if over.len() != usize::from(inside) {
                self.found.push(format!("over ({}, {}) lie {over:?}", p.x, p.y));
            }
        }
    }
}

/// Whether the outline has a role whose planes start above the outline.
pub fn has_breaks(footprint: &Footprint) -> bool {
    footprint.rings.iter().flat_map(|ring| &ring.sides).any(|side| match &side.role {
        Role::Eave { breaks, .. } => !breaks.is_empty(),
        Role::HalfHip { .. } | Role::Gablet { .. } => true,
        Role::Verge | Role::Abutment => false,
    })
}

/// The corner that stands for all joined with `at`.
fn root(group: &mut [usize], mut at: usize) -> usize {
    while group[at] != at {
        group[at] = group[group[at]];
        at = group[at];
    }
    at
}
