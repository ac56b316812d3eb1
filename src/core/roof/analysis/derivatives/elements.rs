//! The planes that a roof is made of, and how each moves: slopes over sides, and what stands plumb on sides and walls.

use crate::base::gradient::Gradient;
use crate::base::ids::{EdgeId, FaceId};
use crate::base::name::SideName;
use crate::base::polygon::{contains, extent};
use crate::base::tolerance::default_for;
use crate::outline::{Footprint, Side};
use crate::roof::model::{FaceKind, Roof};
use nalgebra::{Point2, Point3, Vector2};
use std::collections::HashMap;

/// How a side of a footprint follows the parameters.
#[derive(Clone, Debug, Default)]
pub struct SideMotion {
    /// How far its line moves inwards, square to itself, at its start and at its end; `None`: not known.
    pub inwards: Option<[Gradient; 2]>,
    /// Its own height.
    pub height: Gradient,
    /// Of [`Stage::numbers`] of each of [`stages`], in order; empty where nothing changes them.
    pub stages: Vec<[Gradient; 2]>,
}

/// How a footprint follows the parameters: by ring and side.
#[derive(Clone, Debug, Default)]
pub struct BlockMotion {
    /// Of the drip edge.
    pub sides: Vec<Vec<SideMotion>>,
    /// Of the wall lines, how far each moves inwards at its start and at its end.
    pub walls: Vec<Vec<Option<[Gradient; 2]>>>,
}

impl BlockMotion {
    /// The parameters that it tells of.
    pub fn parameters(&self) -> impl Iterator<Item = usize> + '_ {
        let sides = self.sides.iter().flatten();
        let of_sides = sides.clone().filter_map(|side| side.inwards.as_ref()).flatten();
        let of_slopes = sides.clone().flat_map(|side| side.stages.iter().flatten());
        let of_walls = self.walls.iter().flatten().flatten().flatten();
        let heights = sides.map(|side| &side.height);
        of_sides.chain(of_slopes).chain(of_walls).chain(heights).flat_map(Gradient::entries).map(|entry| entry.0)
    }
}

/// A plane over a side, as its profile has them from below.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stage {
    /// A slope: the height of its plane over the side's line, metres, and its rise over run.
    Slope {
        /// Over the side's line.
        height: f64,
        /// Rise over run.
        tangent: f64,
    },
    /// Plumb, so far inwards of the side's line, metres.
    Plumb {
        /// Square to the line.
        inside: f64,
    },
}

impl Stage {
    /// Its two numbers; a plumb one has one.
    #[must_use]
    pub fn numbers(&self) -> [f64; 2] {
        match *self {
            Self::Slope { height, tangent } => [height, tangent],
            Self::Plumb { inside } => [inside, 0.0],
        }
    }
}

/// The planes over a side from below.
#[must_use]
pub fn stages(side: &Side) -> Vec<Stage> {
    let mut found = Vec::new();
    let (mut inside, mut before): (f64, Option<(f64, f64)>) = (0.0, None);
    for (rise, pitch) in side.role.stages() {
        if let Some((from, tangent)) = before {
            inside += (rise - from) / tangent;
        }
        before = pitch.map(|pitch| (rise, pitch.tangent()));
        found.push(match before {
            Some((rise, tangent)) => Stage::Slope { height: side.height + rise - tangent * inside, tangent },
            None => Stage::Plumb { inside },
        });
    }
    found
}

/// A plumb plane over a line.
#[derive(Clone, Debug)]
pub struct Upright {
    block: usize,
    from: Point2<f64>,
    along: Vector2<f64>,
    length: f64,
    /// How far it moves inwards at its ends; `None`: not known.
    inwards: Option<[Gradient; 2]>,
}

impl Upright {
    fn new(block: usize, [from, to]: [&Point2<f64>; 2], inwards: Option<&[Gradient; 2]>) -> Self {
        let length = (to - from).norm();
        Self { block, from: *from, along: (to - from) / length, length, inwards: inwards.cloned() }
    }

