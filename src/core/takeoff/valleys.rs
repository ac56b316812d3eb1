//! How each valley is made, part by part. The way asked for needs room on both sides: a strip that runs through reaches
//! 300 mm past the centre, with no joint within 300 mm of it. Where two valleys stand nearer to each other than that, their
//! strips would lie in one another's way, and another way is taken there and said (common practice, no source):
//!
//! - woven, with room for both: pitches equal, so that courses meet, and at least 600 mm of valley in one go;
//! - else closed-cut: the side that has room runs through, the one that has not is cut short of the centre;
//! - else open.

use super::card::{Card, CoveringKind};
use super::finding::{Finding, ValleyPart};
use super::margins::{Margins, goes_first};
use super::model::{Laying, ValleyMethod};
use crate::base::ids::{EdgeId, FaceId};
use crate::base::tolerance;
use crate::roof::model::frame::FaceFrame;
use crate::roof::{Edge, EdgeKind, Roof};
use nalgebra::Point2;
use std::collections::BTreeMap;

/// How a part of a valley is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ValleyConstruction {
    /// Both sides trimmed clear of the centre.
    Open,
    /// This side runs through, the other is cut short of the centre.
    Closed {
        /// The side that runs through.
        first: FaceId,
    },
    /// Both run through by turns.
    Woven,
}

impl ValleyConstruction {
    /// As one would ask for it.
    #[must_use]
    pub fn method(self) -> ValleyMethod {
        match self {
            Self::Open => ValleyMethod::Open,
            Self::Closed { .. } => ValleyMethod::Closed,
            Self::Woven => ValleyMethod::Woven,
        }
    }
}

/// A part of a valley, between two heights.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Lower and upper end, metres above the datum.
    pub z: [f64; 2],
    /// How it is made.
    pub made: ValleyConstruction,
}

/// Every valley of a roof.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Valleys {
    /// By edge: its parts from the foot up; empty for what is no valley between two roof faces.
    parts: Vec<Vec<Part>>,
    /// Where another way was taken than the one asked for.
    pub findings: Vec<Finding>,
}

impl Valleys {
    /// Those of two parts of one roof together.
    pub(super) fn join(&mut self, other: Self) {
        if self.parts.len() < other.parts.len() {
            self.parts.resize(other.parts.len(), Vec::new());
        }
        for (own, other) in self.parts.iter_mut().zip(other.parts) {
            if own.is_empty() {
                *own = other;
            }
        }
        self.findings.extend(other.findings);
    }
}

/// Where a valley lies in the frame of one of its faces.
struct ValleyLine {
    edge: usize,
    /// Its ends, the lower first.
    ends: [Point2<f64>; 2],
    /// Height of the frame's origin, and how much a metre up the slope rises.
    origin: f64,
    rise: f64,
    /// Whether the face lies to its left.
    face_left: bool,
}

impl ValleyLine {
    fn z(&self, v: f64) -> f64 {
        self.origin + v * self.rise
    }

    /// Metres along the eave for one square to the valley.
    fn level(&self) -> f64 {
        let along = self.ends[1] - self.ends[0];
        along.norm() / along.y
    }

    /// Whether no whole piece spans it over what shows of a course: from where no joint may stand on the one side to where
    /// it must at least reach on the other.
    fn is_too_wide(&self, card: &Card, margins: &Margins) -> bool {
        let (width, gauge) = match &card.covering {
            CoveringKind::Strip(strip) => (strip.width, strip.gauge),
            CoveringKind::Unit(unit) => (unit.width, unit.gauge),
            CoveringKind::Sheet(_) | CoveringKind::Felt(_) => return true,
        };
        let along = self.ends[1] - self.ends[0];
        let room = self.level() * (margins.valley_through + LEAST_PAST) + (along.x / along.y).abs() * gauge;
        room > width + tolerance::SMALLEST
    }

    fn u_at(&self, v: f64) -> f64 {
        let [low, high] = &self.ends;
        low.x + (high.x - low.x) * (v - low.y) / (high.y - low.y)
    }
}

/// Heights between which a side of a valley lacks room: to run through, to take what runs through from the other side.
#[derive(Clone, Debug, Default)]
struct ClearanceShortfall {
    through: Vec<[f64; 2]>,
    taking: Vec<[f64; 2]>,
}

