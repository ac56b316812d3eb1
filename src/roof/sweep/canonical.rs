//! From a footprint to the planes of its sweep: parallel sides share a direction, sides in one line an offset, equal
//! pitches a speed, bit for bit. The rounded planes are the exact input of everything after.

use super::plane::{Scale, SweepPlane};
use crate::base::polygon;
use crate::base::tolerance;
use crate::outline::{Footprint, Role, Side};
use crate::roof::SolveError;
use nalgebra::{Point2, Vector2};
use smallvec::SmallVec;
use std::collections::{BTreeMap, HashMap};
use std::f64::consts::FRAC_PI_2;

/// Sides are brought to one direction, or into one line, where that moves no end farther than this part of the
/// geometric tolerance. Two neighbours that hardly turn may meet far from their corner then; where that goes wrong a
/// finer part is tried.
pub const SNAPS: [f64; 3] = [1e-2, 1e-4, 1e-6];

/// Slopes of one side that differ by less than this part are one slope.
const SAME_SPEED: f64 = 1e-9;

/// A side of the footprint, ready to sweep.
#[derive(Clone, Copy, Debug)]
pub struct SweepSide {
    /// Its ring and place in it, in file order.
    pub place: (usize, usize),
    /// Where its planes begin in [`Canonical::profiles`], and how many they are.
    pub profile: (u32, u32),
    /// Length in plan, metres.
    pub length: f64,
    /// Whether the roof runs against a higher wall here.
    pub abutment: bool,
}

/// A stretch of the first wavefront: one plane, one profile.
#[derive(Clone, Copy, Debug)]
pub struct Stretch {
    /// The side whose profile it follows, the first in file order.
    pub carrier: u32,
    /// Its first plane.
    pub plane: u32,
    /// How many sides of its ring it runs along, one after another; none for a step between two sides in one line.
    pub count: u32,
    /// The corner it starts from; the side of the same number is its first.
    pub corner: u32,
}

/// A plumb step between two neighbours in one line that rise differently.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// Its plane.
    pub plane: u32,
    /// The flatter side, which its wall belongs to.
    pub owner: u32,
    /// The steeper side.
    pub other: u32,
}

/// All that a sweep needs.
#[derive(Clone, Debug)]
pub struct Canonical {
    /// The place in plan that is the origin of everything here.
    pub origin: Point2<f64>,
    /// Height of the base above datum.
    pub base: f64,
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
    pub rings: Vec<Vec<Stretch>>,
    /// By ring: its first side and how many it has.
    ring_sides: Vec<(u32, u32)>,
    /// Steps between sides in one line.
    pub steps: Vec<Step>,
    /// Largest extent of the outline, metres.
    pub extent: f64,
}

impl Canonical {
    /// A side's planes from the base upwards.
    #[must_use]
    pub fn planes_of(&self, side: u32) -> &[u32] {
        let (first, count) = self.sides[side as usize].profile;
        &self.profiles[first as usize..(first + count) as usize]
    }

    /// The sides that a stretch of a ring runs along, in order.
    pub fn sides_of(&self, ring: usize, stretch: &Stretch) -> impl Iterator<Item = u32> {
        let (first, count) = self.ring_sides[ring];
        let from = stretch.corner - first;
        (0..stretch.count).map(move |at| first + (from + at) % count)
    }
}

struct Line {
    ring: usize,
    side: usize,
    start: Vector2<f64>,
    end: Vector2<f64>,
    length: f64,
    /// Direction class, and quarter turns from its direction.
    class: usize,
    quarter: u8,
    normal: [f64; 2],
    offset: f64,
}

fn turned(v: [f64; 2], quarter: u8) -> [f64; 2] {
    match quarter {
        0 => v,
        1 => [-v[1], v[0]],
        2 => [-v[0], -v[1]],
        _ => [v[1], -v[0]],
    }
}

