//! Forty jobs whose orders are reckoned by hand beside the tool: closed forms of gables, lean-tos, hips, pyramids and
//! regular outlines, and a plain reckoning of stock lengths that knows nothing of the tool's own.
//!
//! Sources: effective area of a slope, A = L (B + H / 2), EN 12056-3 (as quoted); one outlet of a 100 mm half-round gutter
//! drains 37 m2 (printed table); metal in pieces of 2 m lapped 50 mm, last courses, caps at 143 mm: common practice, no
//! source; brackets every 700 mm: common practice, from memory 500 mm to 1 m.

use super::solved::{covering, eave, solved, taken_off};
use eavewright::outline::footprint::Role;
use eavewright::roof::Roof;
use eavewright::takeoff::TakeOff;

/// A job: its roof and what a roofer reckons for it.
struct Job {
    name: String,
    roof: Roof,
    /// Plan area, square metres, and pitch, degrees.
    plan: f64,
    pitch: f64,
    eaves: Vec<f64>,
    verges: Vec<f64>,
    tops: Vec<f64>,
    /// Ridges with the length that runs past their ends, and caps that close their junctions.
    ridges: Vec<f64>,
    /// Hips likewise; each has its first cap doubled.
    hips: Vec<f64>,
    junctions: u32,
    /// Gutters: plan area drained, corners, free ends.
    gutters: Vec<(f64, u32, u32)>,
}

const P: f64 = 0.008;

fn slope(plan: f64, pitch: f64) -> f64 {
    plan / pitch.to_radians().cos()
}

fn rectangle(width: f64, depth: f64) -> [(f64, f64); 4] {
    [(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)]
}

fn gable(width: f64, depth: f64, pitch: f64) -> Job {
    let rake = slope(depth / 2.0, pitch);
    Job {
        name: format!("gable {width} x {depth} at {pitch}"),
        roof: solved(&rectangle(width, depth), &[eave(pitch), Role::Verge, eave(pitch), Role::Verge]),
        plan: width * depth,
        pitch,
        eaves: vec![width; 2],
        verges: vec![rake; 4],
        tops: Vec::new(),
        ridges: vec![width + 2.0 * P],
        hips: Vec::new(),
        junctions: 0,
        gutters: vec![(width * depth / 2.0, 0, 2); 2],
    }
}

fn lean_to(width: f64, depth: f64, pitch: f64) -> Job {
    Job {
        name: format!("lean-to {width} x {depth} at {pitch}"),
        roof: solved(&rectangle(width, depth), &[eave(pitch), Role::Verge, Role::Verge, Role::Verge]),
        plan: width * depth,
        pitch,
        eaves: vec![width],
        verges: vec![slope(depth, pitch); 2],
        tops: vec![width],
        ridges: Vec::new(),
        hips: Vec::new(),
        junctions: 0,
        gutters: vec![(width * depth, 0, 2)],
    }
}

/// A hip stands over the plan's diagonal of a square; in the slope it meets the eave at atan(1 / cos pitch).
fn hip_line(run: f64, pitch: f64) -> f64 {
    let tangent = pitch.to_radians().tan();
    let past = P / (1.0 / pitch.to_radians().cos()).atan().sin();
    run * (2.0 + tangent * tangent).sqrt() + past
}

fn hip(width: f64, depth: f64, pitch: f64) -> Job {
    let is_square = (width - depth).abs() < 1e-9;
    Job {
        name: format!("hip {width} x {depth} at {pitch}"),
        roof: solved(&rectangle(width, depth), &vec![eave(pitch); 4]),
        plan: width * depth,
        pitch,
        eaves: vec![width, depth, width, depth],
        verges: Vec::new(),
        tops: Vec::new(),
        ridges: if is_square { Vec::new() } else { vec![width - depth] },
        hips: vec![hip_line(depth / 2.0, pitch); 4],
        junctions: if is_square { 1 } else { 2 },
        gutters: vec![(width * depth, 4, 0)],
    }
}

/// A regular outline of so many sides: one junction at its peak.
fn regular(sides: u32, side: f64, pitch: f64) -> Job {
    let turn = std::f64::consts::TAU / f64::from(sides);
    let mut at = (0.0, 0.0);
    let corners: Vec<(f64, f64)> = (0..sides)
        .map(|index| {
            let (here, angle) = (at, turn * f64::from(index));
            at = (here.0 + side * angle.cos(), here.1 + side * angle.sin());
            here
        })
        .collect();
    let (inner, outer) = (side / 2.0 / (turn / 2.0).tan(), side / 2.0 / (turn / 2.0).sin());
    let rise = inner * pitch.to_radians().tan();
    let length = outer.hypot(rise);
    // Sine of the angle at the eave of the triangle with this hip and half the side.
    let sine = (1.0 - (side / 2.0 / length).powi(2)).sqrt();
    Job {
        name: format!("{sides} sides of {side} at {pitch}"),
        roof: solved(&corners, &vec![eave(pitch); sides as usize]),
        plan: f64::from(sides) * side * inner / 2.0,
        pitch,
        eaves: vec![side; sides as usize],
        verges: Vec::new(),
        tops: Vec::new(),
        ridges: Vec::new(),
        hips: vec![length + P / sine; sides as usize],
        junctions: 1,
        gutters: vec![(f64::from(sides) * side * inner / 2.0, sides, 0)],
    }
}