    /// The one so far inwards that moves with it, and by `more` besides.
    fn further(&self, inside: f64, more: &Gradient) -> Self {
        let inwards = self.inwards.clone().map(|ends| {
            ends.map(|mut end| {
                end.add(more, 1.0);
                end.merged()
            })
        });
        Self { from: self.from + self.normal() * inside, inwards, ..self.clone() }
    }

    /// Inwards, in plan.
    pub fn normal(&self) -> Vector2<f64> {
        Vector2::new(-self.along.y, self.along.x)
    }

    fn end(&self) -> Point2<f64> {
        self.from + self.along * self.length
    }

    /// Whether another runs along it for some way.
    fn overlaps(&self, other: &Self, tolerance: f64) -> bool {
        let shares = [other.from, other.end()].map(|end| self.share(&end) * self.length);
        let common = shares[0].max(shares[1]).min(self.length) - shares[0].min(shares[1]).max(0.0);
        common > tolerance && [other.from, other.end()].iter().all(|end| self.inside(end).abs() <= tolerance)
    }

    /// Along it from its start, in parts of its length.
    fn share(&self, place: &Point2<f64>) -> f64 {
        (place - self.from).dot(&self.along) / self.length
    }

    /// How far a place lies inwards of it.
    fn inside(&self, place: &Point2<f64>) -> f64 {
        (place - self.from).dot(&self.normal())
    }

    /// Whether a stretch lies on it, between its ends.
    fn holds(&self, ends: &[Point2<f64>; 2], tolerance: f64) -> bool {
        let beyond = tolerance / self.length;
        ends.iter().all(|end| {
            let share = self.share(end);
            self.inside(end).abs() <= tolerance && share >= -beyond && share <= 1.0 + beyond
        })
    }
}

/// A slope over a side.
#[derive(Clone, Debug)]
pub struct Slope {
    block: usize,
    upright: usize,
    /// Height over the side's line, metres; rise over run.
    height: f64,
    tangent: f64,
    higher: Gradient,
    pub steeper: Gradient,
}

/// All planes, and which of them each face and each open edge lies on.
#[derive(Clone, Debug)]
pub struct Elements {
    pub uprights: Vec<Upright>,
    pub slopes: Vec<Slope>,
    /// Places nearer in plan are one, metres.
    pub tolerance: f64,
    /// Level bottoms of walls by side, its own and the block's: height and how it moves.
    levels: HashMap<SideName, [(f64, Gradient); 2]>,
    slopes_of: Vec<Vec<usize>>,
    parted_faces: Vec<usize>,
    uprights_of: Vec<Vec<usize>>,
    open_edges: HashMap<EdgeId, Vec<usize>>,
    /// How many uprights there are before those of walls, and which are whose.
    walls_from: usize,
    blocks: Vec<std::ops::Range<usize>>,
}

/// How many tolerances a place may lie off a plane and count as on it: contraction moves corners by a few.
const ON: f64 = 16.0;

/// Planes that a parameter lifts apart by more than this part of its change part.
const PARTED: f64 = 1e-9;

