//! Where ridges, hips and valleys meet: what runs through, and how the others are cut against it.

use super::model::{Against, Carcass, EndCut, SHORTEST};
use super::plan::{cross, left_of, level};
use super::run::{RidgeRun, runs};
use crate::base::ids::{CornerId, EdgeId};
use crate::base::union_find::UnionFind;
use crate::roof::{EdgeKind, Roof};
use nalgebra::{Point2, Point3, Vector2, Vector3};
use std::collections::BTreeMap;

/// A fold within this of a ridge's line beyond its end is cut square against the end, as the cosine of the angle between: 15°.
const END_ON: f64 = 0.966;

/// A ridge runs no further through than so many of the thickness of what bears on it: at sharper angles its side would not be
/// reached.
const FURTHEST: f64 = 4.0;

/// Corners joined by an edge shorter than this are one place for the carpenter, metres: nothing can be framed between them.
const ONE_PLACE: f64 = SHORTEST;

/// A hip or valley that ends at a corner.
#[derive(Clone, Copy, Debug)]
pub struct FoldEnd {
    /// Its edge.
    pub edge: EdgeId,
    /// Where its line ends, in plan.
    pub at: Point2<f64>,
    /// Level unit vector away from the corner.
    pub away: Vector2<f64>,
    /// Thickness of its timber.
    pub thickness: f64,
}

/// A ridge that ends at a corner or passes it.
#[derive(Clone, Copy, Debug)]
pub struct RidgeAt {
    /// The run, by its number.
    pub run: usize,
    /// Which of its ends is here: 0 its start, 1 its end; `None`: it passes.
    pub end: Option<usize>,
    /// Where its line ends, or passes, in plan.
    pub at: Point2<f64>,
    /// Level unit vector away from the corner (of one that passes: along it).
    pub away: Vector2<f64>,
}

/// What meets at a corner.
#[derive(Clone, Debug, Default)]
pub struct Meeting {
    /// Ridges, the one that runs through first.
    pub ridges: Vec<RidgeAt>,
    /// Hips and valleys.
    pub folds: Vec<FoldEnd>,
}

/// Every corner where a ridge, hip or valley ends.
#[derive(Clone, Debug, Default)]
pub struct Meetings {
    /// Ridges, those in one line together.
    pub runs: Vec<RidgeRun>,
    /// By corner, of those in one place the first.
    at: BTreeMap<CornerId, Meeting>,
    /// The first corner of the place each stands in.
    place: Vec<CornerId>,
}

impl Meetings {
    /// O(edges log edges).
    pub fn of(carcass: &Carcass<'_>) -> Self {
        let (roof, sections) = (carcass.roof, &carcass.spec.sections);
        let runs = runs(roof);
        let place = places(roof);
        let mut at: BTreeMap<CornerId, Meeting> = BTreeMap::new();
        for (index, edge) in roof.edges.iter().enumerate() {
            let thickness = match edge.kind {
                EdgeKind::Hip => sections.hip().thickness,
                EdgeKind::Valley => sections.valley().thickness,
                _ => continue,
            };
            if place[edge.from.index()] == place[edge.to.index()] {
                continue;
            }
            for (here, there) in [(edge.from, edge.to), (edge.to, edge.from)] {
                let away = (roof.at(there) - roof.at(here)).xy();
                let Some(away) = away.try_normalize(f64::MIN_POSITIVE) else { continue };
                let end = FoldEnd { edge: EdgeId::new(index), at: roof.at(here).xy(), away, thickness };
                at.entry(place[here.index()]).or_default().folds.push(end);
            }
        }
        for (run, ridge) in runs.iter().enumerate() {
            let last = ridge.corners.len() - 1;
            if place[ridge.corners[0].index()] == place[ridge.corners[last].index()] {
                continue;
            }
            for (number, corner) in ridge.corners.iter().enumerate() {
                let end = if number == 0 { Some(0) } else { (number == last).then_some(1) };
                let away = if number == last { -ridge.direction } else { ridge.direction };
                let ridge = RidgeAt { run, end, at: roof.at(*corner).xy(), away };
                at.entry(place[corner.index()]).or_default().ridges.push(ridge);
            }
        }
        for meeting in at.values_mut() {
            // One that passes runs through; else the longest.
            meeting.ridges.sort_by(|a, b| {
                let length = |ridge: &RidgeAt| runs[ridge.run].length;
                a.end.is_some().cmp(&b.end.is_some()).then(length(b).total_cmp(&length(a)))
            });
        }
        Self { runs, at, place }
    }

