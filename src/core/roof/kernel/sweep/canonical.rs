//! From a footprint to the planes of its sweep: parallel sides share a direction, sides in one line an offset, equal
//! pitches a speed, bit for bit. The rounded planes are the exact input of everything after.

use super::decimals::{Frame, nearest};
use super::lines::{SupportLine, assign_directions, assign_offsets, lines, turned};
use super::plane::{Scale, SweepPlane};
use super::speeds::slopes;
use crate::base::polygon;
use crate::base::tolerance;
use crate::outline::{Footprint, Role};
use crate::roof::SolveError;
use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

/// Sides are brought to one direction, or into one line, where that moves no end farther than this part of the
/// geometric tolerance. Two neighbours that hardly turn may meet far from their corner then; where that goes wrong a
/// finer part is tried.
pub const SNAPS: [f64; 3] = [1e-2, 1e-4, 1e-6];

/// A side of the footprint, ready to sweep.
#[derive(Clone, Copy, Debug)]
pub struct SweepSide {
    /// Its ring and place in it, in file order.
    pub place: (usize, usize),
    /// Where its planes begin in [`Canonical::profiles`], and how many they are.
    pub profile: (u32, u32),
    /// Whether the roof runs against a higher wall here.
    pub abutment: bool,
}

/// A stretch of the first wavefront: one plane, one profile.
#[derive(Clone, Copy, Debug)]
pub struct SideStretch {
    /// The side whose profile it follows, the first in file order.
    pub owner: u32,
    /// Its first plane.
    pub plane: u32,
    /// How many sides of its ring it runs along, one after another; none for a step between two sides in one line.
    pub count: u32,
    /// The corner it starts from; the side of the same number is its first.
    pub corner: u32,
}

/// A plumb step between two neighbours in one line that rise differently.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Its plane.
    pub plane: u32,
    /// Where its two sides touch, in the frame.
    pub at: [f64; 2],
    /// The flatter side, which its wall belongs to.
    pub owner: u32,
    /// The steeper side.
    pub other: u32,
}

/// Where two pieces of one plane have come together in the sweep that part further up, one of them plumb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parting {
    /// The sides whose profiles they follow, in the order of the walk.
    pub owners: [u32; 2],
    /// Where they touch, in the frame.
    pub at: [f64; 2],
    /// Their plane.
    pub plane: u32,
    /// Whether the first gets ahead of the second.
    pub a_is_ahead: bool,
}

/// All that a sweep needs.
#[derive(Clone, Debug)]
pub struct Canonical {
    /// The units of everything here, and the place that is its origin.
    pub frame: Frame,
    /// How coefficients are integers.
    pub scale: Scale,
    /// Distinct planes.
    pub planes: Vec<SweepPlane>,
    /// Sides in file order, those of no length left out.
    pub sides: Vec<SweepSide>,
    /// Their planes by id, side after side, each side's from the base upwards; the sweep goes on from one to the next
    /// where the two meet.
    pub profiles: Vec<u32>,
    /// Corners: where sides start, in the frame.
    pub corners: Vec<[f64; 2]>,
    /// The rings of the first wavefront.
    pub rings: Vec<Vec<SideStretch>>,
    /// By ring: its first side and how many it has.
    ring_sides: Vec<(u32, u32)>,
    /// Steps between sides in one line.
    pub steps: Vec<Step>,
    /// Those of them that sides need which came together in the sweep.
    late: Vec<(Parting, u32)>,
    /// Whether such steps are left out.
    no_late: bool,
    /// Largest extent of the outline, in units of the plan.
    pub extent: f64,
}

impl Canonical {
    /// The plane of the step at a parting, if there is one yet.
    #[must_use]
    pub(crate) fn step_of(&self, parting: &Parting) -> Option<u32> {
        self.late.iter().find(|(known, _)| known == parting).map(|&(_, plane)| plane)
    }

    /// Whether steps were added for sides that came together in the sweep.
    #[must_use]
    pub(crate) fn has_late_steps(&self) -> bool {
        !self.late.is_empty()
    }

    /// Takes such steps away and leaves them out from now on.
    pub(crate) fn leave_out_late_steps(&mut self) {
        let count = self.steps.len() - self.late.len();
        self.steps.truncate(count);
        self.late.clear();
        self.no_late = true;
    }

    /// Whether steps may be added for sides that come together in the sweep.
    #[must_use]
    pub(crate) fn takes_late_steps(&self) -> bool {
        !self.no_late
    }

