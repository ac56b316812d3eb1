//! The solid of a roof and its walls as flat polygons: what elevations, sections and the net are drawn from.

use crate::base::ids::FaceId;
use crate::base::order::SortByNumber as _;
use crate::base::polygon;
use crate::base::tolerance::{BESIDE, LAST_PLACES};
use crate::drawing::typeset::pen::Pen;
use crate::roof::model::solid;
use crate::roof::model::solid::Solid;
use crate::roof::{Edge, EdgeKind, FaceKind, Roof};
use nalgebra::{Point3, Vector3};
use std::collections::{BTreeMap, BTreeSet};

/// A flat polygon of the body.
#[derive(Clone, Debug, PartialEq)]
pub struct Flat {
    /// The roof face it is; `None` for walls and the floor.
    pub face: Option<FaceId>,
    /// Unit normal, outwards.
    pub normal: Vector3<f64>,
    /// Rings of places (indices of [`Body::places`]), the outer one first, anticlockwise seen from outside.
    pub rings: Vec<Vec<usize>>,
}

/// An edge of the body between two polygons, or at the rim of an open one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fold {
    /// Indices of its ends, in the direction of the first polygon's ring.
    pub ends: [usize; 2],
    /// The polygons it belongs to.
    pub flats: [Option<usize>; 2],
    /// What it is drawn with.
    pub pen: Pen,
}

/// A body of flat polygons.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Body {
    /// Places, metres.
    pub places: Vec<Point3<f64>>,
    /// Roof faces in the roof's order, then walls and floor.
    pub flats: Vec<Flat>,
    /// Every edge once.
    pub folds: Vec<Fold>,
    /// Triangles with the polygon each lies in.
    pub triangles: Vec<([usize; 3], usize)>,
    /// Whether it is closed.
    pub closed: bool,
}

impl Body {
    /// The body of a roof down to a datum, its walls under its edges; without feet, the roof faces alone. Walls in one plane that
    /// touch are one polygon. O(triangles log triangles).
    #[must_use]
    pub fn of(roof: &Roof, datum: f64) -> Self {
        Self::of_solid(roof, solid::build(roof, datum))
    }

    /// The body of a roof's solid. O(triangles log triangles), and O(edges²) where the solid has corners of its own.
    #[must_use]
    pub(super) fn of_solid(roof: &Roof, solid: Solid) -> Self {
        let Solid { positions, triangles, face_of } = solid;
        let triangles: Vec<[usize; 3]> = triangles.iter().map(|t| t.map(|corner| corner as usize)).collect();
        let roof_face = |id: &Option<FaceId>| id.filter(|id| roof.faces[id.index()].kind == FaceKind::Roof);
        let owner: Vec<Option<FaceId>> = face_of.iter().map(roof_face).collect();
        let normal = |t: &[usize; 3]| {
            let [a, b, c] = t.map(|corner| positions[corner]);
            (b - a).cross(&(c - a)).try_normalize(f64::MIN_POSITIVE)
        };
        let by_edge: BTreeMap<(usize, usize), usize> = triangles
            .iter()
            .enumerate()
            .flat_map(|(index, t)| (0..3).map(move |side| ((t[side], t[(side + 1) % 3]), index)))
            .collect();
        // Flood over triangles of one roof face, or of walls in one plane.
        let mut flat_of: Vec<Option<usize>> = vec![None; triangles.len()];
        let mut seeds: Vec<usize> = Vec::new();
        for start in 0..triangles.len() {
            if flat_of[start].is_some() {
                continue;
            }
            let flat = seeds.len();
            seeds.push(start);
            let seed_normal = normal(&triangles[start]);
            let mut stack = vec![start];
            flat_of[start] = Some(flat);
            while let Some(at) = stack.pop() {
                for side in 0..3 {
                    let (from, to) = (triangles[at][side], triangles[at][(side + 1) % 3]);
                    let Some(&next) = by_edge.get(&(to, from)) else { continue };
                    let same = owner[next] == owner[start]
                        && (owner[start].is_some() || is_same_direction(seed_normal, normal(&triangles[next])));
                    if flat_of[next].is_none() && same {
                        flat_of[next] = Some(flat);
                        stack.push(next);
                    }
                }
            }
        }
        let flat_of: Vec<usize> = flat_of.into_iter().flatten().collect();
        let flats = seeds
            .iter()
            .enumerate()
            .map(|(flat, &seed)| {
                let mut rims: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
                for (index, t) in triangles.iter().enumerate().filter(|(index, _)| flat_of[*index] == flat) {
                    for side in 0..3 {
                        let (from, to) = (t[side], t[(side + 1) % 3]);
                        let inner = by_edge.get(&(to, from)).is_some_and(|&next| flat_of[next] == flat);
                        if !inner {
                            rims.entry(from).or_default().push(to);
                        }
                    }
                    debug_assert!(index < flat_of.len());
                }
                let rings = chain(rims, &positions);
                let face = owner[seed];
                let normal = match face {
                    Some(id) => roof.faces[id.index()].plane.normal,
                    None => normal(&triangles[seed]).unwrap_or_else(Vector3::z),
                };
                Flat { face, normal, rings }
            })
            .collect();
        let mut body = Self {
            places: positions,
            flats,
            folds: Vec::new(),
            triangles: triangles.into_iter().zip(flat_of).collect(),
            closed: !roof.feet.is_empty(),
        };
        body.folds = body.find_folds(roof);
        body
    }