    fn meeting(&self, corner: CornerId) -> Option<&Meeting> {
        self.at.get(&self.place[corner.index()])
    }

    /// Half the thickness of the ridge boards.
    fn half_ridge(carcass: &Carcass<'_>) -> f64 {
        carcass.spec.sections.ridge_thickness() / 2.0
    }

    /// How far the ridge that runs through a corner where it ends goes on beyond it, so that all that bears on its sides there
    /// bears with its whole thickness, metres.
    pub fn beyond(&self, carcass: &Carcass<'_>, corner: CornerId) -> f64 {
        let Some(meeting) = self.meeting(corner) else { return 0.0 };
        let Some(through) = meeting.ridges.first().filter(|ridge| ridge.end.is_some()) else { return 0.0 };
        let half = Self::half_ridge(carcass);
        if half == 0.0 {
            return 0.0;
        }
        let others = meeting.ridges[1..].iter().map(|ridge| (ridge.at, ridge.away, 2.0 * half));
        let bearing = meeting.folds.iter().map(|fold| (fold.at, fold.away, fold.thickness)).chain(others);
        let reach = bearing.filter_map(|bears| Some(meets(through, half, bears)?[1]));
        reach.fold(0.0, f64::max)
    }

    /// How near its end a rafter may stand beside a ridge that a hip or valley bears on: where the fold's near side meets the
    /// ridge's, along the ridge from its end, metres; 0 or more.
    pub fn clear_of_fold(&self, carcass: &Carcass<'_>, corner: CornerId, edge: EdgeId) -> f64 {
        let found = || {
            let meeting = self.meeting(corner)?;
            let through = meeting.ridges.first().filter(|ridge| ridge.end.is_some())?;
            let fold = meeting.folds.iter().find(|fold| fold.edge == edge)?;
            let [near, _] = meets(through, Self::half_ridge(carcass), (fold.at, fold.away, fold.thickness))?;
            Some(-near)
        };
        found().unwrap_or(0.0).max(0.0)
    }

    /// The cuts of a hip or valley at a corner.
    pub fn cuts_of_fold(&self, carcass: &Carcass<'_>, corner: CornerId, edge: EdgeId) -> Vec<EndCut> {
        let Some(meeting) = self.meeting(corner) else { return Vec::new() };
        let Some(own) = meeting.folds.iter().find(|fold| fold.edge == edge) else { return Vec::new() };
        let at = carcass.roof.at(corner);
        let mut cuts = Vec::new();
        let mut bears_on = Vec::new();
        for (rank, ridge) in meeting.ridges.iter().enumerate() {
            let through = meeting.ridges[0].away;
            let same_side = cross(through, own.away) * cross(through, ridge.away) > 0.0;
            if rank > 0 && !same_side {
                continue;
            }
            bears_on.push(ridge.away);
            cuts.push(self.against_ridge(carcass, (corner, at.z), ridge, own.away));
        }
        for other in beside(own, &meeting.folds) {
            let apart = bears_on.iter().any(|ridge| {
                let (a, b) = (cross(*ridge, own.away), cross(*ridge, other.away));
                a * b < 0.0 || own.away.dot(ridge) < -END_ON || other.away.dot(ridge) < -END_ON
            });
            if !apart {
                cuts.extend(mitre(at.z, own, other));
            }
        }
        cuts
    }