impl Elements {
    pub fn of(roof: &Roof, footprints: &[Footprint], motions: &[BlockMotion]) -> Self {
        let plan: Vec<Point2<f64>> = roof.corners.iter().map(nalgebra::Point3::xy).collect();
        let mut all = Self {
            uprights: Vec::new(),
            slopes: Vec::new(),
            tolerance: ON * default_for(extent(&plan)),
            levels: HashMap::new(),
            slopes_of: vec![Vec::new(); roof.faces.len()],
            parted_faces: Vec::new(),
            uprights_of: vec![Vec::new(); roof.faces.len()],
            open_edges: HashMap::new(),
            walls_from: 0,
            blocks: Vec::new(),
        };
        let mut over: HashMap<SideName, Vec<usize>> = HashMap::new();
        let mut on: HashMap<SideName, usize> = HashMap::new();
        for (block, (footprint, motion)) in footprints.iter().zip(motions).enumerate() {
            let sides =
                footprint.rings.iter().zip(&motion.sides).flat_map(|(ring, known)| ring.sides.iter().zip(known));
            let lowest = sides.clone().find(|(side, _)| side.role.slopes() && side.height == footprint.height);
            let lowest = (footprint.height, lowest.map(|(_, known)| known.height.clone()).unwrap_or_default());
            let from = all.uprights.len();
            for (number, ring) in footprint.rings.iter().enumerate() {
                for (at, side) in ring.sides.iter().enumerate() {
                    let known = &motion.sides[number][at];
                    let name = footprint.side_name(number, at);
                    let end = ring.sides[(at + 1) % ring.sides.len()].start;
                    let own = all.uprights.len();
                    on.insert(name.clone(), own);
                    all.uprights.push(Upright::new(block, [&side.start, &end], known.inwards.as_ref()));
                    for (stage, planes) in stages(side).into_iter().enumerate() {
                        let [first, steeper] = known.stages.get(stage).cloned().unwrap_or_default();
                        match planes {
                            Stage::Slope { height, tangent } => {
                                over.entry(name.clone()).or_default().push(all.slopes.len());
                                let slope = Slope { block, upright: own, height, tangent, higher: first, steeper };
                                all.slopes.push(slope);
                            }
                            Stage::Plumb { inside } if inside > 0.0 => {
                                let further = all.uprights[own].further(inside, &first);
                                all.uprights.push(further);
                            }
                            Stage::Plumb { .. } => {}
                        }
                    }
                    all.levels.insert(name, [(side.height, known.height.clone()), lowest.clone()]);
                }
            }
            all.blocks.push(from..all.uprights.len());
        }
        all.walls_from = all.uprights.len();
        for (block, (footprint, motion)) in footprints.iter().zip(motions).enumerate() {
            for (ring, motions) in footprint.walls.iter().flatten().zip(&motion.walls) {
                for (at, (from, known)) in ring.iter().zip(motions).enumerate() {
                    let to = &ring[(at + 1) % ring.len()];
                    if from != to {
                        all.uprights.push(Upright::new(block, [from, to], known.as_ref()));
                    }
                }
            }
        }
        all.find_planes(roof, &over);
        all.single_out();
        all.find_uprights(roof, &on, footprints.len() == 1);
        all
    }

    /// The slopes whose planes the roof faces lie in.
    fn find_planes(&mut self, roof: &Roof, over: &HashMap<SideName, Vec<usize>>) {
        for (id, face) in roof.roof_faces() {
            let mut found = Vec::new();
            for side in &face.sides {
                let off = |&slope: &usize| {
                    let corners = face.ring.iter().map(|&corner| roof.at(corner));
                    let off = corners.map(|corner| (self.height_at(slope, &corner.xy()) - corner.z).abs());
                    (slope, off.fold(0.0, f64::max))
                };
                let slopes = over.get(side).into_iter().flatten();
                let nearest = slopes.map(off).min_by(|a, b| a.1.total_cmp(&b.1));
                let is_on = |&(slope, off): &(usize, f64)| off <= self.tolerance * (1.0 + self.slopes[slope].tangent);
                found.extend(nearest.filter(is_on).map(|(slope, _)| slope));
            }
            self.slopes_of[id.index()] = found;
        }
    }

    /// Leaves each face one slope: several sides in one line may have theirs in it. The parameters that lift one of these more
    /// than another part the face, and there is no derivative by them.
    fn single_out(&mut self) {
        let mut parted = Vec::new();
        for slopes in std::mem::take(&mut self.slopes_of) {
            if let [first, others @ ..] = slopes.as_slice() {
                let upright = &self.uprights[self.slopes[*first].upright];
                let places = [upright.from, upright.end(), upright.from + upright.normal() * upright.length];
                for other in others {
                    for place in places {
                        parted.extend(self.lifted_apart(*first, *other, &place));
                    }
                }
            }
            self.slopes_of.push(slopes.into_iter().take(1).collect());
        }
        self.parted_faces = parted;
    }