    fn find_folds(&self, roof: &Roof) -> Vec<Fold> {
        // The solid may have corners of its own along an edge of the roof.
        let own = self.places.get(..roof.corners.len()).is_some_and(|places| places == &roof.corners[..]);
        let kinds: BTreeMap<(usize, usize), EdgeKind> = if own {
            let ends = |edge: &Edge| [edge.from.index(), edge.to.index()];
            let both = |edge: &Edge| [(ends(edge), edge.kind), ([ends(edge)[1], ends(edge)[0]], edge.kind)];
            roof.edges.iter().flat_map(both).map(|([from, to], kind)| ((from, to), kind)).collect()
        } else {
            BTreeMap::new()
        };
        let kind = |from: usize, to: usize| {
            if own { kinds.get(&(from, to)).copied() } else { kind_along(roof, &self.places[from], &self.places[to]) }
        };
        let mut rims: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for (index, flat) in self.flats.iter().enumerate() {
            for ring in &flat.rings {
                for (at, &from) in ring.iter().enumerate() {
                    rims.insert((from, ring[(at + 1) % ring.len()]), index);
                }
            }
        }
        let mut done = BTreeSet::new();
        let mut folds = Vec::new();
        for (&(from, to), &flat) in &rims {
            if !done.insert((from.min(to), from.max(to))) {
                continue;
            }
            let other = rims.get(&(to, from)).copied();
            let pen = match kind(from, to) {
                Some(kind) if !kind.is_wall_only() => Pen::Edge(kind),
                _ => Pen::Wall,
            };
            folds.push(Fold { ends: [from, to], flats: [Some(flat), other], pen });
        }
        folds
    }

    /// The places of a ring.
    #[must_use]
    pub fn ring(&self, ring: &[usize]) -> Vec<Point3<f64>> {
        ring.iter().map(|&at| self.places[at]).collect()
    }

    /// Largest distance from corner to corner of the box about it, metres.
    #[must_use]
    pub fn size(&self) -> f64 {
        let low = self.places.iter().copied().reduce(|a, b| a.inf(&b));
        let high = self.places.iter().copied().reduce(|a, b| a.sup(&b));
        low.zip(high).map_or(0.0, |(low, high)| (high - low).norm())
    }
}

/// The kind of the edge of a roof that a line lies along.
fn kind_along(roof: &Roof, from: &Point3<f64>, to: &Point3<f64>) -> Option<EdgeKind> {
    let lies_along = |edge: &&Edge| {
        let (start, end) = (roof.at(edge.from), roof.at(edge.to));
        let Some(along) = (end - start).try_normalize(f64::MIN_POSITIVE) else { return false };
        let beside = |place: &Point3<f64>| {
            let way = place - start;
            let at = way.dot(&along);
            (way - along * at).norm() <= ALONG && (-ALONG..=(end - start).norm() + ALONG).contains(&at)
        };
        beside(from) && beside(to)
    };
    roof.edges.iter().find(lies_along).map(|edge| edge.kind)
}

/// A line of the solid this near to an edge of the roof lies along it, metres: the solid keeps parts that touch apart by less.
const ALONG: f64 = BESIDE / 4.0;

fn is_same_direction(a: Option<Vector3<f64>>, b: Option<Vector3<f64>>) -> bool {
    // Plumb walls over one side share their direction to rounding.
    a.zip(b).is_some_and(|(a, b)| a.dot(&b) > 1.0 - LAST_PLACES)
}

/// Chains directed rim pieces to rings, the outer one (largest area) first.
fn chain(mut rims: BTreeMap<usize, Vec<usize>>, places: &[Point3<f64>]) -> Vec<Vec<usize>> {
    let mut rings: Vec<Vec<usize>> = Vec::new();
    while let Some((&start, _)) = rims.iter().find(|(_, ends)| !ends.is_empty()) {
        let mut ring = vec![start];
        let mut at = start;
        while let Some(next) = rims.get_mut(&at).and_then(Vec::pop) {
            if next == start {
                break;
            }
            ring.push(next);
            at = next;
        }
        if ring.len() > 2 {
            rings.push(ring);
        }
        rims.retain(|_, ends| !ends.is_empty());
    }
    let area = |ring: &Vec<usize>| polygon::vector_area(&ring.iter().map(|&at| places[at]).collect::<Vec<_>>()).norm();
    rings.sort_by_largest(|a| area(a));
    rings
}
