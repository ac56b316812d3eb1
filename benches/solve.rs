//! How long a whole solve takes: sweep, assembly, verification and solid. Each figure is the median of many outlines of a
//! size, for one outline says little of another.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

use criterion::measurement::WallTime;
use criterion::{BenchmarkGroup, BenchmarkId, Criterion, criterion_group, criterion_main};
use eavewright::base::units::Pitch;
use eavewright::outline::{Footprint, Ring, Role, Side, TakesOver};
use eavewright::roof::analysis::drainage::drain;
use eavewright::roof::model::solid;
use eavewright::roof::{self, Options, Roof};
use nalgebra::Point2;
use std::hint::black_box;
use std::time::{Duration, Instant};
use support::random::{self, Random};

fn whole(footprints: &[Footprint]) -> usize {
    let roof = roof::solve(footprints, &Options::default()).unwrap();
    solid::build(&roof, 0.0).triangles.len()
}

/// How many outlines of a size: a hundred, of the largest a few.
fn outlines(sides: usize) -> usize {
    if sides > 10_000 { 3 } else { 100 }
}

/// The median over scenes of the time that solving each so often takes.
fn median(scenes: &[Vec<Footprint>], count: u64) -> Duration {
    let time = |scene: &Vec<Footprint>| {
        let start = Instant::now();
        for _ in 0..count {
            black_box(whole(black_box(scene)));
        }
        start.elapsed()
    };
    let mut times: Vec<Duration> = scenes.iter().map(time).collect();
    times.sort_unstable();
    times[times.len() / 2]
}

fn group<'a>(criterion: &'a mut Criterion, name: &str) -> BenchmarkGroup<'a, WallTime> {
    let mut group = criterion.benchmark_group(name);
    // A measurement takes this for each of a hundred outlines.
    group.sample_size(10).warm_up_time(Duration::from_millis(5)).measurement_time(Duration::from_millis(20));
    group
}

type Make = fn(u64, usize) -> Footprint;

/// Outlines of a size: small ones of just as many sides as asked for, large ones of about as many; none that verges leave
/// without a ridge.
fn outlines_of(make: Make, sides: usize) -> Vec<Vec<Footprint>> {
    let fits = |footprint: &Footprint| {
        let count: usize = footprint.rings.iter().map(|ring| ring.sides.len()).sum();
        (sides > 100 || count.abs_diff(sides) <= sides / 25)
            && roof::solve(std::slice::from_ref(footprint), &Options::default()).is_ok()
    };
    (7..).map(|seed| make(seed, sides)).filter(fits).take(outlines(sides)).map(|footprint| vec![footprint]).collect()
}

fn pitch(degrees: f64) -> Pitch {
    Pitch::from_degrees(degrees).unwrap()
}

/// Wings with gables, breaks, half-hips and gablets over them, at several levels.
fn dressed(seed: u64, sides: usize) -> Footprint {
    let mut footprint = random::rectilinear(seed, sides, false);
    let mut random = Random(seed ^ 3);
    for side in &mut footprint.rings[0].sides {
        let rise = random.between(0.2, 0.6);
        side.role = match random.below(12) {
            0 => Role::Verge,
            1 => Role::Eave { pitch: pitch(60.0), breaks: vec![(rise, pitch(30.0))] },
            2 => Role::HalfHip { hip_from: rise, pitch: pitch(50.0) },
            3 => Role::Gablet { pitch: pitch(45.0), verge_from: rise },
            _ => Role::Eave { pitch: pitch(35.0), breaks: Vec::new() },
        };
        side.height = if random.below(10) == 0 { 0.3 } else { 0.0 };
    }
    footprint
}

/// What coincides as often as can be, on a grid.
fn tied(seed: u64, sides: usize) -> Footprint {
    random::coincident(seed, sides, false, false)
}

/// A rectangle with courtyards, in rows and columns of random widths.
fn with_courts(seed: u64, sides: usize) -> Footprint {
    let mut random = Random(seed);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let across = (((sides as f64 / 4.0 - 1.0).max(1.0)).sqrt().round() as usize).max(1);
    let mut lines = || {
        let mut at = vec![0.0];
        for _ in 0..=2 * across {
            at.push(at.last().unwrap() + random.between(2.0, 5.0));
        }
        at
    };
    let (columns, rows) = (lines(), lines());
    let ring = |corners: [[f64; 2]; 4], name: usize| Ring {
        sides: corners
            .into_iter()
            .enumerate()
            .map(|(k, at)| Side {
                name: format!("{name}.{k}").into(),
                start: Point2::from(at),
                height: 0.0,
                role: Role::Eave { pitch: pitch(35.0), breaks: Vec::new() },
            })
            .collect(),
    };
    let last = 2 * across + 1;
    let [right, top] = [columns[last], rows[last]];
    let mut rings = vec![ring([[0.0, 0.0], [right, 0.0], [right, top], [0.0, top]], 0)];
    for (i, x) in (0..across).map(|i| (i, [columns[2 * i + 1], columns[2 * i + 2]])) {
        for (j, y) in (0..across).map(|j| (j, [rows[2 * j + 1], rows[2 * j + 2]])) {
            let corners = [[x[0], y[0]], [x[0], y[1]], [x[1], y[1]], [x[1], y[0]]];
            rings.push(ring(corners, 1 + i * across + j));
        }
    }
    Footprint { name: "r".into(), height: 0.0, rings, walls: None, take_over: TakesOver::Flatter }
}