impl Valleys {
    /// Chooses for every valley. O(valleys²) for those of one face.
    #[must_use]
    pub fn of(roof: &Roof, card: &Card, laying: &Laying, margins: &Margins) -> Self {
        let mut valleys = Self { parts: vec![Vec::new(); roof.edges.len()], findings: Vec::new() };
        // Strips of felt run through valleys from both sides, one over the other: nothing is left to choose.
        let is_felt = matches!(card.covering, CoveringKind::Felt(_));
        if is_felt || !roof.edges.iter().any(|edge| edge.kind == EdgeKind::Valley) {
            return valleys;
        }
        let method = possible(card, laying.valley);
        if let (CoveringKind::Strip(strip), true) = (&card.covering, method != laying.valley) {
            let (width, asked) = (strip.width, laying.valley);
            valleys.findings.push(Finding::StripsShortForValley { width, least: LEAST_STRIP, asked });
        }
        let lacks = if method == ValleyMethod::Open { BTreeMap::new() } else { lacks(roof, card, margins) };
        let mut unlike = Vec::new();
        for (index, edge) in roof.edges.iter().enumerate().filter(|(_, edge)| edge.kind == EdgeKind::Valley) {
            let [Some(&a), Some(&b)] = [edge.faces.first(), edge.faces.get(1)] else { continue };
            let pitch = |face: FaceId| roof.faces[face.index()].plane.pitch();
            let meets = (pitch(a) - pitch(b)).abs() < tolerance::RELATIVE;
            let method = if method == ValleyMethod::Woven && !meets {
                unlike.push([a, b]);
                ValleyMethod::Closed
            } else {
                method
            };
            let lacks = [a, b].map(|face| lacks.get(&(face, index)));
            let way = ValleySpan { roof, edge, sides: [a, b], lacks, first: first(roof, index) };
            valleys.parts[index] = way.parts(method, margins);
        }
        if laying.valley != method && !matches!(card.covering, CoveringKind::Strip(_)) {
            let material = card.title.clone();
            valleys.findings.push(Finding::ValleyStaysOpen { material, asked: laying.valley });
        }
        if !unlike.is_empty() {
            valleys.findings.push(Finding::ValleyNotWoven { pairs: unlike });
        }
        let parts = valleys.without_room(roof, method);
        if !parts.is_empty() {
            valleys.findings.push(Finding::ValleyNoRoom { asked: method, room: margins.valley_through, parts });
        }
        valleys
    }

    /// How a valley is made at a height; open where nothing is known of it.
    #[must_use]
    pub fn at(&self, edge: EdgeId, z: f64) -> ValleyConstruction {
        let parts = self.parts.get(edge.index()).map_or(&[][..], Vec::as_slice);
        let part = parts.iter().find(|part| z <= part.z[1]).or(parts.last());
        part.map_or(ValleyConstruction::Open, |part| part.made)
    }

    /// Parts of a valley from its foot up.
    #[must_use]
    pub fn parts(&self, edge: EdgeId) -> &[Part] {
        self.parts.get(edge.index()).map_or(&[], Vec::as_slice)
    }

    /// The ways in use, as one would ask for them.
    #[must_use]
    pub fn methods(&self) -> Vec<ValleyMethod> {
        let used: Vec<ValleyMethod> = self.parts.iter().flatten().map(|part| part.made.method()).collect();
        let all = [ValleyMethod::Woven, ValleyMethod::Closed, ValleyMethod::Open];
        all.into_iter().filter(|method| used.contains(method)).collect()
    }

    /// Which valleys, or which parts of them, had no room for the way asked for.
    fn without_room(&self, roof: &Roof, method: ValleyMethod) -> Vec<ValleyPart> {
        let wanted = |made: ValleyConstruction| match method {
            ValleyMethod::Open => true,
            ValleyMethod::Closed => made != ValleyConstruction::Open,
            ValleyMethod::Woven => made == ValleyConstruction::Woven,
        };
        let mut found = Vec::new();
        for (edge, parts) in roof.edges.iter().zip(&self.parts) {
            let meets = edge.faces.iter().map(|face| roof.faces[face.index()].plane.pitch());
            let meets = meets.reduce(|a, b| a - b).is_some_and(|apart| apart.abs() < tolerance::RELATIVE);
            let other_way = |part: &&Part| {
                !wanted(part.made) && (meets || part.made == ValleyConstruction::Open || method != ValleyMethod::Woven)
            };
            let (Some(foot), Some(head)) = (parts.first(), parts.last()) else { continue };
            let length = (roof.at(edge.to) - roof.at(edge.from)).norm();
            let metre = length / (head.z[1] - foot.z[0]);
            for part in parts.iter().filter(other_way) {
                let along = part.z.map(|z| (z - foot.z[0]) * metre);
                let faces = match part.made {
                    ValleyConstruction::Closed { first } => {
                        std::iter::once(first).chain(edge.faces.iter().copied().filter(|face| *face != first)).collect()
                    }
                    _ => edge.faces.to_vec(),
                };
                let stretch = (parts.len() > 1).then_some(along);
                found.push(ValleyPart { made: part.made.method(), faces, stretch });
            }
        }
        found
    }
}