    /// The cuts of a ridge run's end, where it bears on others or they on it.
    pub fn cuts_of_ridge(&self, carcass: &Carcass<'_>, run: usize, end: usize) -> Vec<EndCut> {
        let ridge = &self.runs[run];
        let corner = ridge.corners[if end == 0 { 0 } else { ridge.corners.len() - 1 }];
        let at = carcass.roof.at(corner);
        let Some(meeting) = self.meeting(corner) else { return Vec::new() };
        let Some(own) = meeting.ridges.iter().find(|other| other.run == run) else { return Vec::new() };
        let through = &meeting.ridges[0];
        if through.run != run {
            return vec![self.against_ridge(carcass, (corner, at.z), through, own.away)];
        }
        if meeting.folds.is_empty() && meeting.ridges.len() == 1 {
            return Vec::new();
        }
        let beyond = self.beyond(carcass, corner);
        vec![EndCut::plumb(&(at - level(own.away) * beyond), own.away, Against::Free)]
    }

    /// The cut of a timber that runs `away` from a corner against a ridge there: at the ridge's side, or in line with it at its
    /// end.
    fn against_ridge(
        &self,
        carcass: &Carcass<'_>,
        (corner, height): (CornerId, f64),
        ridge: &RidgeAt,
        away: Vector2<f64>,
    ) -> EndCut {
        let at = Point3::new(ridge.at.x, ridge.at.y, height);
        if ridge.end.is_some() && away.dot(&ridge.away) < -END_ON {
            let end = at - level(ridge.away) * self.beyond(carcass, corner);
            return EndCut::plumb(&end, -ridge.away, Against::Ridge);
        }
        let side = left_of(ridge.away) * cross(ridge.away, away).signum();
        EndCut::plumb(&(at + level(side) * Self::half_ridge(carcass)), side, Against::Ridge)
    }

    /// The ridge that stands between a rafter and what else ends it at a corner: a ridge that runs on beyond the corner where it
    /// ends, so that hips and valleys bear on it, comes before an edge there. `None` where it does not reach the rafter.
    pub fn ridge_before(&self, carcass: &Carcass<'_>, corner: CornerId, edge: EdgeId, rafter: &Run) -> Option<Shield> {
        let meeting = self.meeting(corner)?;
        let through = meeting.ridges.first().filter(|ridge| ridge.end.is_some())?;
        let at = Point3::new(through.at.x, through.at.y, carcass.roof.at(corner).z);
        let beyond = self.beyond(carcass, corner);
        let ahead = -through.away;
        let way = (rafter.middle - at).xy();
        let up = rafter.upslope.xy().try_normalize(f64::MIN_POSITIVE)?;
        if up.dot(&through.away) > END_ON {
            // Head on: against the end.
            let aside = cross(ahead, way).abs();
            let half = Self::half_ridge(carcass);
            let cut = EndCut::plumb(&(at + level(ahead) * beyond), ahead, Against::Ridge);
            return (aside < rafter.half + half).then_some(Shield { cut, hides_all: false });
        }
        if up.dot(&ahead) > END_ON || beyond <= 0.0 {
            return None;
        }
        // Past its side: so far along it beyond the corner, as the rafter's middle line crosses it.
        let crosses = cross(way, up) / cross(ahead, up);
        let reach = rafter.half / cross(ahead, up).abs();
        if crosses < -reach || crosses - reach >= beyond {
            return None;
        }
        let side = left_of(ahead) * cross(ahead, way).signum();
        let cut = EndCut::plumb(&(at + level(side) * Self::half_ridge(carcass)), side, Against::Ridge);
        let fold = meeting.folds.iter().find(|fold| fold.edge == edge);
        // A fold on the other side of the ridge is not met where the ridge stands before all of the rafter.
        let is_beyond = fold.is_some_and(|fold| fold.away.dot(&side) < 0.0);
        Some(Shield { cut, hides_all: is_beyond && crosses + reach <= beyond })
    }
}

/// A rafter as it runs up a face, for what it meets there.
#[derive(Clone, Copy, Debug)]
pub struct Run {
    /// The middle of its theoretical line.
    pub middle: Point3<f64>,
    /// Unit vector up the slope.
    pub upslope: Vector3<f64>,
    /// Half its thickness.
    pub half: f64,
}

/// A ridge between a rafter and an edge.
#[derive(Clone, Copy, Debug)]
pub struct Shield {
    /// The cut against it.
    pub cut: EndCut,
    /// Whether nothing of the edge is met.
    pub hides_all: bool,
}

