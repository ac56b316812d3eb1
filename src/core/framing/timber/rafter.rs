//! Rafters, jacks, and trimmers round openings.

use super::body::left_of_line;
use super::cut::at_edge;
use super::grid;
use super::model::{Against, Carcass, EndCut, Home, SHORTEST, Timber, TimberKind, Timbers};
use super::node::{Meetings, Run};
use super::plan::{inward, left_of, level};
use super::run::RidgeRun;
use crate::base::ids::{EdgeId, FaceId};
use crate::base::order::SortByNumber as _;
use crate::base::plane::Plane;
use crate::base::tolerance;
use crate::framing::spec::Section;
use crate::roof::analysis::chord::{Chord, Chords};
use crate::roof::{EdgeKind, Face};
use nalgebra::{Point2, Point3, Vector3};
use std::collections::BTreeSet;

/// A face with what its rafters are cut by.
struct Slope<'a> {
    carcass: &'a Carcass<'a>,
    id: FaceId,
    face: &'a Face,
    chords: &'a Chords,
    meetings: &'a Meetings,
    section: Section,
    /// The sides of its hips and valleys that face it: the edge, and from where to where along the eave.
    folds: Vec<(EdgeId, [f64; 2])>,
    /// Ridges that have a board, or need none.
    boards: &'a BTreeSet<EdgeId>,
}

/// Adds the rafters, jacks and trimmers of every face.
pub(super) fn rafters(carcass: &Carcass<'_>, chords: &[Option<Chords>], meetings: &Meetings, timbers: &mut Timbers) {
    let section = carcass.spec.sections.rafter();
    let boards: BTreeSet<EdgeId> = framed_ridges(carcass, meetings, &timbers.all);
    for (id, face) in carcass.roof.roof_faces() {
        let Some(chords) = &chords[id.index()] else { continue };
        let folds = near_sides(carcass, (id, face), chords, &timbers.all);
        let slope = Slope { carcass, id, face, chords, meetings, section, folds, boards: &boards };
        let holes = slope.holes();
        let centres = grid::centres(carcass, (id, face), chords, meetings);
        for &centre in &centres {
            for chord in slope.chords_at(centre).iter().filter(|chord| chord.length >= SHORTEST) {
                slope.rafter(centre, chord, &holes, timbers);
            }
        }
        slope.trimmers(&centres, &holes, timbers);
    }
}

/// Ridges with a board between rafters; all of them where rafters meet without one.
fn framed_ridges(carcass: &Carcass<'_>, meetings: &Meetings, timbers: &[Timber]) -> BTreeSet<EdgeId> {
    let has_board = |run: &&RidgeRun| {
        carcass.spec.sections.ridge.is_none()
            || timbers.iter().any(|timber| timber.kind == TimberKind::Ridge && timber.home == Home::Edge(run.edges[0]))
    };
    meetings.runs.iter().filter(has_board).flat_map(|run| run.edges.iter().copied()).collect()
}

/// The sides of a face's hips and valleys that face it, as framed: the edge, and from where to where along the face's eave.
fn near_sides(
    carcass: &Carcass<'_>,
    (id, face): (FaceId, &Face),
    chords: &Chords,
    folds: &[Timber],
) -> Vec<(EdgeId, [f64; 2])> {
    let of_face = |fold: &&Timber| match fold.home {
        Home::Edge(edge) => carcass.roof.edges[edge.index()].faces.contains(&id),
        _ => false,
    };
    let side = |fold: &Timber| {
        let Home::Edge(edge) = fold.home else { return None };
        let left = left_of(fold.along.xy()).normalize();
        let towards = left.dot(&inward(carcass.roof, face, edge)).signum();
        let offset = towards * fold.section.thickness / 2.0;
        let ends = fold.line_at(offset)?.map(|at| {
            let place = fold.line[0] + level(left) * offset + fold.along * at;
            chords.frame.to_face(&place).x
        });
        Some((edge, [ends[0].min(ends[1]), ends[0].max(ends[1])]))
    };
    folds.iter().filter(of_face).filter_map(side).collect()
}

/// An opening's extent in the face's frame: along the eave, up the slope.
type Hole = [[f64; 2]; 2];

