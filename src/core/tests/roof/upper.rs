//! The upper envelope of blocks' roofs by its definition alone, on lines across the plan: what the joined roof is held
//! against. Nothing here knows how the program cuts the plan up.
//!
//! On a line each block's roof is a broken line. Between the places where pieces begin, end or cross, their order is
//! fixed; going down from the highest, each is seen until one that lies within its block's walls. Sums along a line are
//! exact; across the lines they are piecewise polynomials, integrated by Simpson's rule, halving until nothing changes.

use eavewright_core::outline::{Footprint, Ring};
use eavewright_core::roof::{Face, Roof};
use nalgebra::{Point2, Point3, Vector2};

type Rings = Vec<Vec<Point2<f64>>>;

/// One face of one block.
struct Slab {
    block: usize,
    rings: Rings,
    /// z = g . p + c about the model's origin.
    gradient: Vector2<f64>,
    height: f64,
    class: usize,
}

/// Blocks with their own roofs.
pub struct Upper {
    origin: Point2<f64>,
    slabs: Vec<Slab>,
    walls: Vec<Rings>,
    /// A plane each: gradient and height over the origin.
    pub classes: Vec<(Vector2<f64>, f64)>,
    size: f64,
}

/// What stands over one place.
#[derive(Debug)]
pub struct Over {
    /// Height the building reaches up to; `None` outside all walls.
    pub solid: Option<f64>,
    /// Heights seen from above or from below an overhang, highest first.
    pub seen: Vec<f64>,
}

/// Sums over the plan.
#[derive(Clone, Debug)]
pub struct Sums {
    /// Cubic metres from datum to roof within walls.
    pub volume: f64,
    /// Plan area seen of each plane; of overhangs over overhangs at least, and at most.
    pub seen: Vec<[f64; 2]>,
}

impl Sums {
    fn list(&self) -> impl Iterator<Item = f64> + '_ {
        std::iter::once(self.volume).chain(self.seen.iter().flatten().copied())
    }

    fn combine(parts: &[(f64, &Self)]) -> Self {
        let mut sum = Self { volume: 0.0, seen: vec![[0.0; 2]; parts[0].1.seen.len()] };
        for (weight, part) in parts {
            sum.volume += weight * part.volume;
            for (to, from) in sum.seen.iter_mut().zip(&part.seen) {
                to[0] += weight * from[0];
                to[1] += weight * from[1];
            }
        }
        sum
    }
}

fn inside(rings: &Rings, place: &Point2<f64>) -> bool {
    rings.iter().filter(|ring| eavewright_core::base::polygon::contains(ring, place)).count() % 2 == 1
}

impl Upper {
    pub fn new(footprints: &[Footprint], roofs: &[Roof]) -> Self {
        let origin = footprints[0].rings[0].sides[0].start;
        let mut upper = Self { origin, slabs: Vec::new(), walls: Vec::new(), classes: Vec::new(), size: 0.0 };
        let local = |rings: Vec<Vec<Point2<f64>>>| -> Rings {
            rings.into_iter().map(|ring| ring.into_iter().map(|place| place - origin.coords).collect()).collect()
        };
        for (block, (footprint, roof)) in footprints.iter().zip(roofs).enumerate() {
            let drip: Vec<Vec<Point2<f64>>> = footprint.rings.iter().map(Ring::corners).collect();
            upper.walls.push(local(footprint.walls.clone().unwrap_or(drip)));
            for (_, face) in roof.roof_faces() {
                let plan = |ring: Vec<Point3<f64>>| ring.iter().map(Point3::xy).collect::<Vec<_>>();
                let rings = std::iter::once(plan(roof.ring(face))).chain(roof.holes(face).into_iter().map(plan));
                let rings = local(rings.collect());
                let far = rings.iter().flatten().map(|place| place.coords.norm()).fold(0.0, f64::max);
                upper.size = upper.size.max(far);
                let (gradient, height) = plane(face, &origin);
                upper.slabs.push(Slab { block, rings, gradient, height, class: 0 });
            }
        }
        for at in 0..upper.slabs.len() {
            let (gradient, height) = (upper.slabs[at].gradient, upper.slabs[at].height);
            upper.slabs[at].class = upper.class_of(gradient, height).unwrap_or_else(|| {
                upper.classes.push((gradient, height));
                upper.classes.len() - 1
            });
        }
        upper
    }