fn jobs() -> Vec<Job> {
    let mut jobs = Vec::new();
    for (width, depth, pitch) in [
        (3.1, 2.3, 30.0),
        (4.3, 3.1, 25.0),
        (5.0, 4.0, 35.0),
        (6.3, 4.2, 40.0),
        (7.7, 5.1, 45.0),
        (8.0, 6.0, 30.0),
        (9.3, 6.3, 22.0),
        (10.0, 7.1, 38.0),
        (11.3, 5.3, 50.0),
        (12.0, 8.0, 28.0),
        (14.2, 6.6, 33.0),
        (5.9, 5.7, 55.0),
    ] {
        jobs.push(gable(width, depth, pitch));
    }
    for (width, depth, pitch) in [
        (2.3, 1.9, 20.0),
        (3.3, 2.1, 25.0),
        (4.0, 3.1, 30.0),
        (5.2, 2.6, 22.0),
        (6.0, 3.3, 35.0),
        (7.3, 4.1, 21.0),
        (8.6, 3.6, 27.0),
        (9.9, 4.4, 32.0),
        (11.2, 2.9, 40.0),
        (12.6, 3.9, 24.0),
    ] {
        jobs.push(lean_to(width, depth, pitch));
    }
    for (width, depth, pitch) in [
        (4.3, 3.1, 30.0),
        (5.2, 4.0, 35.0),
        (6.4, 4.2, 30.0),
        (7.0, 5.0, 40.0),
        (8.3, 6.1, 28.0),
        (9.2, 5.6, 35.0),
        (10.4, 6.2, 45.0),
        (11.3, 7.3, 33.0),
        (12.0, 8.0, 25.0),
        (6.6, 6.2, 50.0),
        (3.0, 3.0, 50.0),
        (4.0, 4.0, 35.0),
        (5.6, 5.6, 27.0),
    ] {
        jobs.push(hip(width, depth, pitch));
    }
    for (sides, side, pitch) in [(5, 1.9, 35.0), (6, 1.6, 40.0), (8, 1.2, 30.0), (8, 2.6, 38.0), (12, 1.1, 45.0)] {
        jobs.push(regular(sides, side, pitch));
    }
    jobs
}

/// Stock pieces for runs: as many whole ones as each needs but its last; what is left of a last piece is tried, the
/// shortest that does, for the last piece of a later run.
fn stock(runs: &[f64], piece: f64, lap: f64) -> u32 {
    let mut bought = 0;
    let mut kept: Vec<f64> = Vec::new();
    for run in runs {
        let mut open = *run;
        while open > piece + 1e-6 {
            bought += 1;
            open -= piece - lap;
        }
        kept.sort_by(f64::total_cmp);
        match kept.iter().position(|rest| *rest >= open - 1e-6) {
            Some(at) => {
                let rest = kept.remove(at) - open;
                if rest >= 0.3 {
                    kept.push(rest);
                }
            }
            None => {
                bought += 1;
                if piece - open >= 0.3 {
                    kept.push(piece - open);
                }
            }
        }
    }
    bought
}

fn caps(length: f64) -> u32 {
    // Laid one by one: the first covers 143 mm, and so does every other.
    let (mut covered, mut count) = (0.143, 1);
    while covered < length - 1e-6 {
        covered += 0.143;
        count += 1;
    }
    count
}

/// Brackets set out one by one from 100 mm within one end to 100 mm within the other.
fn brackets(length: f64) -> u32 {
    let (mut at, mut count) = (0.1, 1);
    while at < length - 0.1 - 1e-6 {
        at += 0.7;
        count += 1;
    }
    count.max(2)
}