/// Makes planes of a footprint, `snap` being one of [`SNAPS`]. O(n log n).
///
/// # Errors
/// Numbers that are not finite; a ring with fewer than three sides; sides that fold back on each other.
#[allow(clippy::cast_possible_truncation)]
pub fn canonicalise(footprint: &Footprint, tolerance: Option<f64>, snap: f64) -> Result<Canonical, SolveError> {
    let places = || footprint.rings.iter().flat_map(|ring| ring.sides.iter().map(|side| &side.start));
    let extent = polygon::extent(places());
    let finite = footprint.rings.iter().flat_map(|ring| &ring.sides).all(|side| {
        let rises = side.role.stages().all(|(rise, _)| rise.is_finite());
        side.start.coords.iter().all(|value| value.is_finite()) && side.height.is_finite() && rises
    });
    let Some(&origin) = places().next().filter(|_| finite && extent.is_finite()) else {
        return Err(SolveError::NotFinite { block: footprint.name.clone() });
    };
    let snap = snap * tolerance.unwrap_or_else(|| tolerance::default_for(extent));
    let heights = footprint.rings.iter().flat_map(|ring| &ring.sides).map(|side| side.height);
    let base = heights.fold(f64::INFINITY, f64::min);

    let mut lines = lines(footprint, origin, snap);
    assign_directions(&mut lines, snap);
    assign_offsets(&mut lines, snap);
    let mut coefficients: Vec<(f64, f64)> = Vec::with_capacity(lines.len() * 2);
    let mut ends: SmallVec<[usize; 32]> = SmallVec::with_capacity(lines.len());
    for line in &lines {
        profile(&footprint.rings[line.ring].sides[line.side], line.offset, base, &mut coefficients);
        ends.push(coefficients.len());
    }
    let sizes = coefficients.iter().map(|&(speed, offset)| speed.abs().max(offset.abs()));
    let scale = Scale::for_largest(sizes.fold(extent, f64::max));

    let mut planes = PlaneTable { scale, planes: Vec::with_capacity(coefficients.len()), ids: HashMap::new() };
    let mut sides = Vec::with_capacity(lines.len());
    let mut profiles = Vec::with_capacity(coefficients.len());
    let mut at = 0;
    for (line, &end) in lines.iter().zip(&ends) {
        let first = profiles.len();
        for &(speed, offset) in &coefficients[at..end] {
            let id = planes.id(line.normal, speed, offset);
            if profiles[first..].last() != Some(&id) {
                profiles.push(id);
            }
        }
        at = end;
        let side = &footprint.rings[line.ring].sides[line.side];
        let profile = (first as u32, (profiles.len() - first) as u32);
        let abutment = side.role == Role::Abutment;
        sides.push(SweepSide { place: (line.ring, line.side), profile, length: line.length, abutment });
    }
    let mut canonical = Canonical {
        origin,
        base,
        scale,
        planes: Vec::new(),
        sides,
        profiles,
        corners: lines.iter().map(|line| [line.start.x, line.start.y]).collect(),
        rings: Vec::with_capacity(footprint.rings.len()),
        ring_sides: Vec::with_capacity(footprint.rings.len()),
        steps: Vec::new(),
        extent,
    };
    build_rings(footprint, &lines, &mut planes, &mut canonical)?;
    canonical.planes = planes.planes;
    Ok(canonical)
}

fn lines(footprint: &Footprint, origin: Point2<f64>, snap: f64) -> Vec<Line> {
    let mut out = Vec::with_capacity(footprint.rings.iter().map(|ring| ring.sides.len()).sum());
    for (ring_index, ring) in footprint.rings.iter().enumerate() {
        let place = |side: usize| ring.sides[side].start - origin;
        let count = ring.sides.len();
        // A side of no length starts no line; the one before runs on to the next corner.
        let has_length =
            |&index: &usize| (place(if index + 1 == count { 0 } else { index + 1 }) - place(index)).norm() > snap;
        let kept: SmallVec<[usize; 32]> = (0..count).filter(has_length).collect();
        for (position, &side) in kept.iter().enumerate() {
            let start = place(side);
            let end = place(*kept.get(position + 1).unwrap_or(&kept[0]));
            let length = (end - start).norm();
            out.push(Line {
                ring: ring_index,
                side,
                start,
                end,
                length,
                class: 0,
                quarter: 0,
                normal: [0.0; 2],
                offset: 0.0,
            });
        }
    }
    out
}