impl Slope<'_> {
    fn holes(&self) -> Vec<Hole> {
        let of_face = self.carcass.openings.iter().filter(|opening| opening.face == self.id);
        let extent = |pick: fn(&Point2<f64>) -> f64, ring: &[Point2<f64>]| {
            let all = ring.iter().map(pick);
            [all.clone().fold(f64::INFINITY, f64::min), all.fold(f64::NEG_INFINITY, f64::max)]
        };
        of_face.map(|opening| [extent(|at| at.x, &opening.ring), extent(|at| at.y, &opening.ring)]).collect()
    }

    /// Chords at a place along the eave; at the very end of the face those just within it.
    fn chords_at(&self, place: f64) -> Vec<Chord> {
        let Some([left, right]) = self.chords.span() else { return Vec::new() };
        self.chords.at(place.clamp(left + tolerance::SMALLEST, right - tolerance::SMALLEST))
    }

    /// The cuts at a rafter's foot or head (`end` 0 or 1): at every edge that its thickness meets there.
    fn cuts(&self, centre: f64, chord: &Chord, end: usize) -> Vec<EndCut> {
        let roof = self.carcass.roof;
        let half = self.section.thickness / 2.0 - tolerance::SMALLEST;
        let own = if end == 0 { chord.foot } else { chord.head };
        let mut edges = vec![own];
        for off in [-half, half] {
            let beside = self.chords_at(centre + off);
            let same =
                beside.iter().find(|other| other.ends[0].y < chord.ends[1].y && other.ends[1].y > chord.ends[0].y);
            edges.extend(same.map(|other| if end == 0 { other.foot } else { other.head }));
        }
        // A hip's or valley's own thickness reaches a rafter that stands just beside its end.
        edges.extend(self.folds_beside(own));
        edges.sort();
        edges.dedup();
        let middle = nalgebra::center(&chord.ends[0], &chord.ends[1]);
        let from = Run { middle: self.chords.frame.to_space(&middle), upslope: self.chords.frame.up, half };
        let mut cuts = Vec::new();
        for edge in edges {
            let of = &roof.edges[edge.index()];
            let framed = self.folds.iter().find(|(fold, _)| *fold == edge);
            let shields = [of.from, of.to]
                .iter()
                .filter_map(|corner| self.meetings.ridge_before(self.carcass, *corner, edge, &from))
                .collect::<Vec<_>>();
            // A hip or valley ends where it bears itself: beside that nothing of it is met.
            let is_met = framed.is_none_or(|(_, side)| side[0] < centre + half && side[1] > centre - half);
            if is_met && !shields.iter().any(|shield| shield.hides_all) {
                cuts.push(at_edge(self.carcass, self.id, edge, framed.is_some() || self.boards.contains(&edge)));
            }
            cuts.extend(shields.into_iter().map(|shield| shield.cut));
        }
        // Whatever is met, it ends at its own line at the furthest.
        let towards = self.chords.frame.up * if end == 0 { -1.0 } else { 1.0 };
        let at = self.chords.frame.to_space(&chord.ends[end]);
        let ends_there = |cut: &EndCut| {
            let ahead = cut.plane.normal.dot(&towards);
            ahead > tolerance::BESIDE && -cut.plane.distance(&at) / ahead <= tolerance::SMALLEST
        };
        if !cuts.iter().any(ends_there) {
            cuts.push(at_edge(self.carcass, self.id, own, self.folds.iter().any(|(fold, _)| *fold == own)));
        }
        cuts
    }

    /// Hips and valleys that go on from an edge of the face without a bend inwards, so that what ends at the edge may reach
    /// their sides.
    fn folds_beside(&self, edge: EdgeId) -> Vec<EdgeId> {
        let roof = self.carcass.roof;
        let of = &roof.edges[edge.index()];
        let into = inward(roof, self.face, edge);
        let from = roof.at(of.from).xy();
        let joins = |id: &&EdgeId| {
            let other = &roof.edges[id.index()];
            let ends = [other.from, other.to];
            let Some(at) = ends.iter().position(|end| *end == of.from || *end == of.to) else { return false };
            let far = roof.at(ends[1 - at]).xy();
            **id != edge
                && matches!(other.kind, EdgeKind::Hip | EdgeKind::Valley)
                && into.dot(&(far - from)) > tolerance::SMALLEST
        };
        self.face.edges.iter().filter(joins).copied().collect()
    }

    /// Adds the rafter over a chord, in parts where openings cut it.
    fn rafter(&self, centre: f64, chord: &Chord, holes: &[Hole], timbers: &mut Timbers) {
        let half = self.section.thickness / 2.0;
        // What is met at the foot may end the rafter's head, as a hip at an eave's end does: each cut goes to the end it makes.
        let all: Vec<EndCut> = [0, 1].into_iter().flat_map(|end| self.cuts(centre, chord, end)).collect();
        let makes = |upper: bool| {
            let here = |cut: &&EndCut| (cut.plane.normal.dot(&self.chords.frame.up) > 0.0) == upper;
            all.iter().filter(here).copied().collect::<Vec<EndCut>>()
        };
        let (foot, head) = (makes(false), makes(true));
        let mut cut_by: Vec<[f64; 2]> = holes
            .iter()
            .filter(|[along, _]| {
                centre + half > along[0] + tolerance::SMALLEST && centre - half < along[1] - tolerance::SMALLEST
            })
            .map(|[_, up]| *up)
            .filter(|up| up[1] > chord.ends[0].y && up[0] < chord.ends[1].y)
            .collect();
        cut_by.sort_by_number(|a| a[0]);
        let (mut from, mut starts_at) = (chord.ends[0], foot);
        for up in cut_by {
            let to = Point2::new(centre, up[0]);
            let lower = vec![self.square(up[0] - self.section.thickness, -1.0)];
            self.keep([from, to], [starts_at, lower], timbers);
            from = Point2::new(centre, up[1]);
            starts_at = vec![self.square(up[1] + self.section.thickness, 1.0)];
        }
        self.keep([from, chord.ends[1]], [starts_at, head], timbers);
    }

    /// A cut square to the slope, so far up it, the timber above (`keep` 1) or below (-1).
    fn square(&self, up: f64, keep: f64) -> EndCut {
        let frame = &self.chords.frame;
        let normal = frame.up * -keep;
        let at = frame.to_space(&Point2::new(0.0, up));
        EndCut { plane: Plane { normal, offset: normal.dot(&at.coords) }, against: Against::Trimmer }
    }

    fn keep(&self, ends: [Point2<f64>; 2], cuts: [Vec<EndCut>; 2], timbers: &mut Timbers) {
        let frame = &self.chords.frame;
        let line = ends.map(|end| frame.to_space(&end));
        let side = frame.along;
        let planes = self.between(side, side.dot(&line[0].coords), self.section.thickness);
        let is_jack = [0, 1].into_iter().any(|end| {
            let ends_it = ending(&cuts[end], &line[0], &frame.up, end);
            matches!(ends_it, Some(Against::Hip | Against::Valley))
        });
        let kind = if is_jack { TimberKind::Jack } else { TimberKind::Rafter };
        let rafter = Timber::new(kind, Home::Face(self.id), line, self.section, planes, cuts);
        timbers.keep(Timber { along: frame.up, ..rafter });
    }

    /// Top and bottom of the rafters, and sides square to a direction, so thick about a place along it.
    fn between(&self, side: Vector3<f64>, at: f64, thickness: f64) -> Vec<Plane> {
        let top = self.face.plane;
        vec![
            Plane { normal: side, offset: at + thickness / 2.0 },
            Plane { normal: -side, offset: thickness / 2.0 - at },
            top,
            Plane { normal: -top.normal, offset: self.section.depth - top.offset },
        ]
    }

    /// Adds the trimmers below and above each opening that cuts rafters, between the rafters at its sides.
    fn trimmers(&self, centres: &[f64], holes: &[Hole], timbers: &mut Timbers) {
        let half = self.section.thickness / 2.0;
        for [along, up] in holes {
            // The nearest rafters that stand clear of it.
            let left = centres.iter().copied().filter(|at| at + half <= along[0] + tolerance::BESIDE).reduce(f64::max);
            let right = centres.iter().copied().filter(|at| at - half >= along[1] - tolerance::BESIDE).reduce(f64::min);
            let cuts_any = centres
                .iter()
                .any(|at| at + half > along[0] + tolerance::SMALLEST && at - half < along[1] - tolerance::SMALLEST);
            let (Some(left), Some(right), true) = (left, right, cuts_any) else { continue };
            for (edge, outwards) in [(up[0], -1.0), (up[1], 1.0)] {
                let middle = edge + outwards * half;
                let [from, to] = [left + half, right - half];
                // Only where the slope goes on behind it.
                let goes_on = [from, to].iter().all(|place| {
                    self.chords_at(*place)
                        .iter()
                        .any(|chord| chord.ends[0].y < middle - half && chord.ends[1].y > middle + half)
                });
                if goes_on {
                    self.trimmer([from, to], middle, timbers);
                }
            }
        }
    }

    fn trimmer(&self, [from, to]: [f64; 2], middle: f64, timbers: &mut Timbers) {
        let frame = &self.chords.frame;
        let line = [from, to].map(|at| frame.to_space(&Point2::new(at, middle)));
        let end = |at: &Point3<f64>, keep: f64| EndCut::plumb(at, frame.along.xy() * keep, Against::Trimmer);
        let ends = [vec![end(&line[0], 1.0)], vec![end(&line[1], -1.0)]];
        let planes = self.between(frame.up, frame.up.dot(&line[0].coords), self.section.thickness);
        let trimmer = Timber::new(TimberKind::Trimmer, Home::Face(self.id), line, self.section, planes, ends);
        timbers.keep(Timber { along: level(frame.along.xy()), ..trimmer });
    }
}