    /// The parameters that lift one slope over a place more than another.
    fn lifted_apart(&self, one: usize, other: usize, place: &Point2<f64>) -> Vec<usize> {
        let mut apart = Gradient::new();
        self.lift(one, place, 1.0, &mut apart);
        self.lift(other, place, -1.0, &mut apart);
        apart.merged().entries().iter().filter(|entry| entry.1.abs() > PARTED).map(|entry| entry.0).collect()
    }

    /// What the walls and the open edges of roof faces stand on. `alone`: a side of one outline lies on no other.
    fn find_uprights(&mut self, roof: &Roof, on: &HashMap<SideName, usize>, alone: bool) {
        let holding = |side: Option<&SideName>, ends: &[Point2<f64>; 2]| -> Vec<usize> {
            let own = side.and_then(|side| on.get(side)).copied();
            let holds = |&upright: &usize| self.uprights[upright].holds(ends, self.tolerance);
            match own.filter(holds) {
                Some(own) if alone => vec![own],
                _ => (0..self.uprights.len()).filter(holds).collect(),
            }
        };
        let mut of_walls = Vec::new();
        for (index, face) in roof.faces.iter().enumerate().filter(|(_, face)| face.kind == FaceKind::Wall) {
            let along = Vector2::new(-face.plane.normal.y, face.plane.normal.x);
            let places = face.ring.iter().map(|&corner| roof.at(corner).xy());
            let by = |place: &Point2<f64>| place.coords.dot(&along);
            let least = places.clone().min_by(|a, b| by(a).total_cmp(&by(b)));
            let most = places.max_by(|a, b| by(a).total_cmp(&by(b)));
            if let Some((from, to)) = least.zip(most) {
                of_walls.push((index, holding(face.side(), &[from, to])));
            }
        }
        let mut open_edges = HashMap::new();
        for (index, edge) in roof.edges.iter().enumerate() {
            let [only] = edge.faces.as_slice() else { continue };
            let face = &roof.faces[only.index()];
            if face.kind == FaceKind::Roof {
                let ends = [edge.from, edge.to].map(|corner| roof.at(corner).xy());
                open_edges.insert(EdgeId::new(index), holding(face.side(), &ends));
            }
        }
        for (face, uprights) in of_walls {
            self.uprights_of[face] = uprights;
        }
        self.open_edges = open_edges;
    }

    /// What of several blocks passes a place, whether it is seen there or not: uprights, and slopes of blocks whose plan
    /// reaches there.
    pub fn through(&self, place: &Point3<f64>, footprints: &[Footprint]) -> (Vec<usize>, Vec<usize>) {
        let at = place.xy();
        let uprights =
            (0..self.uprights.len()).filter(|&upright| self.uprights[upright].holds(&[at, at], self.tolerance));
        let reaches = |block: usize| {
            let rings = &footprints[block].rings;
            let is_on = |upright: &Upright| upright.holds(&[at, at], self.tolerance);
            rings.iter().filter(|ring| contains(&ring.corners(), &at)).count() % 2 == 1
                || self.uprights[self.of_block(block)].iter().any(is_on)
        };
        let covered: Vec<bool> = (0..footprints.len()).map(reaches).collect();
        let slopes = (0..self.slopes.len()).filter(|&slope| {
            let off = (self.height_at(slope, &at) - place.z).abs();
            covered[self.slopes[slope].block] && off <= self.tolerance * (1.0 + self.slopes[slope].tangent)
        });
        (uprights.collect(), slopes.collect())
    }

    fn of_block(&self, block: usize) -> std::ops::Range<usize> {
        self.blocks[block].clone()
    }

