//! The sweep itself: find the next height at which anything happens, go there, put the outline together anew.

use super::exact::{Q, V, doubled_area, f};
use super::planes::{Plane, Planes, planes_of};
use super::rebuild::{Corner, Meets, Reading, Rebuild};
use eavewright_core::outline::{Footprint, TakesOver};
use std::collections::{HashMap, HashSet};

/// Why there is no roof.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// The outline overlaps itself.
    Overlap,
    /// The sides left standing never close.
    Unbounded,
    /// More steps than the outline can need: a fault of this simulator.
    Endless,
}

/// What the simulator knows of a roof.
#[derive(Clone, Debug)]
pub struct Answer {
    /// Plan area by plane.
    pub plan: Vec<f64>,
    /// Area on the slope by plane.
    pub area: Vec<f64>,
    /// Which plane each side climbs.
    pub of_side: HashMap<String, usize>,
    /// Highest point above datum.
    pub top: f64,
    /// Between the roof, the walls and the level of the lowest side.
    pub volume: f64,
    /// Heights at which something happened.
    pub events: usize,
    /// Policies that were needed.
    pub meets: Meets,
}

impl Answer {
    /// All plan area.
    pub fn total_plan(&self) -> f64 {
        self.plan.iter().sum()
    }
}

/// Whether some reading in which at one or more of the first four meetings in one line the other side goes on than the
/// rule says has what is asked for.
pub fn other_readings(footprint: &Footprint, asked: impl Fn(&Answer) -> bool) -> bool {
    (1..16u32).any(|reading| {
        let flipped = (0..4).map(|bit| reading >> bit & 1 == 1).collect();
        simulate_reading(footprint, Reading { steeper: false, flipped }).is_ok_and(|answer| asked(&answer))
    })
}

struct Sweep {
    planes: Vec<Plane>,
    in_line: HashSet<(usize, usize)>,
    chains: Vec<Vec<Corner>>,
    height: Q,
    plan: HashMap<(usize, usize), Q>,
    volume: Q,
    next_id: usize,
    /// (corner, plane, version) -> height at which the corner reaches the plane's line.
    crash: HashMap<(usize, usize, usize), Option<Q>>,
    /// (corner, next corner) -> height at which the segment between them has no length.
    vanish: HashMap<(usize, usize), Option<Q>>,
    meets: Meets,
    reading: Reading,
}

/// The roof of one block.
pub fn simulate(footprint: &Footprint) -> Result<Answer, Refusal> {
    let steeper = footprint.take_over == TakesOver::Steeper;
    simulate_reading(footprint, Reading { steeper, flipped: Vec::new() })
}

/// The roof of one block by another reading of what comes into one line.
pub fn simulate_reading(footprint: &Footprint, reading: Reading) -> Result<Answer, Refusal> {
    let Planes { all: planes, of_side, segments, in_line, base } = planes_of(footprint);
    let count = planes.len();
    let corners = segments.len();
    let mut sweep = Sweep {
        planes,
        in_line,
        chains: Vec::new(),
        height: base,
        plan: HashMap::new(),
        volume: Q::ZERO,
        next_id: 0,
        crash: HashMap::new(),
        vanish: HashMap::new(),
        meets: Meets::default(),
        reading,
    };
    sweep.chains = sweep.rebuild().first(segments)?;
    let mut events = 0;
    while !sweep.chains.is_empty() {
        let next = sweep.next_height().ok_or(Refusal::Unbounded)?;
        sweep.go_to(next)?;
        events += 1;
        if events > 20 * corners + 200 {
            return Err(Refusal::Endless);
        }
    }
    let mut plan = vec![0.0; count];
    let mut area = vec![0.0; count];
    for ((plane, stage), doubled) in &sweep.plan {
        let level = f(doubled) / 2.0;
        if *plane < count {
            plan[*plane] += level;
            area[*plane] += level * sweep.planes[*plane].tangents[*stage].hypot(1.0);
        }
    }
    let (top, volume) = (f(&sweep.height), f(&sweep.volume));
    Ok(Answer { plan, area, of_side, top, volume, events, meets: sweep.meets })
}