fn check(job: &Job, answer: &TakeOff, faults: &mut Vec<String>) {
    let count = |item: &str| answer.line(item).and_then(|line| line.quantity.value()).unwrap_or(0.0);
    let packs = |item: &str| answer.line(item).and_then(|line| line.packs).unwrap_or(0);
    let mut same = |what: &str, found: f64, expected: f64, within: f64| {
        if (found - expected).abs() > within {
            faults.push(format!("{}: {what} {found}, by hand {expected}", job.name));
        }
    };
    let area = slope(job.plan, job.pitch);
    same("area", answer.area.value().unwrap(), area, 1e-6);
    let sum = |lengths: &[f64]| lengths.iter().sum::<f64>();
    same("soffit", count("soffit"), sum(&job.eaves) + sum(&job.verges) + sum(&job.tops), 1e-6);
    let around = [job.eaves.as_slice(), &job.verges, &job.tops].concat();
    let boards: &[f64] = &[4.0, 3.0, 3.6, 4.2, 4.8];
    for (item, runs, lengths, lap) in [
        ("edge-strip-eave", &job.eaves, &[2.0][..], 0.05),
        ("edge-strip-verge", &job.verges, &[2.0], 0.05),
        ("edge-strip-top", &job.tops, &[2.0], 0.05),
        ("fascia-board", &job.eaves, boards, 0.0),
        ("verge-board", &job.verges, boards, 0.0),
        ("top-board", &job.tops, boards, 0.0),
        ("soffit", &around, &[3.0, 4.0, 5.0], 0.0),
        ("gutter", &job.eaves, &[3.0, 2.0, 4.0], 0.0),
    ] {
        // Of the lengths on offer the one of which the fewest metres are bought, then the fewest pieces.
        let bought =
            lengths.iter().map(|piece| (f64::from(stock(runs, *piece, lap)) * piece, stock(runs, *piece, lap)));
        let least = bought.min_by(|a, b| if (a.0 - b.0).abs() < 1e-9 { a.1.cmp(&b.1) } else { a.0.total_cmp(&b.0) });
        same(item, f64::from(packs(item)), f64::from(least.unwrap().1), 0.0);
        same(&format!("{item} length"), count(item), sum(runs), 1e-6);
    }
    let lines: u32 = job.ridges.iter().map(|ridge| caps(*ridge)).sum::<u32>()
        + job.hips.iter().map(|hip| caps(*hip) + 1).sum::<u32>()
        + job.junctions;
    same("caps", count("ridge-hip-cap"), f64::from(lines), 0.0);
    same("cap nails", count("cap-nail"), (f64::from(2 * lines) * 1.05 - 1e-9).ceil(), 0.0);
    // EN 12056-3: the plan area and half of what the slope shows to driven rain.
    let outlets: f64 = job
        .gutters
        .iter()
        .map(|(plan, ..)| (plan * (1.0 + job.pitch.to_radians().tan() / 2.0) / 37.0).ceil().max(1.0))
        .sum();
    same("outlets", count("gutter-outlet"), outlets, 0.0);
    same("bends", count("pipe-bend"), 2.0 * outlets, 0.0);
    // Eaves at 2.40 m: pipes as long, clips near both ends and no further apart than 2 m: 3 each.
    same("pipes", count("downpipe"), 2.4 * outlets, 1e-6);
    same("clips", count("pipe-clip"), 3.0 * outlets, 0.0);
    same("corners", count("gutter-corner"), f64::from(job.gutters.iter().map(|gutter| gutter.1).sum::<u32>()), 0.0);
    same("stop ends", count("stop-end"), f64::from(job.gutters.iter().map(|gutter| gutter.2).sum::<u32>()), 0.0);
    let brackets: u32 = job.eaves.iter().map(|eave| brackets(*eave)).sum();
    same("brackets", count("gutter-bracket"), f64::from(brackets), 0.0);
    // Strips: no fewer than what shows of the roof in strips of 1.00 x 0.143 m, less what caps cover of it (141 mm on
    // either side of their lines); no more than that and a piece of half a strip at each end of each course, starter and caps.
    let capped = (sum(&job.ridges) + sum(&job.hips)) * 0.282;
    let shown = (area - capped) / 0.143;
    let courses: f64 = answer.faces.iter().map(|face| face.courses as f64).sum();
    let strips = count("strip-shingle");
    let starter = sum(&job.eaves);
    let most = area / 0.143 + courses + starter + f64::from(lines) / 3.0 + 2.0 * job.eaves.len() as f64;
    same("packs", f64::from(packs("strip-shingle")), (strips / 14.0).ceil(), 0.0);
    if strips < shown + starter || strips > most {
        faults.push(format!("{}: {strips} strips, by hand {:.1} to {most:.1}", job.name, shown + starter));
    }
    // Underlay and deck: no less than the area; no more than a fifth over what is laid is bought of rolls, boards but for one.
    let (laid, rolls) = (count("underlay"), f64::from(packs("underlay")) * 7.5);
    if laid < area || rolls < laid || rolls > laid + 2.0 * 7.5 {
        faults.push(format!("{}: underlay {laid} of {area}, {rolls} bought", job.name));
    }
    let left = answer.line("deck-board").and_then(|line| line.left_over).unwrap();
    if left > 0.2 * area + 2.0 {
        faults.push(format!("{}: {left} m2 of boards left of {area}", job.name));
    }
}

#[test]
fn forty_orders_come_out_as_reckoned_by_hand() {
    let jobs = jobs();
    assert_eq!(jobs.len(), 40);
    let card = covering("strip-shingle");
    let mut faults = Vec::new();
    for job in &jobs {
        check(job, &taken_off(&job.roof, &card), &mut faults);
    }
    assert!(faults.is_empty(), "{} faults: {faults:#?}", faults.len());
}