/// What the material allows: sheets, slates and tiles do not bend through a valley.
fn possible(card: &Card, asked: ValleyMethod) -> ValleyMethod {
    let bends = match card.covering {
        CoveringKind::Strip(_) => true,
        // Single tabs of bitumen are bedded in adhesive; slates and tiles have none.
        CoveringKind::Unit(_) => card.adhesive.is_some(),
        CoveringKind::Sheet(_) | CoveringKind::Felt(_) => false,
    };
    let is_short = matches!(&card.covering, CoveringKind::Strip(strip) if strip.width < LEAST_STRIP);
    if bends && !is_short { asked } else { ValleyMethod::Open }
}

/// Strips shorter than this do not run through valleys: clear of joints 300 mm to both sides of the centre, their joints come
/// nearer to those of the course below than they may (found by laying: 1.00 m does, 0.914 m does not).
const LEAST_STRIP: f64 = 0.950;

fn first(roof: &Roof, edge: usize) -> FaceId {
    let id = EdgeId::new(edge);
    let faces = &roof.edges[edge].faces;
    faces.iter().copied().find(|&face| goes_first(roof, face, Some(id))).unwrap_or(faces[0])
}

/// By face and valley: where it lacks room.
fn lacks(roof: &Roof, card: &Card, margins: &Margins) -> BTreeMap<(FaceId, usize), ClearanceShortfall> {
    // A make-up piece between two whole strips.
    let make_up = match &card.covering {
        CoveringKind::Strip(strip) => strip.tab_width() / 2.0,
        CoveringKind::Unit(unit) => unit.min_cut,
        CoveringKind::Sheet(_) | CoveringKind::Felt(_) => 0.0,
    };
    let mut lacks: BTreeMap<(FaceId, usize), ClearanceShortfall> = BTreeMap::new();
    for (id, _) in roof.roof_faces() {
        let lines = lines(roof, id);
        // A level valley has no course that runs through it at a slant: it is open.
        for edge in roof.faces[id.index()].edges.iter().map(|edge| edge.index()) {
            if roof.edges[edge].kind == EdgeKind::Valley && lines.iter().all(|line| line.edge != edge) {
                lacks.entry((id, edge)).or_default().through.push([f64::NEG_INFINITY, f64::INFINITY]);
            }
        }
        for line in lines.iter().filter(|line| line.is_too_wide(card, margins)) {
            lacks.entry((id, line.edge)).or_default().through.push(line.ends.map(|end| line.z(end.y)));
        }
        for (index, a) in lines.iter().enumerate() {
            for b in &lines[index + 1..] {
                let Some(pair) = Pair::of(a, b) else { continue };
                let room = (a.level() + b.level()) * margins.valley_through;
                let through = pair.nearer_than(if pair.is_face { room + make_up } else { room });
                let taking = if pair.is_face { pair.nearer_than(room) } else { None };
                for line in [a, b] {
                    let lack = lacks.entry((id, line.edge)).or_default();
                    lack.through.extend(through.map(|range| range.map(|v| line.z(v))));
                    lack.taking.extend(taking.map(|range| range.map(|v| line.z(v))));
                }
            }
        }
    }
    lacks
}

/// The slanting valleys of a face.
fn lines(roof: &Roof, id: FaceId) -> Vec<ValleyLine> {
    let face = &roof.faces[id.index()];
    let Some(frame) = FaceFrame::of(roof, face) else { return Vec::new() };
    let rings: Vec<_> = std::iter::once(&face.ring).chain(&face.holes).collect();
    let starts = rings.iter().flat_map(|ring| ring.iter().copied());
    let line = |(edge, start): (&EdgeId, _)| {
        let edge = edge.index();
        let Edge { kind: EdgeKind::Valley, from, to, .. } = roof.edges[edge] else { return None };
        let end = if start == from { to } else { from };
        let [start, end] = [start, end].map(|corner| frame.to_face(&roof.at(corner)));
        let along = end - start;
        // A level valley has no course that runs through it at a slant.
        if along.y.abs() <= LEVEL * along.norm() {
            return None;
        }
        // Going round anticlockwise, a line that goes up has the face on its left.
        let face_left = along.y > 0.0;
        let ends = if face_left { [start, end] } else { [end, start] };
        Some(ValleyLine { edge, ends, origin: frame.origin.z, rise: frame.up.z, face_left })
    };
    face.edges.iter().zip(starts).filter_map(line).collect()
}

/// A hundredth of a length: flatter than that within a face is level.
const LEVEL: f64 = 0.01;

/// Two valleys of a face that look at each other.
struct Pair<'a> {
    left: &'a ValleyLine,
    right: &'a ValleyLine,
    /// Heights at which both stand.
    v: [f64; 2],
    /// Whether the face lies between them; otherwise it stands on either side.
    is_face: bool,
}