    fn class_of(&self, gradient: Vector2<f64>, height: f64) -> Option<usize> {
        let near = |known: &(Vector2<f64>, f64)| {
            (known.0 - gradient).norm() * self.size <= 1e-6 && (known.1 - height).abs() <= 1e-6
        };
        self.classes.iter().position(near)
    }

    /// The plane a joined roof's face lies in.
    pub fn class(&self, face: &Face) -> Option<usize> {
        let (gradient, height) = plane(face, &self.origin);
        self.class_of(gradient, height)
    }

    /// What stands over a place, planes told apart.
    pub fn over(&self, place: &Point2<f64>) -> Over {
        let place = place - self.origin.coords;
        let mut sheets: Vec<(f64, usize, bool)> = Vec::new();
        for slab in self.slabs.iter().filter(|slab| inside(&slab.rings, &place)) {
            let within = inside(&self.walls[slab.block], &place);
            match sheets.iter_mut().find(|sheet| sheet.1 == slab.class) {
                Some(sheet) => sheet.2 |= within,
                None => sheets.push((slab.height + slab.gradient.dot(&place.coords), slab.class, within)),
            }
        }
        sheets.sort_by(|a, b| b.0.total_cmp(&a.0));
        let solid = sheets.iter().position(|sheet| sheet.2);
        let count = solid.map_or(sheets.len(), |at| at + 1);
        Over { solid: solid.map(|at| sheets[at].0), seen: sheets[..count].iter().map(|sheet| sheet.0).collect() }
    }

    /// Sums along the line at distance t from the origin, square to `across`.
    fn line(&self, along: &Vector2<f64>, across: &Vector2<f64>, t: f64) -> Sums {
        let from = Point2::from(across * t);
        let crossings = |rings: &Rings| -> Vec<f64> {
            let mut at = Vec::new();
            for ring in rings {
                for (k, a) in ring.iter().enumerate() {
                    let b = ring[(k + 1) % ring.len()];
                    let (p, q) = (a.coords.dot(across) - t, b.coords.dot(across) - t);
                    if (p > 0.0) != (q > 0.0) {
                        at.push((a + (b - a) * (p / (p - q))).coords.dot(along));
                    }
                }
            }
            at.sort_by(f64::total_cmp);
            at
        };
        let slabs: Vec<(&Slab, Vec<f64>)> = self.slabs.iter().map(|slab| (slab, crossings(&slab.rings))).collect();
        let walls: Vec<Vec<f64>> = self.walls.iter().map(crossings).collect();
        let mut cuts: Vec<f64> = slabs.iter().flat_map(|(_, at)| at).chain(walls.iter().flatten()).copied().collect();
        cuts.sort_by(f64::total_cmp);
        let holds = |at: &[f64], s: f64| at.iter().filter(|cut| **cut < s).count() % 2 == 1;
        let mut sums = Sums { volume: 0.0, seen: vec![[0.0; 2]; self.classes.len()] };
        for pair in cuts.windows(2) {
            let (start, end) = (pair[0], pair[1]);
            if end <= start {
                continue;
            }
            let middle = f64::midpoint(start, end);
            let mut sheets: Vec<(usize, bool)> = Vec::new();
            for (slab, _) in slabs.iter().filter(|(_, at)| holds(at, middle)) {
                let within = holds(&walls[slab.block], middle);
                match sheets.iter_mut().find(|sheet| sheet.0 == slab.class) {
                    Some(sheet) => sheet.1 |= within,
                    None => sheets.push((slab.class, within)),
                }
            }
            let z = |class: usize, s: f64| {
                let (gradient, height) = self.classes[class];
                height + gradient.dot(&(from + along * s).coords)
            };
            let mut inner = vec![start, end];
            for (k, a) in sheets.iter().enumerate() {
                for b in &sheets[k + 1..] {
                    let (p, q) = (z(a.0, start) - z(b.0, start), z(a.0, end) - z(b.0, end));
                    if (p > 0.0) != (q > 0.0) {
                        inner.push(start + (end - start) * (p / (p - q)));
                    }
                }
            }
            inner.sort_by(f64::total_cmp);
            for part in inner.windows(2) {
                let (length, middle) = (part[1] - part[0], f64::midpoint(part[0], part[1]));
                let mut order = sheets.clone();
                order.sort_by(|a, b| z(b.0, middle).total_cmp(&z(a.0, middle)));
                let solid = order.iter().position(|sheet| sheet.1);
                if let Some(at) = solid {
                    sums.volume += length * z(order[at].0, middle);
                }
                for (k, sheet) in order.iter().enumerate().take(solid.map_or(order.len(), |at| at + 1)) {
                    sums.seen[sheet.0][1] += length;
                    if k == 0 || solid == Some(k) {
                        sums.seen[sheet.0][0] += length;
                    }
                }
            }
        }
        sums
    }