    /// Adds the step at a parting: plumb, square to the sides, its wall the flatter one's.
    #[allow(clippy::cast_possible_truncation)]
    pub fn add_step(&mut self, parting: Parting) {
        let [a, b] = parting.owners;
        let inwards = self.planes[parting.plane as usize].normal;
        let normal = step_normal(inwards, parting.a_is_ahead);
        let offset = normal[0] * parting.at[0] + normal[1] * parting.at[1];
        // The place is rounded: a plumb plane that it lies on but for that is the step's.
        let slack = 64.0 * f64::EPSILON * self.extent;
        let on =
            |known: &SweepPlane| known.is_plumb() && known.normal == normal && (known.offset - offset).abs() <= slack;
        let plane = self.planes.iter().position(on).unwrap_or_else(|| {
            let fresh = self.planes.len();
            self.planes.push(self.scale.plane(fresh as u32, normal, 0, self.scale.whole(offset)));
            fresh
        }) as u32;
        self.late.push((parting, plane));
        let (owner, other) = if parting.a_is_ahead { (a, b) } else { (b, a) };
        self.steps.push(Step { plane, at: parting.at, owner, other });
    }

    /// A side's planes from the base upwards.
    #[must_use]
    pub fn planes_of(&self, side: u32) -> &[u32] {
        let (first, count) = self.sides[side as usize].profile;
        &self.profiles[first as usize..(first + count) as usize]
    }

    /// Where a side begins and ends, in the frame.
    #[must_use]
    pub fn ends_of(&self, side: u32) -> [[f64; 2]; 2] {
        let (first, count) = self.ring_of(side);
        let next = first + (side + 1 - first) % count;
        [side, next].map(|corner| self.corners[corner as usize])
    }

    /// The first side of a side's ring, and how many it has.
    #[must_use]
    pub fn ring_of(&self, side: u32) -> (u32, u32) {
        let after = self.ring_sides.partition_point(|&(first, _)| first <= side);
        self.ring_sides[after.saturating_sub(1)]
    }

    /// By side: the first of those of one plane with it that follow each other along its ring, and how many.
    #[must_use]
    pub fn beside(&self) -> Vec<(u32, u32)> {
        let mut beside = vec![(0, 0); self.sides.len()];
        for (ring, stretches) in self.rings.iter().enumerate() {
            for stretch in stretches {
                for side in self.sides_of(ring, stretch) {
                    beside[side as usize] = (stretch.corner, stretch.count);
                }
            }
        }
        beside
    }

    /// The sides that a stretch of a ring runs along, in order.
    pub(crate) fn sides_of(&self, ring: usize, stretch: &SideStretch) -> impl Iterator<Item = u32> {
        let (first, count) = self.ring_sides[ring];
        let from = stretch.corner - first;
        (0..stretch.count).map(move |at| first + (from + at) % count)
    }
}

/// Makes planes of a footprint, `snap` being one of [`SNAPS`]. O(n log n).
///
/// # Errors
/// Numbers that are not finite; a ring with fewer than three sides; sides that fold back on each other.
#[allow(clippy::cast_possible_truncation)]
pub(crate) fn canonicalise(footprint: &Footprint, tolerance: Option<f64>, snap: f64) -> Result<Canonical, SolveError> {
    let places = || footprint.rings.iter().flat_map(|ring| ring.sides.iter().map(|side| &side.start));
    let extent = polygon::extent(places());
    let finite = footprint.rings.iter().flat_map(|ring| &ring.sides).all(|side| {
        let rises = side.role.stages().all(|(rise, _)| rise.is_finite());
        side.start.coords.iter().all(|value| value.is_finite()) && side.height.is_finite() && rises
    });
    if !finite || !extent.is_finite() {
        return Err(SolveError::NotFinite { block: footprint.name.clone() });
    }
    let frame = Frame::of(footprint);
    let snap = snap * tolerance.unwrap_or_else(|| tolerance::default_for(extent)) * frame.plan;
    let extent = extent * frame.plan;

    let mut lines = lines(footprint, &frame, snap);
    assign_directions(&mut lines, snap);
    assign_offsets(&mut lines, snap);
    let (stages, ends) = slopes(footprint, &frame, &lines);
    let mut largest = extent;
    let mut first = 0;
    for (line, &end) in lines.iter().zip(&ends) {
        let own = &stages[first..end];
        let (mut offset, mut before) = (line.offset, own[0].speed());
        largest = largest.max(offset.abs()).max(before);
        for slope in &own[1..] {
            let speed = slope.speed();
            offset += (before - speed) * slope.height;
            largest = largest.max(offset.abs()).max(speed);
            before = speed;
        }
        first = end;
    }
    let scale = Scale::for_largest(largest);

    let mut planes = PlaneTable { scale, planes: Vec::with_capacity(stages.len()), ids: HashMap::default() };
    let mut sides = Vec::with_capacity(lines.len());
    let mut profiles = Vec::with_capacity(stages.len());
    let mut at = 0;
    for (line, &end) in lines.iter().zip(&ends) {
        let first = profiles.len();
        let mut reached: Option<(i64, i64)> = None;
        for slope in &stages[at..end] {
            let speed = slope.whole(scale);
            let offset = match reached {
                None => scale.whole(line.offset),
                Some((before, offset)) => offset + times(before - speed, slope.height),
            };
            reached = Some((speed, offset));
            let id = planes.id(line.normal, speed, offset);
            if profiles[first..].last() != Some(&id) {
                profiles.push(id);
            }
        }
        at = end;
        let side = &footprint.rings[line.ring].sides[line.side];
        let profile = (first as u32, (profiles.len() - first) as u32);
        let abutment = side.role == Role::Abutment;
        sides.push(SweepSide { place: (line.ring, line.side), profile, abutment });
    }
    let mut canonical = Canonical {
        frame,
        scale,
        planes: Vec::new(),
        sides,
        profiles,
        corners: lines.iter().map(|line| [line.start.x, line.start.y]).collect(),
        rings: Vec::with_capacity(footprint.rings.len()),
        ring_sides: Vec::with_capacity(footprint.rings.len()),
        steps: Vec::new(),
        late: Vec::new(),
        no_late: false,
        extent,
    };
    build_rings(footprint, &lines, &mut planes, &mut canonical)?;
    canonical.planes = planes.planes;
    Ok(canonical)
}