/// The folds next to one, round the corner either way: all it can meet.
fn beside<'a>(own: &FoldEnd, folds: &'a [FoldEnd]) -> Vec<&'a FoldEnd> {
    let turn = |other: &&FoldEnd| {
        let turn = cross(own.away, other.away).atan2(own.away.dot(&other.away));
        if turn < 0.0 { turn + std::f64::consts::TAU } else { turn }
    };
    let others = || folds.iter().filter(|other| other.edge != own.edge);
    let left = others().min_by(|a, b| turn(a).total_cmp(&turn(b)));
    let right = others().max_by(|a, b| turn(a).total_cmp(&turn(b)));
    let is_same = left.zip(right).is_some_and(|(a, b)| a.edge == b.edge);
    left.into_iter().chain(right.filter(|_| !is_same)).collect()
}

/// Where the two sides of a timber that bears on a ridge's side meet that side, along the ridge beyond its end, the nearer to
/// the ridge first, metres. `None` where it runs in the ridge's direction.
fn meets(ridge: &RidgeAt, half: f64, (at, away, thickness): (Point2<f64>, Vector2<f64>, f64)) -> Option<[f64; 2]> {
    let ahead = -ridge.away;
    if away.dot(&ahead).abs() > END_ON {
        return None;
    }
    let side = left_of(ridge.away) * cross(ridge.away, away).signum();
    let meet = |offset: f64| {
        let start = at - ridge.at + left_of(away) * offset;
        let along = (half - side.dot(&start)) / side.dot(&away);
        ahead.dot(&(start + away * along)).min(FURTHEST * thickness)
    };
    let ends = [meet(thickness / 2.0), meet(-thickness / 2.0)];
    Some([ends[0].min(ends[1]), ends[0].max(ends[1])])
}

/// The cut of one timber against another of its rank: through where the lines meet and the place where the sides that face
/// each other do. `None` where they run in one direction.
fn mitre(height: f64, own: &FoldEnd, other: &FoldEnd) -> Option<EndCut> {
    let turn = cross(own.away, other.away);
    let at = |place: Point2<f64>| Point3::new(place.x, place.y, height);
    if turn.abs() < 1e-6 {
        let opposite = own.away.dot(&other.away) < 0.0;
        return opposite.then(|| EndCut::plumb(&at(own.at), own.away, Against::Mitre));
    }
    // Where two lines along the timbers meet, each moved to its left.
    let meet = |left: f64, others_left: f64| {
        let (from, to) = (own.at + left_of(own.away) * left, other.at + left_of(other.away) * others_left);
        from + own.away * (cross(to - from, other.away) / turn)
    };
    // Own side towards the other, the other's towards this one.
    let toward = turn.signum() / 2.0;
    let (middle, inner) = (meet(0.0, 0.0), meet(toward * own.thickness, -toward * other.thickness));
    let line = (inner - middle).try_normalize(f64::MIN_POSITIVE)?;
    let keep = left_of(line) * cross(line, own.away).signum();
    Some(EndCut::plumb(&at(middle), keep, Against::Mitre))
}

/// The first corner of the place each corner stands in: corners joined by short ridges, hips and valleys stand in one.
fn places(roof: &Roof) -> Vec<CornerId> {
    let mut groups = UnionFind::new(roof.corners.len());
    let id = |corner: CornerId| u32::try_from(corner.index()).unwrap_or(u32::MAX);
    for edge in &roof.edges {
        let is_fold = matches!(edge.kind, EdgeKind::Ridge | EdgeKind::Hip | EdgeKind::Valley);
        if is_fold && roof.length(edge).0 < ONE_PLACE {
            groups.join(id(edge.from), id(edge.to));
        }
    }
    (0..roof.corners.len()).map(|corner| CornerId::new(groups.root(id(CornerId::new(corner))) as usize)).collect()
}

/// The corner of a roof that lies lowest at an edge, and the other.
pub(super) fn low_and_high(roof: &Roof, edge: EdgeId) -> [CornerId; 2] {
    let of = &roof.edges[edge.index()];
    if roof.at(of.from).z <= roof.at(of.to).z { [of.from, of.to] } else { [of.to, of.from] }
}
