//! From a footprint to planes: sides on one line with one profile share a plane.

use super::exact::{Q, V, as_written, q};
use eavewright_core::outline::footprint::{Footprint, Role, Side};
use std::collections::{HashMap, HashSet};

/// A plane's trace at height t is the line `normal · p = offset + speed t`; the roof lies where the left side is more.
#[derive(Clone, Debug)]
pub struct Plane {
    /// Whole numbers without a common factor, to the left of the side.
    pub normal: V,
    pub offset: Q,
    pub speed: Q,
    /// (height it starts at, speed), heights increasing.
    pub profile: Vec<(Q, Q)>,
    /// Which entry of the profile is under way.
    pub stage: usize,
    /// Raised whenever the speed changes, so that what was worked out before is not used again.
    pub version: usize,
    /// (tangent of the pitch, index of the profile) for areas on the slope; 0 for plumb.
    pub tangents: Vec<f64>,
    /// Put in where collinear neighbours part: stands still, has no area.
    pub is_step: bool,
}

impl Plane {
    /// Which way its segments run.
    pub fn along(&self) -> V {
        self.normal.right()
    }

    /// When the speed changes next.
    pub fn next_change(&self) -> Option<&Q> {
        self.profile.get(self.stage + 1).map(|(height, _)| height)
    }

    /// Takes up the next speed at its height, on the line reached.
    pub fn change(&mut self) {
        let (height, speed) = self.profile[self.stage + 1].clone();
        self.offset = &self.offset + (&self.speed - &speed) * &height;
        self.speed = speed;
        self.stage += 1;
        self.version += 1;
    }
}

/// All planes of a footprint and which one each side climbs.
pub struct Planes {
    pub all: Vec<Plane>,
    /// (side name, plane).
    pub of_side: HashMap<String, usize>,
    /// Segments of the outline: from, to, plane.
    pub segments: Vec<(V, V, usize)>,
    /// Planes of neighbouring sides in one line.
    pub in_line: HashSet<(usize, usize)>,
    pub base: Q,
}

fn profile_of(side: &Side, normal: &V, base: &Q) -> (Vec<(Q, Q)>, Vec<f64>) {
    let own = as_written(side.height);
    let mut profile: Vec<(Q, Q)> = Vec::new();
    let mut tangents: Vec<f64> = Vec::new();
    let entries = side.role.profile();
    if own > *base && !matches!(side.role, Role::Verge | Role::Abutment) {
        profile.push((base.clone(), Q::ZERO));
        tangents.push(0.0);
    }
    for (rise, pitch) in entries {
        let height =
            if matches!(side.role, Role::Verge | Role::Abutment) { base.clone() } else { &own + as_written(rise) };
        let speed = pitch.map_or(Q::ZERO, |pitch| normal.length() / q(pitch.tangent()));
        let tangent = pitch.map_or(0.0, eavewright_core::base::units::Pitch::tangent);
        if profile.last().is_some_and(|(_, last)| *last == speed) {
            continue;
        }
        profile.push((height, speed));
        tangents.push(tangent);
    }
    (profile, tangents)
}

/// The planes of one block.
pub fn planes_of(footprint: &Footprint) -> Planes {
    let sides = || footprint.rings.iter().flat_map(|ring| &ring.sides);
    let sloping = sides().filter(|side| !matches!(side.role, Role::Verge | Role::Abutment));
    let base = sloping.map(|side| as_written(side.height)).min().expect("sides");
    let mut planes: Vec<Plane> = Vec::new();
    let mut of_side = HashMap::new();
    let mut segments = Vec::new();
    for ring in &footprint.rings {
        for (index, side) in ring.sides.iter().enumerate() {
            let next = &ring.sides[(index + 1) % ring.sides.len()];
            let from = V::new(as_written(side.start.x), as_written(side.start.y));
            let to = V::new(as_written(next.start.x), as_written(next.start.y));
            let normal = (&to - &from).left().primitive();
            let (profile, tangents) = profile_of(side, &normal, &base);
            let offset = normal.dot(&from);
            let speed = profile[0].1.clone();
            let at_base = &offset - &speed * &base;
            let same = |p: &Plane| p.normal == normal && p.offset == at_base && p.profile == profile;
            let plane = planes.iter().position(same).unwrap_or_else(|| {
                planes.push(Plane {
                    normal: normal.clone(),
                    offset: at_base.clone(),
                    speed: speed.clone(),
                    profile: profile.clone(),
                    stage: 0,
                    version: 0,
                    tangents: tangents.clone(),
                    is_step: false,
                });
                planes.len() - 1
            });
            of_side.insert(side.name.to_string(), plane);
            segments.push((from, to, plane));
        }
    }
    let mut in_line = HashSet::new();
    let mut first = 0;
    for ring in &footprint.rings {
        let count = ring.sides.len();
        for k in 0..count {
            let (a, b) = (segments[first + k].2, segments[first + (k + 1) % count].2);
            if planes[a].normal == planes[b].normal {
                in_line.insert((a, b));
            }
        }
        first += count;
    }
    Planes { all: planes, of_side, segments, in_line, base }
}