/// A whole number times a height: exactly where that is whole.
#[allow(clippy::cast_possible_truncation)]
fn times(speed: i64, height: f64) -> i64 {
    if height.fract() == 0.0 && height.abs() < 1e12 {
        (i128::from(speed) * height as i128) as i64
    } else {
        nearest(speed as f64 * height) as i64
    }
}

/// Up to this many planes are searched one by one.
const FEW_PLANES: usize = 48;

struct PlaneTable {
    scale: Scale,
    planes: Vec<SweepPlane>,
    ids: HashMap<(i64, i64, i64, i64), u32, BuildHasherDefault<Mixed>>,
}

/// A quick hash of whole numbers: each is folded in by a multiplication with an odd number, the golden ratio's bits.
#[derive(Default)]
struct Mixed(u64);

impl Hasher for Mixed {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 29)
    }

    fn write(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            self.write_u64(u64::from(byte));
        }
    }

    fn write_u64(&mut self, value: u64) {
        self.0 = (self.0.rotate_left(23) ^ value).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    }

    fn write_i64(&mut self, value: i64) {
        self.write_u64(value.cast_unsigned());
    }
}

impl PlaneTable {
    #[allow(clippy::cast_possible_truncation)]
    fn id(&mut self, normal: [f64; 2], speed: i64, offset: i64) -> u32 {
        let plane = self.scale.plane(self.planes.len() as u32, normal, speed, offset);
        // A short list is faster searched than hashed.
        if self.planes.len() < FEW_PLANES {
            if let Some(known) = self.planes.iter().position(|other| other.key() == plane.key()) {
                return known as u32;
            }
            self.planes.push(plane);
            return self.planes.len() as u32 - 1;
        }
        if self.ids.is_empty() {
            self.ids = self.planes.iter().enumerate().map(|(id, plane)| (plane.key(), id as u32)).collect();
        }
        *self.ids.entry(plane.key()).or_insert_with(|| {
            self.planes.push(plane);
            (self.planes.len() - 1) as u32
        })
    }
}

/// Which of two profiles in one line gets ahead first, the first: `None` where they never part. O(stages).
#[must_use]
pub(crate) fn first_ahead(planes: &[SweepPlane], a: &[u32], b: &[u32]) -> Option<bool> {
    // Profiles are equal up to some step; there the faster gets ahead, or the one that changes to something faster.
    let common = a.iter().zip(b).take_while(|(x, y)| x == y).count();
    let speed = |profile: &[u32], at: usize| profile.get(at).map(|&id| planes[id as usize].speed);
    let change = |profile: &[u32]| {
        (common > 0 && common < profile.len()).then(|| {
            let (before, after) = (profile[common - 1], profile[common]);
            let meet = super::plane::Height::of_parallel(&planes[before as usize], &planes[after as usize]);
            meet.map_or(0.0, |height| height.near)
        })
    };
    let before = if common > 0 { speed(a, common - 1) } else { None };
    match (speed(a, common), speed(b, common)) {
        (None, None) => None,
        (Some(x), Some(y)) if common == 0 => Some(x > y),
        (Some(x), Some(y)) => match change(a)?.total_cmp(&change(b)?) {
            std::cmp::Ordering::Less => Some(x > before?),
            std::cmp::Ordering::Greater => Some(y <= before?),
            std::cmp::Ordering::Equal => Some(x > y),
        },
        (Some(x), None) => Some(x > before?),
        (None, Some(y)) => Some(y <= before?),
    }
}