/// Up to this many classes of direction are searched one by one.
const FEW_CLASSES: usize = 16;

/// The quarter turn that brings a direction nearest to another, and the sine of what is then between them.
fn fit(class: [f64; 2], along: &Vector2<f64>) -> (u8, f64) {
    let dot = class[0] * along.x + class[1] * along.y;
    let cross = class[0] * along.y - class[1] * along.x;
    if dot.abs() >= cross.abs() {
        (if dot > 0.0 { 0 } else { 2 }, cross.abs())
    } else {
        (if cross > 0.0 { 1 } else { 3 }, dot.abs())
    }
}

/// A direction's angle within a quarter turn, in the order of its bits.
fn angle(along: [f64; 2]) -> u64 {
    along[1].atan2(along[0]).rem_euclid(FRAC_PI_2).min(FRAC_PI_2.next_down()).to_bits()
}

/// Gives every line a direction class, so that sides parallel or square to each other have the same bits.
fn assign_directions(lines: &mut [Line], snap: f64) {
    let mut order: SmallVec<[usize; 32]> = (0..lines.len()).collect();
    order.sort_by(|&a, &b| lines[b].length.total_cmp(&lines[a].length).then(a.cmp(&b)));
    let mut classes: SmallVec<[[f64; 2]; FEW_CLASSES]> = SmallVec::new();
    classes.push([1.0, 0.0]);
    // Filled when classes are no longer few.
    let mut by_angle: BTreeMap<u64, usize> = BTreeMap::new();
    for index in order {
        let line = &mut lines[index];
        let along = (line.end - line.start) / line.length;
        let nearer = |best: (usize, u8, f64), class: usize| {
            let (quarter, sine) = fit(classes[class], &along);
            if sine < best.2 { (class, quarter, sine) } else { best }
        };
        let none = (0, 0, f64::INFINITY);
        let best = if classes.len() <= FEW_CLASSES {
            (0..classes.len()).fold(none, nearer)
        } else {
            if by_angle.is_empty() {
                by_angle.extend(classes.iter().enumerate().map(|(class, &along)| (angle(along), class)));
            }
            let angle = angle([along.x, along.y]);
            let below = by_angle.range(..=angle).next_back().or_else(|| by_angle.iter().next_back());
            let above = by_angle.range(angle..).next().or_else(|| by_angle.iter().next());
            below.into_iter().chain(above).map(|(_, &class)| class).fold(none, nearer)
        };
        (line.class, line.quarter) = if best.2 * line.length <= snap {
            (best.0, best.1)
        } else {
            classes.push([along.x, along.y]);
            if !by_angle.is_empty() {
                by_angle.insert(angle([along.x, along.y]), classes.len() - 1);
            }
            (classes.len() - 1, 0)
        };
        line.normal = turned(turned(classes[line.class], line.quarter), 1);
        let middle = (line.start + line.end) / 2.0;
        line.offset = line.normal[0] * middle.x + line.normal[1] * middle.y;
    }
}

/// Brings parallel sides that lie in one line to one offset.
fn assign_offsets(lines: &mut [Line], snap: f64) {
    // Offset along the direction class's own normal, whichever way the side runs.
    let signed = |line: &Line| if line.quarter < 2 { line.offset } else { -line.offset };
    let mut order: SmallVec<[usize; 32]> = (0..lines.len()).collect();
    order.sort_by(|&a, &b| {
        let (a, b) = (&lines[a], &lines[b]);
        (a.class, a.quarter % 2).cmp(&(b.class, b.quarter % 2)).then(signed(a).total_cmp(&signed(b)))
    });
    let mut start = 0;
    for position in 1..=order.len() {
        let together = position < order.len() && {
            let (a, b) = (&lines[order[position - 1]], &lines[order[position]]);
            a.class == b.class && a.quarter % 2 == b.quarter % 2 && signed(b) - signed(a) <= snap
        };
        if together {
            continue;
        }
        let group = &order[start..position];
        let longest =
            group.iter().copied().fold(group[0], |a, b| if lines[b].length > lines[a].length { b } else { a });
        let shared = signed(&lines[longest]);
        for &index in group {
            lines[index].offset = if lines[index].quarter < 2 { shared } else { -shared };
        }
        start = position;
    }
    // Neighbours of one direction share a corner, so they are one line however short they are.
    for index in 1..lines.len() {
        let (before, after) = lines.split_at_mut(index);
        let (a, b) = (&before[index - 1], &mut after[0]);
        if a.ring == b.ring && a.normal == b.normal {
            b.offset = a.offset;
        }
    }
}