    /// The parameters that move one of two planes more than the other where they coincide: within a face that lies over several
    /// sides, and of different blocks, of which then another is seen all over both. O(planes²) for several blocks.
    pub fn parted(&self) -> Vec<usize> {
        let mut parted = self.parted_faces.clone();
        let moves = |entry: &&(usize, f64)| entry.1.abs() > PARTED;
        if self.blocks.len() < 2 {
            return parted;
        }
        for (one, a) in self.slopes.iter().enumerate() {
            for (other, b) in self.slopes.iter().enumerate().skip(one + 1).filter(|(_, b)| b.block != a.block) {
                let off = |place: &Point2<f64>| (self.height_at(one, place) - self.height_at(other, place)).abs();
                let slack = 2.0 * self.tolerance * (1.0 + a.tangent.max(b.tangent));
                let [upright, beside] = [a, b].map(|slope| &self.uprights[slope.upright]);
                let inner = upright.from + upright.normal() * upright.length;
                let places = [upright.from, upright.end(), inner];
                if places.iter().chain(&[beside.from, beside.end()]).all(|place| off(place) <= slack) {
                    parted.extend(places.iter().flat_map(|place| self.lifted_apart(one, other, place)));
                }
            }
        }
        for (one, a) in self.uprights.iter().enumerate() {
            for (other, b) in self.uprights.iter().enumerate().skip(one + 1).filter(|(_, b)| b.block != a.block) {
                let times = if a.along.dot(&b.along) < 0.0 { 1.0 } else { -1.0 };
                if a.overlaps(b, self.tolerance) {
                    for place in [a.from, a.end()] {
                        let mut apart = Gradient::new();
                        self.push(one, &place, 1.0, &mut apart);
                        self.push(other, &place, times, &mut apart);
                        parted.extend(apart.merged().entries().iter().filter(moves).map(|entry| entry.0));
                    }
                }
            }
        }
        parted
    }

    /// The slopes in whose plane a roof face lies; none where it is not known.
    pub(crate) fn slopes_of(&self, face: FaceId) -> &[usize] {
        &self.slopes_of[face.index()]
    }

    /// What a wall stands on.
    pub(crate) fn uprights_of(&self, face: FaceId) -> &[usize] {
        &self.uprights_of[face.index()]
    }

    /// What an edge of one roof face stands on; `None` for another edge.
    pub fn under(&self, edge: EdgeId) -> Option<&[usize]> {
        self.open_edges.get(&edge).map(Vec::as_slice)
    }

    /// The first wall line that holds a stretch.
    pub(crate) fn wall_under(&self, ends: &[Point2<f64>; 2]) -> Option<usize> {
        (self.walls_from..self.uprights.len()).find(|&upright| self.uprights[upright].holds(ends, self.tolerance))
    }

    /// How the level bottom of a side's wall moves, where it is at this height.
    pub fn level(&self, side: &SideName, height: f64) -> Option<&Gradient> {
        let mut levels = self.levels.get(side)?.iter();
        levels.find(|(own, _)| (own - height).abs() <= self.tolerance).map(|(_, moves)| moves)
    }

    /// The height of a slope's plane over a place.
    pub fn height_at(&self, slope: usize, place: &Point2<f64>) -> f64 {
        let Slope { upright, height, tangent, .. } = &self.slopes[slope];
        height + tangent * self.uprights[*upright].inside(place)
    }

    /// How steeply it rises, and which way.
    pub fn rise(&self, slope: usize) -> Vector2<f64> {
        self.uprights[self.slopes[slope].upright].normal() * self.slopes[slope].tangent
    }

    /// Adds so many times the height that a slope's plane gains over a place; whether that is known.
    pub fn lift(&self, slope: usize, place: &Point2<f64>, times: f64, sum: &mut Gradient) -> bool {
        let Slope { upright, tangent, higher, steeper, .. } = &self.slopes[slope];
        sum.add(higher, times);
        sum.add(steeper, times * self.uprights[*upright].inside(place));
        // What the line comes nearer, the plane over a place sinks.
        self.push(*upright, place, -times * tangent, sum)
    }

    /// Adds so many times the distance that an upright moves inwards abreast of a place; whether that is known.
    pub fn push(&self, upright: usize, place: &Point2<f64>, times: f64, sum: &mut Gradient) -> bool {
        let upright = &self.uprights[upright];
        let Some([start, end]) = &upright.inwards else { return false };
        let share = upright.share(place);
        sum.add(start, times * (1.0 - share));
        sum.add(end, times * share);
        true
    }
}