impl Sweep {
    fn rebuild(&mut self) -> Rebuild<'_> {
        Rebuild {
            planes: &mut self.planes,
            height: &self.height,
            in_line: &self.in_line,
            next_id: &mut self.next_id,
            meets: &mut self.meets,
            reading: &self.reading,
            parted: HashSet::new(),
        }
    }

    /// The lowest height above this one at which a segment vanishes, a reflex corner meets a segment or a speed
    /// changes. (A convex corner can meet only a reflex one: no segment fits inside its sector.)
    fn next_height(&mut self) -> Option<Q> {
        let mut best: Option<Q> = None;
        let offer = |candidate: &Q, best: &mut Option<Q>| {
            if best.as_ref().is_none_or(|b| candidate < b) {
                *best = Some(candidate.clone());
            }
        };
        for chain in &self.chains {
            for (index, corner) in chain.iter().enumerate() {
                if let Some(change) = self.planes[corner.plane].next_change() {
                    offer(change, &mut best);
                }
                let next = &chain[(index + 1) % chain.len()];
                let along = self.planes[corner.plane].along();
                let vanish = self.vanish.entry((corner.id, next.id)).or_insert_with(|| {
                    let growth = along.dot(&(&next.velocity - &corner.velocity));
                    // Both move linearly; take both at height zero.
                    let gap = along.dot(&(&next.at(&Q::ZERO) - &corner.at(&Q::ZERO)));
                    (growth < Q::ZERO).then(|| -gap / growth)
                });
                if let Some(height) = vanish {
                    offer(height, &mut best);
                }
            }
        }
        for chain in &self.chains {
            for (index, corner) in chain.iter().enumerate().filter(|(_, corner)| corner.reflex) {
                let own = [corner.id, chain[(index + chain.len() - 1) % chain.len()].id];
                for other in &self.chains {
                    for (position, from) in other.iter().enumerate() {
                        if own.contains(&from.id) {
                            continue;
                        }
                        let plane = &self.planes[from.plane];
                        let key = (corner.id, from.plane, plane.version);
                        let crash = self.crash.entry(key).or_insert_with(|| crash_height(corner, plane));
                        let Some(height) = crash else { continue };
                        if *height <= self.height || best.as_ref().is_some_and(|b| b <= height) {
                            continue;
                        }
                        let to = &other[(position + 1) % other.len()];
                        let (place, along) = (corner.at(height), plane.along());
                        let (start, end) = (from.at(height), to.at(height));
                        if along.dot(&(&place - &start)) >= Q::ZERO && along.dot(&(&end - &place)) >= Q::ZERO {
                            best = Some(height.clone());
                        }
                    }
                }
            }
        }
        best
    }

    fn outline_area(&self, height: &Q) -> Q {
        let ring = |chain: &Vec<Corner>| doubled_area(&chain.iter().map(|c| c.at(height)).collect::<Vec<_>>());
        self.chains.iter().map(ring).fold(Q::ZERO, |sum, area| sum + area)
    }

    fn go_to(&mut self, height: Q) -> Result<(), Refusal> {
        let before = self.height.clone();
        let middle = (&before + &height) / Q::from(2);
        // Simpson's rule is exact: the outline's area is quadratic in height. The areas are doubled, hence 12.
        let sum = self.outline_area(&before) + self.outline_area(&middle) * Q::from(4) + self.outline_area(&height);
        self.volume += sum * (&height - &before) / Q::from(12);
        let mut old = Vec::new();
        for chain in &self.chains {
            let mut segments = Vec::new();
            let places: Vec<(V, V)> = chain.iter().map(|c| (c.at(&before), c.at(&height))).collect();
            for (index, corner) in chain.iter().enumerate() {
                let (from, to) = (&places[index], &places[(index + 1) % chain.len()]);
                let swept = doubled_area(&[from.0.clone(), to.0.clone(), to.1.clone(), from.1.clone()]);
                let stage = self.planes[corner.plane].stage;
                *self.plan.entry((corner.plane, stage)).or_insert(Q::ZERO) += swept;
                if from.1 != to.1 {
                    segments.push((from.1.clone(), to.1.clone(), corner.plane));
                }
            }
            old.push(segments);
        }
        self.height = height;
        self.chains = self.rebuild().chains(old)?;
        Ok(())
    }
}

/// When a corner that is inside a plane's line reaches it, if it comes nearer.
fn crash_height(corner: &Corner, plane: &Plane) -> Option<Q> {
    // value(t) = normal · place(t) − offset − speed t = start + slope t
    let slope = plane.normal.dot(&corner.velocity) - &plane.speed;
    let start = plane.normal.dot(&corner.at(&Q::ZERO)) - &plane.offset;
    (slope < Q::ZERO).then(|| -start / slope)
}