impl<'a> Pair<'a> {
    fn of(a: &'a ValleyLine, b: &'a ValleyLine) -> Option<Self> {
        let v = [a.ends[0].y.max(b.ends[0].y), a.ends[1].y.min(b.ends[1].y)];
        if v[1] - v[0] < tolerance::SMALLEST || a.face_left == b.face_left {
            return None;
        }
        let middle = f64::midpoint(v[0], v[1]);
        let (left, right) = if a.u_at(middle) < b.u_at(middle) { (a, b) } else { (b, a) };
        Some(Self { left, right, v, is_face: right.face_left })
    }

    /// Heights at which they stand nearer to each other along the eave.
    fn nearer_than(&self, room: f64) -> Option<[f64; 2]> {
        let excess = self.v.map(|v| self.right.u_at(v) - self.left.u_at(v) - room + tolerance::SMALLEST);
        let crossing = self.v[0] + (self.v[1] - self.v[0]) * excess[0] / (excess[0] - excess[1]);
        match (excess[0] < 0.0, excess[1] < 0.0) {
            (true, true) => Some(self.v),
            (true, false) => Some([self.v[0], crossing]),
            (false, true) => Some([crossing, self.v[1]]),
            (false, false) => None,
        }
    }
}

/// What is to be decided of one valley.
struct ValleySpan<'a> {
    roof: &'a Roof,
    edge: &'a Edge,
    sides: [FaceId; 2],
    lacks: [Option<&'a ClearanceShortfall>; 2],
    /// The side that runs through where there is a choice.
    first: FaceId,
}

impl ValleySpan<'_> {
    fn parts(&self, method: ValleyMethod, margins: &Margins) -> Vec<Part> {
        let ends = [self.edge.from, self.edge.to].map(|corner| self.roof.at(corner));
        let [foot, head] = [ends[0].z.min(ends[1].z), ends[0].z.max(ends[1].z)];
        let mut heights = vec![foot, head];
        for lack in self.lacks.iter().flatten() {
            heights.extend(lack.through.iter().chain(&lack.taking).flatten().filter(|z| **z > foot && **z < head));
        }
        heights.sort_by(f64::total_cmp);
        heights.dedup_by(|a, b| *a - *b < tolerance::SMALLEST);
        if heights.len() < 2 {
            heights = vec![foot, head];
        }
        let part =
            |pair: &[f64]| Part { z: [pair[0], pair[1]], made: self.made(method, f64::midpoint(pair[0], pair[1])) };
        let parts = merged(heights.windows(2).map(part));
        // So short a woven stretch is not worth its change of hands.
        let metre = (ends[1] - ends[0]).norm() / (head - foot).max(f64::MIN_POSITIVE);
        let short = |part: &Part| {
            part.made == ValleyConstruction::Woven && (part.z[1] - part.z[0]) * metre < 2.0 * margins.valley_through
        };
        let closed = |part: Part| {
            let middle = f64::midpoint(part.z[0], part.z[1]);
            if short(&part) { Part { made: self.made(ValleyMethod::Closed, middle), ..part } } else { part }
        };
        merged(parts.into_iter().map(closed))
    }

    fn made(&self, method: ValleyMethod, z: f64) -> ValleyConstruction {
        let within = |ranges: &[[f64; 2]]| ranges.iter().any(|[low, high]| z > *low && z < *high);
        let free = |side: usize, of: fn(&ClearanceShortfall) -> &[[f64; 2]]| {
            !self.lacks[side].is_some_and(|lack| within(of(lack)))
        };
        let runs = |side: usize| free(side, |lack| &lack.through) && free(1 - side, |lack| &lack.taking);
        let first = usize::from(self.sides[1] == self.first);
        match method {
            ValleyMethod::Open => ValleyConstruction::Open,
            ValleyMethod::Woven if runs(0) && runs(1) => ValleyConstruction::Woven,
            _ if runs(first) => ValleyConstruction::Closed { first: self.sides[first] },
            _ if runs(1 - first) => ValleyConstruction::Closed { first: self.sides[1 - first] },
            _ => ValleyConstruction::Open,
        }
    }
}

/// Parts in order, those that follow each other and are made alike as one.
fn merged(parts: impl Iterator<Item = Part>) -> Vec<Part> {
    let mut merged: Vec<Part> = Vec::new();
    for part in parts {
        match merged.last_mut() {
            Some(last) if last.made == part.made => last.z[1] = part.z[1],
            _ => merged.push(part),
        }
    }
    merged
}

/// Past the centre a piece that runs through reaches at least so far over what shows of it, and as far as the courses are
/// trimmed where it is long enough (common practice, no source: 300 mm; a strip of a metre falls short of it by its lower
/// corner in valleys of slopes under 40 degrees).
pub const LEAST_PAST: f64 = 0.250;