/// The normal of the step between two sides in one line whose own normal is given: where the side before is ahead the step
/// runs outwards, else inwards.
fn step_normal(inwards: [f64; 2], a_is_ahead: bool) -> [f64; 2] {
    turned(inwards, if a_is_ahead { 3 } else { 1 })
}

/// Whether two profiles of one plane part where one of them stands plumb: both stay then, and a step parts them. O(stages).
#[must_use]
pub(crate) fn part_at_wall(planes: &[SweepPlane], a: &[u32], b: &[u32]) -> bool {
    let common = a.iter().zip(b).take_while(|(x, y)| x == y).count();
    let Some(shared) = common.checked_sub(1).map(|at| &planes[a[at] as usize]) else { return false };
    let next = |profile: &[u32]| {
        let plane = &planes[*profile.get(common)? as usize];
        Some((super::plane::Height::of_parallel(shared, plane)?, plane.is_plumb()))
    };
    match (next(a), next(b)) {
        (None, None) => false,
        _ if shared.is_plumb() => true,
        (Some(one), Some(two)) => match one.0.compare(&two.0) {
            std::cmp::Ordering::Less => one.1,
            std::cmp::Ordering::Equal => one.1 || two.1,
            std::cmp::Ordering::Greater => two.1,
        },
        (Some(one), None) | (None, Some(one)) => one.1,
    }
}

#[allow(clippy::cast_possible_truncation)]
fn build_rings(
    footprint: &Footprint,
    lines: &[SupportLine],
    table: &mut PlaneTable,
    canonical: &mut Canonical,
) -> Result<(), SolveError> {
    let mut first = 0;
    for ring in 0..footprint.rings.len() {
        let count = lines[first..].iter().take_while(|line| line.ring == ring).count();
        let range = first..first + count;
        canonical.ring_sides.push((first as u32, count as u32));
        first += count;
        let named = |index: usize| {
            let line: &SupportLine = &lines[index];
            footprint.side_name(line.ring, line.side)
        };
        let mut stretches: Vec<SideStretch> = Vec::with_capacity(count);
        for index in range.clone() {
            let before = if index == range.start { range.end - 1 } else { index - 1 };
            let (a, b) = (&lines[before], &lines[index]);
            let in_line = a.class == b.class && a.quarter == b.quarter && count > 1;
            if a.class == b.class && a.quarter != b.quarter && a.quarter % 2 == b.quarter % 2 {
                return Err(SolveError::FoldsBack { sides: [named(before), named(index)] });
            }
            let (one, two) = (canonical.planes_of(before as u32), canonical.planes_of(index as u32));
            let own = SideStretch { owner: index as u32, plane: two[0], count: 1, corner: index as u32 };
            let same = in_line && one == two;
            if let Some(last) = stretches.last_mut().filter(|_| same) {
                last.count += 1;
                continue;
            }
            if in_line && !same {
                let a_first = first_ahead(&table.planes, one, two).unwrap_or(true);
                let normal = step_normal(b.normal, a_first);
                let offset = normal[0] * b.start.x + normal[1] * b.start.y;
                let plane = table.id(normal, 0, table.scale.whole(offset));
                let (owner, other) = if a_first { (before, index) } else { (index, before) };
                let at = [b.start.x, b.start.y];
                canonical.steps.push(Step { plane, at, owner: owner as u32, other: other as u32 });
                stretches.push(SideStretch { owner: u32::MAX, plane, count: 0, corner: index as u32 });
            }
            stretches.push(own);
        }
        // The ring may start in the middle of a stretch.
        if let [head, .., tail] = stretches.as_mut_slice() {
            let same = head.plane == tail.plane
                && head.owner != u32::MAX
                && tail.owner != u32::MAX
                && canonical.planes_of(head.owner) == canonical.planes_of(tail.owner);
            if same {
                (head.corner, head.count) = (tail.corner, head.count + tail.count);
                stretches.pop();
            }
        }
        if stretches.len() < 3 {
            return Err(SolveError::TooFewSides { block: footprint.name.clone(), ring, found: stretches.len() });
        }
        canonical.rings.push(stretches);
    }
    Ok(())
}
