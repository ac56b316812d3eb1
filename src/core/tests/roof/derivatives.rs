//! How a solved roof follows its outlines, written out, against central differences of whole solves: every corner of every
//! roof, its volume and how far its planes lie off, by every coordinate that was measured.

use eavewright_core::base::gradient::Gradient;
use eavewright_core::base::ids::FaceId;
use eavewright_core::outline::block::{Fascia, OutlineDatum, Overhang};
use eavewright_core::outline::overhang::to_drip_edge;
use eavewright_core::outline::{Footprint, Ring};
use eavewright_core::roof::analysis::derivatives::{BlockMotion, Derivatives, MeasuredSide, bring_together};
use eavewright_core::roof::kernel::envelope::{body, gap};
use eavewright_core::roof::{self, Options, Roof};
use support::blocks;
use support::random::{self, Random};

/// Step of the differences, metres.
const STEP: f64 = 2e-6;

/// Blocks as they were measured, and how their drip edges follow.
#[derive(Clone)]
struct Measured {
    blocks: Vec<(Footprint, OutlineDatum)>,
    options: Options,
    /// Of the differences, metres.
    step: f64,
}

struct Solved {
    footprints: Vec<Footprint>,
    roof: Roof,
}

impl Measured {
    fn solved(&self) -> Option<Solved> {
        let drip = |(measured, datum): &(Footprint, OutlineDatum)| {
            let drip = to_drip_edge(&measured.name, &measured.rings, datum).ok()?;
            let sides = drip.rings.iter().flat_map(|ring| &ring.sides).filter(|side| side.role.slopes());
            let height = sides.map(|side| side.height).reduce(f64::min)?;
            let at_wall = matches!(datum, OutlineDatum::Wall { .. });
            let walls = at_wall.then(|| measured.rings.iter().map(Ring::corners).collect());
            Some(Footprint { height, rings: drip.rings, walls, ..measured.clone() })
        };
        let footprints: Vec<Footprint> = self.blocks.iter().map(drip).collect::<Option<_>>()?;
        let roof = roof::solve(&footprints, &self.options).ok()?;
        Some(Solved { footprints, roof })
    }

    /// The place of a parameter: block, ring, corner, axis.
    fn places(&self) -> Vec<[usize; 4]> {
        let mut all = Vec::new();
        for (b, (block, _)) in self.blocks.iter().enumerate() {
            for (r, ring) in block.rings.iter().enumerate() {
                all.extend((0..ring.sides.len()).flat_map(|c| [[b, r, c, 0], [b, r, c, 1]]));
            }
        }
        all
    }

    fn moved(&self, [block, ring, corner, axis]: [usize; 4], by: f64) -> Self {
        let mut moved = self.clone();
        moved.blocks[block].0.rings[ring].sides[corner].start[axis] += by;
        moved
    }

    fn derivatives(&self, solved: &Solved) -> Derivatives {
        let several = solved.footprints.len() > 1;
        let gap = self.options.join_gap;
        let footprints = if several { gap::closed(&solved.footprints, gap).0 } else { solved.footprints.clone() };
        let mut first = 0;
        let mut motions = Vec::new();
        for ((measured, _), footprint) in self.blocks.iter().zip(&footprints) {
            let mut rings = Vec::new();
            for ring in &measured.rings {
                let count = ring.sides.len();
                let side = |at: usize| MeasuredSide {
                    name: &ring.sides[at].name,
                    ends: [ring.sides[at].start, ring.sides[(at + 1) % count].start],
                    numbers: [first + 2 * at, first + 2 * ((at + 1) % count)],
                };
                rings.push((0..count).map(side).collect::<Vec<_>>());
                first += 2 * count;
            }
            motions.push(BlockMotion::of_measured(footprint, &rings));
        }
        let hangs_over = several && footprints.iter().any(|footprint| footprint.walls.is_some());
        if several {
            bring_together(&mut motions, &footprints, &gap::onto(&footprints, gap));
        }
        let solid = hangs_over.then(|| {
            let roofs: Vec<Roof> =
                footprints.iter().map(|footprint| roof::solve_one(footprint, &self.options).unwrap()).collect();
            body(&footprints, &roofs, None).unwrap()
        });
        Derivatives::of(&solved.roof, solid.as_ref(), &footprints, &motions)
    }
}