    /// Sums over the whole plan.
    pub fn sums(&self) -> Sums {
        // A direction that no edge runs along.
        let edges: Vec<Vector2<f64>> = self
            .slabs
            .iter()
            .flat_map(|slab| &slab.rings)
            .chain(self.walls.iter().flatten())
            .flat_map(|ring| (0..ring.len()).map(|k| ring[(k + 1) % ring.len()] - ring[k]))
            .filter(|edge| edge.norm() > 1e-3)
            .map(|edge| edge.normalize())
            .collect();
        let direction = |k: usize| {
            let angle = 0.05 + 0.0621 * k as f64;
            Vector2::new(angle.cos(), angle.sin())
        };
        let clear = |k: &usize| edges.iter().map(|edge| edge.perp(&direction(*k)).abs()).fold(f64::INFINITY, f64::min);
        let best = (0..50).max_by(|a, b| clear(a).total_cmp(&clear(b))).unwrap();
        let along = direction(best);
        let across = Vector2::new(-along.y, along.x);
        let reach = |place: &Point2<f64>| place.coords.dot(&across);
        let places = || self.slabs.iter().flat_map(|slab| slab.rings.iter().flatten());
        let low = places().map(reach).fold(f64::INFINITY, f64::min);
        let high = places().map(reach).fold(f64::NEG_INFINITY, f64::max);
        let at = |t: f64| self.line(&along, &across, t);
        // In uneven strips, so that no symmetry of the plan makes a coarse rule look right.
        let strips = 120;
        let edge = |k: usize| low + (high - low) * (k as f64 / strips as f64).powf(1.07);
        let mut total: Option<Sums> = None;
        for k in 0..strips {
            let (a, b) = (edge(k), edge(k + 1));
            let (fa, fm, fb) = (at(a), at(f64::midpoint(a, b)), at(b));
            let part = simpson(&at, [a, b], [&fa, &fm, &fb], 1e-8, 26);
            total = Some(match total {
                Some(total) => Sums::combine(&[(1.0, &total), (1.0, &part)]),
                None => part,
            });
        }
        total.unwrap()
    }
}

fn simpson(at: &dyn Fn(f64) -> Sums, [a, b]: [f64; 2], [fa, fm, fb]: [&Sums; 3], allowed: f64, depth: u32) -> Sums {
    let rule = |width: f64, f: [&Sums; 3]| {
        let w = width / 6.0;
        Sums::combine(&[(w, f[0]), (4.0 * w, f[1]), (w, f[2])])
    };
    let m = f64::midpoint(a, b);
    let (left, right) = (at(f64::midpoint(a, m)), at(f64::midpoint(m, b)));
    let whole = rule(b - a, [fa, fm, fb]);
    let (one, two) = (rule(m - a, [fa, &left, fm]), rule(b - m, [fm, &right, fb]));
    let halves = Sums::combine(&[(1.0, &one), (1.0, &two)]);
    let off = whole.list().zip(halves.list()).map(|(x, y)| (x - y).abs()).fold(0.0, f64::max);
    if off <= allowed * (b - a) || depth == 0 {
        return halves;
    }
    let one = simpson(at, [a, m], [fa, &left, fm], allowed, depth - 1);
    let two = simpson(at, [m, b], [fm, &right, fb], allowed, depth - 1);
    Sums::combine(&[(1.0, &one), (1.0, &two)])
}

fn plane(face: &Face, origin: &Point2<f64>) -> (Vector2<f64>, f64) {
    let normal = face.plane.normal;
    (-normal.xy() / normal.z, face.plane.height_at(origin).unwrap())
}
