//! From labelled cells to faces as rings of corners: roof pieces of one plane joined, walls where heights part.

use super::arrangement::{Arrangement, Half, along};
use super::label::Labels;
use super::sheets::{BlockSide, Blocks};
use crate::roof::checks::{Check, Violation};
use crate::roof::model::names::FaceName;
use nalgebra::{Point2, Point3};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// A sheet has its own corner at a point where it has one within this part of the tolerance.
const OWN_CORNER: f64 = 1e-3;

/// Corners over the arrangement's points; heights nearer than the slack are one corner.
#[derive(Debug)]
pub struct Corners {
    /// All corners.
    pub places: Vec<Point3<f64>>,
    /// For each point, its corners, lowest first.
    pub over: Vec<Vec<usize>>,
    slack: f64,
}

impl Corners {
    /// None yet over so many points.
    #[must_use]
    pub fn new(points: usize, slack: f64) -> Self {
        Self { places: Vec::new(), over: vec![Vec::new(); points], slack }
    }

    /// Heights nearer than this are one.
    #[must_use]
    pub fn slack(&self) -> f64 {
        self.slack
    }

    /// The corner over a point at a height.
    pub fn corner(&mut self, arrangement: &Arrangement, point: usize, height: f64) -> usize {
        let near = |&&corner: &&usize| (self.places[corner].z - height).abs() <= self.slack;
        if let Some(&found) = self.over[point].iter().find(near) {
            return found;
        }
        let place = arrangement.points[point];
        self.places.push(Point3::new(place.x, place.y, height));
        let fresh = self.places.len() - 1;
        let position = self.over[point].partition_point(|&corner| self.places[corner].z < height);
        self.over[point].insert(position, fresh);
        fresh
    }

    /// By corner: the point that it lies over.
    #[must_use]
    pub fn points(&self) -> HashMap<usize, usize> {
        let over = self.over.iter().enumerate();
        over.flat_map(|(point, over)| over.iter().map(move |&corner| (corner, point))).collect()
    }

    /// Another corner at a corner's place.
    pub fn twin(&mut self, corner: usize) -> usize {
        self.places.push(self.places[corner]);
        let fresh = self.places.len() - 1;
        if let Some(over) = self.over.iter_mut().find(|over| over.contains(&corner)) {
            over.push(fresh);
            let places = &self.places;
            over.sort_by(|&a, &b| places[a].z.total_cmp(&places[b].z));
        }
        fresh
    }

    /// The corner of a sheet over a point: the sheet's own corner where it has one there.
    pub(crate) fn of_sheet(&mut self, arrangement: &Arrangement, blocks: &Blocks, sheet: usize, point: usize) -> usize {
        let place = arrangement.points[point];
        let sheet = &blocks.sheets[sheet];
        let own = sheet.corners.iter().find(|corner| (corner.xy() - place).norm() <= blocks.tolerance * OWN_CORNER);
        let height = own.map_or_else(|| sheet.height(&place), |corner| corner.z);
        self.corner(arrangement, point, height)
    }
}

/// A face in the making.
#[derive(Clone, Debug)]
pub struct FacePart {
    /// The side it stands over.
    pub side: BlockSide,
    /// All sides that lie in it, block by block.
    pub sides: Vec<BlockSide>,
    /// The sheet whose plane it has; `None` for a wall.
    pub sheet: Option<usize>,
    /// Corner numbers, outer ring first, anticlockwise seen from outside.
    pub rings: Vec<Vec<usize>>,
}

/// All faces and their corners.
pub struct Pieces {
    /// Roof first, then walls.
    pub all: Vec<FacePart>,
    /// Their corners.
    pub corners: Corners,
}

/// Joins cells to roof faces. O(cells · sheets + arcs).
///
/// # Errors
/// When a joined region has no one outer ring, which a fault in the subdivision would cause.
pub fn pieces(arrangement: &Arrangement, blocks: &Blocks, labels: &Labels) -> Result<Pieces, Violation> {
    let slack = blocks.slack();
    let mut corners = Corners::new(arrangement.points.len(), slack);
    let all = roof_pieces(arrangement, blocks, labels, &mut corners)?;
    Ok(Pieces { all, corners })
}

/// The visible sheet of one plane over a cell.
fn in_plane(blocks: &Blocks, labels: &Labels, cell: usize, plane: usize) -> Option<usize> {
    labels.visible[cell].iter().copied().find(|&sheet| blocks.sheets[sheet].same_plane == plane)
}