/// What the middle of a timber's top ends at, at its lower or its upper end.
fn ending(cuts: &[EndCut], from: &Point3<f64>, along: &Vector3<f64>, end: usize) -> Option<Against> {
    let at = |cut: &EndCut| -cut.plane.distance(from) / cut.plane.normal.dot(along);
    let first = cuts.iter().filter(|cut| cut.plane.normal.dot(along).abs() > tolerance::ROUNDING);
    let ends = if end == 0 {
        first.max_by(|a, b| at(a).total_cmp(&at(b)))
    } else {
        first.min_by(|a, b| at(a).total_cmp(&at(b)))
    };
    ends.map(|cut| cut.against)
}

impl Timber {
    /// What the cuts at both ends leave of its top's middle line, along it from its theoretical lower end, metres.
    #[must_use]
    pub fn top_line(&self) -> Option<[f64; 2]> {
        self.line_at(0.0)
    }

    /// The same along a line so far to the left of the middle, seen along it.
    #[must_use]
    pub fn line_at(&self, left: f64) -> Option<[f64; 2]> {
        let side = level(left_of(self.along.xy().try_normalize(f64::MIN_POSITIVE)?));
        let at = self.line[0] + side * left - Vector3::z() * self.lowered;
        left_of_line(self.ends.iter().flatten().map(|cut| &cut.plane), &at, &self.along)
    }
}

impl Timbers {
    /// Adds a timber if there is enough of it to nail.
    pub(super) fn keep(&mut self, timber: Timber) {
        match timber.top_line() {
            Some([from, to]) if to - from >= SHORTEST => self.all.push(timber),
            Some(_) => self.too_short += 1,
            None => {}
        }
    }

    /// Leaves out timbers, and what was found of them.
    pub fn keep_where(&mut self, keep: impl Fn(&Timber) -> bool) {
        let mut place = Vec::with_capacity(self.all.len());
        let mut kept = 0;
        for timber in &self.all {
            let stays = keep(timber);
            place.push(stays.then_some(kept));
            kept += usize::from(stays);
        }
        self.all.retain(|timber| keep(timber));
        self.clashes.retain_mut(|clash| match clash.timbers.map(|at| place[at]) {
            [Some(a), Some(b)] => {
                clash.timbers = [a, b];
                true
            }
            _ => false,
        });
    }

    /// Adds a timber if there is one.
    pub(super) fn extend_with(&mut self, timber: Option<Timber>) {
        if let Some(timber) = timber {
            self.keep(timber);
        }
    }
}