/// What was compared.
#[derive(Debug, Default)]
struct Compared {
    roofs: usize,
    parameters: usize,
    open: usize,
    /// Open although the roofs either side have the same edges.
    open_needlessly: usize,
    /// Parting corners, so that lengths have no derivative; areas have.
    parting: usize,
    /// Whether corners may come in another order when something is moved, so that they are not told by their number.
    ties: bool,
    wrong: Vec<String>,
}

fn is_alike(one: &Roof, other: &Roof) -> bool {
    one.corners.len() == other.corners.len()
        && one.faces.len() == other.faces.len()
        && one.faces.iter().zip(&other.faces).all(|(a, b)| a.id == b.id && a.ring == b.ring && a.holes == b.holes)
}

impl Compared {
    /// Areas in plan of faces and the volume, which have derivatives wherever the faces do.
    fn areas(
        &mut self,
        name: &str,
        roof: &Roof,
        [up, down]: [&Roof; 2],
        derivatives: &Derivatives,
        (parameter, step): (usize, f64),
    ) {
        let near = |found: f64, slope: f64| (found - slope).abs() <= 1e-4 + 1e-3 * slope.abs();
        for (id, face) in roof.roof_faces() {
            let area =
                |moved: &Roof| moved.faces.iter().find(|other| other.id == face.id).map(|face| moved.plan_area(face).0);
            let (Some(more), Some(less)) = (area(up), area(down)) else {
                self.wrong.push(format!("{name}: {} is gone", face.name()));
                continue;
            };
            let (found, slope) = (derivatives.plan_area(roof, id).slope(parameter), (more - less) / (2.0 * step));
            if !near(found, slope) {
                self.wrong.push(format!("{name}: area of {}: {found}, by differences {slope}", face.name()));
            }
        }
        let found = derivatives.volume.as_ref().unwrap().slope(parameter);
        let slope = (up.volume.unwrap() - down.volume.unwrap()) / (2.0 * step);
        if !near(found, slope) {
            self.wrong.push(format!("{name}: volume: {found}, by differences {slope}"));
        }
    }

    fn take(&mut self, name: &str, measured: &Measured) {
        let Some(solved) = measured.solved() else { return };
        let derivatives = measured.derivatives(&solved);
        let roof = &solved.roof;
        self.roofs += 1;
        let by = |gradient: &Gradient, parameter: usize| -> f64 {
            gradient.entries().iter().filter(|entry| entry.0 == parameter).map(|entry| entry.1).sum()
        };
        for (parameter, place) in measured.places().into_iter().enumerate() {
            self.parameters += 1;
            let moved = [measured.step, -measured.step]
                .map(|step| measured.moved(place, step).solved().map(|solved| solved.roof));
            let alike = moved.iter().flatten().filter(|moved| is_alike(roof, moved)).count() == 2;
            if derivatives.open.contains(&parameter) {
                self.open += 1;
                self.open_needlessly += usize::from(alike);
                continue;
            }
            if let [Some(up), Some(down)] = &moved {
                self.areas(&format!("{name} {place:?}"), roof, [up, down], &derivatives, (parameter, measured.step));
            }
            if derivatives.parting.contains(&parameter) {
                self.parting += 1;
                continue;
            }
            let [Some(up), Some(down)] = &moved else {
                self.wrong.push(format!("{name} {place:?}: no roof beside it"));
                continue;
            };
            if !alike {
                if !self.ties {
                    self.wrong.push(format!("{name} {place:?}: the topology changes"));
                }
                continue;
            }
            let mut near = |what: String, found: f64, up: f64, down: f64| {
                let slope = (up - down) / (2.0 * measured.step);
                // Rounding of the places over the step, and the bend of the function over it, which long mitres have.
                if (found - slope).abs() > 1e-4 + 1e-3 * slope.abs() {
                    self.wrong.push(format!("{name} {place:?}: {what}: {found}, by differences {slope}"));
                }
            };
            for (corner, moves) in derivatives.corners.iter().enumerate() {
                for (axis, moves) in moves.iter().enumerate() {
                    let [up, down] = [up, down].map(|roof| roof.corners[corner][axis]);
                    near(format!("corner {corner} axis {axis}"), by(moves, parameter), up, down);
                }
            }
            for (index, face) in roof.faces.iter().enumerate() {
                let place = roof.at(face.ring[0]) + (roof.at(face.ring[1]) - roof.at(face.ring[0])) * 0.3;
                let off = by(&derivatives.plane_at(roof, FaceId::new(index), &place), parameter);
                let [up, down] = [up, down].map(|moved| -moved.faces[index].plane.distance(&place));
                near(format!("plane of {}", face.name()), off, up, down);
            }
        }
    }
}