/// Ten gabled and hipped blocks, each over a part of the one before.
fn ten_blocks(seed: u64) -> Vec<Footprint> {
    let mut random = Random(seed);
    let mut at = [0.0, 0.0];
    let block = |number: usize| {
        let [width, depth] = [random.between(6.0, 10.0), random.between(4.0, 7.0)];
        let roles = match random.below(3) {
            0 => [Some(35.0), None, Some(35.0), None],
            1 => [None, Some(40.0), None, Some(40.0)],
            _ => [Some(35.0); 4],
        };
        let corners = [[0.0, 0.0], [width, 0.0], [width, depth], [0.0, depth]];
        let height = [2.4, 2.4, 2.7, 3.0][random.below(4)];
        let side = |((k, corner), slope): ((usize, [f64; 2]), Option<f64>)| Side {
            name: k.to_string().into(),
            start: Point2::new(at[0] + corner[0], at[1] + corner[1]),
            height,
            role: slope.map_or(Role::Verge, |slope| Role::Eave { pitch: pitch(slope), breaks: Vec::new() }),
        };
        let sides = corners.into_iter().enumerate().zip(roles).map(side).collect();
        let (name, rings) = (format!("b{number}").into(), vec![Ring { sides }]);
        at = [at[0] + width * random.between(0.6, 0.9), at[1] + depth * random.between(-0.4, 0.4)];
        Footprint { name, height, rings, walls: None, take_over: TakesOver::Flatter }
    };
    (0..10).map(block).collect()
}

/// Every size.
const ALL: [usize; 6] = [10, 50, 100, 1_000, 10_000, 100_000];

fn solve(criterion: &mut Criterion) {
    let kinds: [(&str, Make, &[usize]); 7] = [
        ("rectilinear, one pitch", |seed, sides| random::rectilinear(seed, sides, false), &ALL),
        ("rectilinear, many pitches", |seed, sides| random::rectilinear(seed, sides, true), &ALL),
        ("general, one pitch", |seed, sides| random::general(seed, sides, false), &ALL),
        ("general, many pitches", |seed, sides| random::general(seed, sides, true), &ALL),
        ("verges, breaks and levels", dressed, &ALL[..5]),
        ("ties on a grid", tied, &ALL[..4]),
        ("courtyards", with_courts, &ALL[1..5]),
    ];
    for (name, make, sizes) in kinds {
        let mut group = group(criterion, name);
        for &sides in sizes {
            let mut made: Option<Vec<Vec<Footprint>>> = None;
            // Made only where they are asked for by name.
            group.bench_function(BenchmarkId::from_parameter(sides), |bencher| {
                let scenes = made.get_or_insert_with(|| outlines_of(make, sides));
                bencher.iter_custom(|count| median(scenes, count));
            });
        }
        group.finish();
    }
    let solves = |scene: &Vec<Footprint>| roof::solve(scene, &Options::default()).is_ok();
    let scenes: Vec<Vec<Footprint>> = (7..).map(ten_blocks).filter(solves).take(100).collect();
    let mut group = group(criterion, "joined");
    group.bench_function("ten blocks", |bencher| bencher.iter_custom(|count| median(&scenes, count)));
    group.finish();
}

/// Where the water of large roofs goes.
fn drainage(criterion: &mut Criterion) {
    let mut group = group(criterion, "drainage, rectilinear");
    for sides in [100, 1_000, 10_000] {
        let mut made: Option<Vec<Roof>> = None;
        group.bench_function(BenchmarkId::from_parameter(sides), |bencher| {
            let roofs = made.get_or_insert_with(|| {
                let scenes = outlines_of(|seed, sides| random::rectilinear(seed, sides, false), sides);
                scenes.iter().take(10).map(|scene| roof::solve(scene, &Options::default()).unwrap()).collect()
            });
            let mut next = roofs.iter().cycle();
            bencher.iter(|| drain(black_box(next.next().unwrap())));
        });
    }
    group.finish();
}

criterion_group!(benches, solve, drainage);
criterion_main!(benches);