fn roof_pieces(
    arrangement: &Arrangement,
    blocks: &Blocks,
    labels: &Labels,
    corners: &mut Corners,
) -> Result<Vec<FacePart>, Violation> {
    // (plane, cell) -> region, by flooding over arcs.
    let mut halves_of: Vec<Vec<Half>> = vec![Vec::new(); arrangement.inside.len()];
    for half in 0..arrangement.next.len() {
        halves_of[arrangement.cell[half]].push(half);
    }
    let mut done: BTreeSet<(usize, usize)> = BTreeSet::new();
    let mut out = Vec::new();
    for cell in 0..halves_of.len() {
        for &sheet in &labels.visible[cell] {
            let plane = blocks.sheets[sheet].same_plane;
            if done.contains(&(plane, cell)) {
                continue;
            }
            let mut cells = BTreeSet::from([cell]);
            let mut open = vec![cell];
            while let Some(at) = open.pop() {
                done.insert((plane, at));
                for &half in &halves_of[at] {
                    let beyond = arrangement.cell[half ^ 1];
                    if in_plane(blocks, labels, beyond, plane).is_some() && cells.insert(beyond) {
                        open.push(beyond);
                    }
                }
            }
            let mut sheets: Vec<usize> =
                cells.iter().filter_map(|&cell| in_plane(blocks, labels, cell, plane)).collect();
            sheets.sort_unstable();
            sheets.dedup();
            let rings = rings_of(arrangement, |half| cells.contains(&arrangement.cell[half]));
            let (outer, holes): (Vec<_>, Vec<_>) =
                rings.into_iter().partition(|ring| crate::base::polygon::signed_area(&plan(arrangement, ring)) > 0.0);
            let side = first_side(blocks, &sheets);
            if outer.len() != 1 {
                let faces = side.map(|side| FaceName::over(blocks.name(side))).into_iter().collect();
                return Err(Violation { check: Check::OneOuterRing { found: outer.len() }, faces });
            }
            let mut raise = |ring: Vec<Half>| -> Vec<usize> {
                ring.into_iter()
                    .map(|half| {
                        let sheet = in_plane(blocks, labels, arrangement.cell[half], plane).unwrap_or(sheets[0]);
                        corners.of_sheet(arrangement, blocks, sheet, arrangement.ends(half)[0])
                    })
                    .collect()
            };
            let rings = outer.into_iter().chain(holes).map(&mut raise).collect();
            let Some(side) = side else { continue };
            let mut sides: Vec<BlockSide> = Vec::new();
            for side in sheets.iter().flat_map(|&sheet| &blocks.sheets[sheet].sides) {
                if !sides.contains(side) {
                    sides.push(*side);
                }
            }
            out.push(FacePart { side, sides, sheet: Some(sheets[0]), rings });
        }
    }
    Ok(out)
}

/// The first side in file order that some sheets rise from.
fn first_side(blocks: &Blocks, sheets: &[usize]) -> Option<BlockSide> {
    sheets.iter().filter_map(|&sheet| blocks.sheets[sheet].sides.first().copied()).min()
}

/// The boundary of a set of cells, as halves with the set to their left, ring by ring.
pub(crate) fn rings_of(arrangement: &Arrangement, inside: impl Fn(Half) -> bool) -> Vec<Vec<Half>> {
    let bounds = |half: Half| inside(half) && !inside(half ^ 1);
    let mut used = vec![false; arrangement.next.len()];
    let mut rings = Vec::new();
    for start in 0..arrangement.next.len() {
        if used[start] || !bounds(start) {
            continue;
        }
        let mut ring = Vec::new();
        let mut half = start;
        while !used[half] {
            used[half] = true;
            ring.push(half);
            half = arrangement.next[half];
            while !bounds(half) {
                half = arrangement.next[half ^ 1];
            }
        }
        rings.extend(simple(arrangement, ring));
    }
    rings
}

/// Takes a ring apart where it comes back to a point.
fn simple(arrangement: &Arrangement, ring: Vec<Half>) -> Vec<Vec<Half>> {
    let mut rings = Vec::new();
    let mut path: Vec<Half> = Vec::new();
    let mut at: HashMap<usize, usize> = HashMap::new();
    for half in ring {
        let point = arrangement.ends(half)[0];
        if let Some(&position) = at.get(&point) {
            let part: Vec<Half> = path.drain(position..).collect();
            for half in &part {
                at.remove(&arrangement.ends(*half)[0]);
            }
            rings.push(part);
        }
        at.insert(point, path.len());
        path.push(half);
    }
    rings.push(path);
    rings
}

/// Places of the points along some halves.
pub fn plan(arrangement: &Arrangement, ring: &[Half]) -> Vec<Point2<f64>> {
    ring.iter().map(|&half| arrangement.places(half)[0]).collect()
}

/// The side of a block along which a half lies: at its drip edge or its wall.
#[must_use]
pub(crate) fn side_along(blocks: &Blocks, block: usize, ends: &[Point2<f64>; 2]) -> Option<BlockSide> {
    let find = |rings: &[Vec<Point2<f64>>]| {
        for (r, ring) in rings.iter().enumerate() {
            for (k, from) in ring.iter().enumerate() {
                let to = ring[(k + 1) % ring.len()];
                if ends.iter().all(|end| along(end, from, &to).1 <= 2.0 * blocks.tolerance) {
                    return Some(BlockSide { block, ring: r, number: k });
                }
            }
        }
        None
    };
    find(&blocks.walls(block)).or_else(|| find(&blocks.drip(block)))
}

/// Numbers in file order, so that answers never depend on a hash.
pub type Ordered<T> = BTreeMap<BlockSide, Vec<T>>;