impl Compared {
    /// Nothing wrong, and no more than a share of the parameters without derivative.
    fn judge(&self, roofs: usize, most_open: f64) {
        println!(
            "{} roofs, {} parameters; {} open, {} of them needlessly; {} part corners",
            self.roofs, self.parameters, self.open, self.open_needlessly, self.parting
        );
        assert!(self.roofs >= roofs, "{} roofs", self.roofs);
        let first = &self.wrong[..self.wrong.len().min(40)];
        assert!(self.wrong.is_empty(), "{} wrong:\n{}", self.wrong.len(), first.join("\n"));
        assert!(self.open as f64 <= most_open * self.parameters as f64, "{} open", self.open);
    }
}

fn eaves() -> OutlineDatum {
    OutlineDatum::Eaves { inside: 0.0 }
}

/// Every corner somewhere near where it was.
fn shaken(footprint: &Footprint, random: &mut Random, by: f64) -> Footprint {
    let mut shaken = footprint.clone();
    for side in shaken.rings.iter_mut().flat_map(|ring| &mut ring.sides) {
        side.start.x += random.between(-by, by);
        side.start.y += random.between(-by, by);
    }
    shaken
}

const OPTIONS: Options = Options { tolerance: None, join_gap: 0.02, steps: false };

#[test]
fn one_outline_in_general_position() {
    let mut compared = Compared::default();
    for seed in 0..80 {
        let mut random = Random(seed + 17);
        let sides = 4 + usize::try_from(seed % 20).unwrap();
        for many in [false, true] {
            let footprint = shaken(&random::rectilinear(seed, sides, many), &mut random, 0.05);
            let datum = match seed % 4 {
                0 => eaves(),
                1 => OutlineDatum::Eaves { inside: 0.3 },
                _ => {
                    let fascia = [Fascia::Level, Fascia::Equal, Fascia::Raised][random.below(3)];
                    OutlineDatum::Wall { overhang: Overhang { eave: 0.35, verge: 0.2, fascia }, above_plate: 0.1 }
                }
            };
            let measured = Measured { blocks: vec![(footprint, datum)], options: OPTIONS, step: STEP };
            compared.take(&format!("outline {seed} {many}"), &measured);
        }
    }
    compared.judge(160, 0.1);
}

#[test]
fn joined_blocks() {
    let mut compared = Compared::default();
    for seed in 0..120 {
        let mut random = Random(seed + 5);
        let (kind, footprints) = blocks::scene(seed);
        if footprints.iter().any(|footprint| footprint.walls.is_some()) {
            continue;
        }
        let shake = if seed % 3 == 0 { 0.0 } else { 0.04 };
        let datum = if seed % 2 == 0 {
            eaves()
        } else {
            OutlineDatum::Wall { overhang: Overhang { eave: 0.3, verge: 0.2, fascia: Fascia::Level }, above_plate: 0.0 }
        };
        let blocks = footprints.iter().map(|footprint| (shaken(footprint, &mut random, shake), datum)).collect();
        compared.take(&format!("{kind} {seed}"), &Measured { blocks, options: OPTIONS, step: STEP });
    }
    compared.judge(100, 0.4);
}

/// Sides on a grid, of one pitch, some of them in one line; and a pyramid, whose top parts whichever corner is moved, so that
/// areas alone have derivatives.
#[test]
fn outlines_with_ties() {
    let mut compared = Compared { ties: true, ..Compared::default() };
    for seed in 0..40 {
        let sides = 4 + usize::try_from(seed % 12).unwrap();
        let footprint = random::rectilinear(seed, sides, false);
        compared.take(
            &format!("tied {seed}"),
            &Measured { blocks: vec![(footprint, eaves())], options: OPTIONS, step: STEP },
        );
    }
    compared.judge(40, 0.2);
    let mut pyramid = Compared { ties: true, ..Compared::default() };
    let footprint = support::outline::rectangle(6.0, 6.0, [(); 4].map(|()| support::outline::eave(40.0)));
    // A top that parts by less than the tolerance is put together again.
    pyramid.take("pyramid", &Measured { blocks: vec![(footprint, eaves())], options: OPTIONS, step: 1e-4 });
    pyramid.judge(1, 0.0);
    assert_eq!(pyramid.parting, 8);
}