/// Adds (speed, offset at the base) of each plane of a side whose line lies at an offset, from the base upwards.
fn profile(side: &Side, offset: f64, base: f64, out: &mut Vec<(f64, f64)>) {
    let first = out.len();
    let own = side.height - base;
    let rests = (own > 0.0).then_some((-own, None));
    for (rise, pitch) in rests.into_iter().chain(side.role.stages()) {
        let (height, speed) = (own + rise, pitch.map_or(0.0, |pitch| 1.0 / pitch.tangent()));
        let reached = match out[first..].last() {
            // Speeds closer than this would meet at a height that rounding decides.
            Some(&(last, _)) if (last - speed).abs() <= SAME_SPEED * last.max(speed) => continue,
            Some(&(before, at)) => at + before * height,
            None => offset,
        };
        out.push((speed, reached - speed * height));
    }
}

/// Up to this many planes are searched one by one.
const FEW_PLANES: usize = 48;

struct PlaneTable {
    scale: Scale,
    planes: Vec<SweepPlane>,
    ids: HashMap<(i64, i64, i64, i64), u32>,
}

impl PlaneTable {
    #[allow(clippy::cast_possible_truncation)]
    fn id(&mut self, normal: [f64; 2], speed: f64, offset: f64) -> u32 {
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
pub fn first_ahead(planes: &[SweepPlane], a: &[u32], b: &[u32]) -> Option<bool> {
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

#[allow(clippy::cast_possible_truncation)]
fn build_rings(
    footprint: &Footprint,
    lines: &[Line],
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
            let line: &Line = &lines[index];
            footprint.rings[line.ring].sides[line.side].name.clone()
        };
        let mut stretches: Vec<Stretch> = Vec::with_capacity(count);
        for index in range.clone() {
            let before = if index == range.start { range.end - 1 } else { index - 1 };
            let (a, b) = (&lines[before], &lines[index]);
            let in_line = a.class == b.class && a.quarter == b.quarter && count > 1;
            if a.class == b.class && a.quarter != b.quarter && a.quarter % 2 == b.quarter % 2 {
                let sides = vec![named(before), named(index)];
                return Err(SolveError::FoldsBack { block: footprint.name.clone(), sides });
            }
            let (one, two) = (canonical.planes_of(before as u32), canonical.planes_of(index as u32));
            let own = Stretch { carrier: index as u32, plane: two[0], count: 1, corner: index as u32 };
            let same = in_line && one == two;
            if let Some(last) = stretches.last_mut().filter(|_| same) {
                last.count += 1;
                continue;
            }
            if in_line && !same {
                let a_first = first_ahead(&table.planes, one, two).unwrap_or(true);
                // Where the side before is ahead the step runs outwards, else inwards.
                let along = if a_first { [-b.normal[0], -b.normal[1]] } else { b.normal };
                let normal = turned(along, 1);
                let offset = normal[0] * b.start.x + normal[1] * b.start.y;
                let plane = table.id(normal, 0.0, offset);
                let (owner, other) = if a_first { (before, index) } else { (index, before) };
                canonical.steps.push(Step { plane, owner: owner as u32, other: other as u32 });
                stretches.push(Stretch { carrier: u32::MAX, plane, count: 0, corner: index as u32 });
            }
            stretches.push(own);
        }
        // The ring may start in the middle of a stretch.
        if let [head, .., tail] = stretches.as_mut_slice() {
            let same = head.plane == tail.plane
                && head.carrier != u32::MAX
                && tail.carrier != u32::MAX
                && canonical.planes_of(head.carrier) == canonical.planes_of(tail.carrier);
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
