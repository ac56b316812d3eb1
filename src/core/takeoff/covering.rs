//! The covering of a whole roof: each face read, its gauge chosen, laid.

use super::card::{Card, CoveringKind, Strip, Unit};
use super::coursing::CoursingSpec;
use super::details::PieceKind;
use super::felt::FeltLaid;
use super::finding::Finding;
use super::goods::LapByPitch;
use super::lay::{self, courses_to};
use super::layout::FaceCount;
use super::layout::{FaceLayout, LaidPiece, Source};
use super::margins::{Margins, goes_first};
use super::model::ValleyMethod;
use super::offcut::Pool;
use super::outline::{CoveredFace, FaceEdge, NEARLY_LEVEL};
use super::sheet;
use crate::base::ids::FaceId;
use crate::base::polygon;
use crate::base::tolerance;
use crate::roof::{EdgeKind, Roof};
use nalgebra::Point2;

/// Clearance of caps: half a tab is bent over each slope less this (common practice, no source).
const CAP_CLEARANCE: f64 = 0.025;

/// End joints of consecutive courses of strips stand at least this far apart (common practice, no source).
const STRIP_OFFSET: f64 = 0.100;

/// How far past the deck and short of valleys a card's covering goes.
#[must_use]
pub fn margins(card: &Card) -> Margins {
    let (eave, verge) = match &card.covering {
        CoveringKind::Strip(strip) => (strip.eave_projection, strip.verge_projection),
        CoveringKind::Unit(unit) => (unit.eave_projection, unit.verge_projection),
        CoveringKind::Sheet(sheet) => (sheet.eave_projection, sheet.verge_projection),
        CoveringKind::Felt(felt) => (felt.eave_projection, felt.verge_projection),
    };
    // What bends runs on up over a break by what the first course there leaves under one layer.
    let runs_on = match &card.covering {
        CoveringKind::Strip(strip) => strip.gauge,
        CoveringKind::Unit(unit) if card.adhesive.is_some() => unit.gauge,
        CoveringKind::Unit(_) | CoveringKind::Sheet(_) | CoveringKind::Felt(_) => 0.0,
    };
    let usual = Margins { eave, verge, runs_on, ..Margins::default() };
    match &card.valley_lining {
        Some(lining) => Margins { valley_clear: lining.clear, valley_widen: lining.widen, ..usual },
        None => usual,
    }
}

/// How a strip is coursed, at its usual gauge.
#[must_use]
pub fn strip_work(card: &Card, strip: &Strip) -> CoursingSpec {
    let tab = strip.tab_width();
    CoursingSpec {
        kind: PieceKind::Strip,
        caps_each: caps_each(card),
        width: strip.width,
        height: strip.height,
        gauge: strip.gauge.min(strip.largest_gauge()),
        steps: 2 * strip.tabs,
        eave_projection: strip.eave_projection,
        least_end: tab / 2.0,
        shortest_offcut: tab,
        tab,
        layers: 2,
        head_lap: strip.head_lap,
        least_offset: STRIP_OFFSET,
        cap_cover: card.caps.as_ref().map_or(0.0, |caps| caps.half_cover),
        apron_cover: apron_cover(card),
        starter: Some(strip.height - strip.cutout),
        verge_starter: strip.verge_starter,
    }
}

/// How pieces laid one by one are coursed, at the largest gauge that the lap for this pitch allows.
#[must_use]
pub(crate) fn unit_work(card: &Card, unit: &Unit, pitch: f64) -> CoursingSpec {
    let lap = LapByPitch::at(&unit.laps, pitch).map_or(0.0, |lap| lap.lap);
    let largest = (unit.height - lap) / f64::from(unit.layers.max(1));
    let gauge = unit.gauge.min(largest);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let steps = if unit.bond > 0.0 { (1.0 / unit.bond).round().max(1.0) as u32 } else { 1 };
    CoursingSpec {
        kind: PieceKind::Unit,
        caps_each: 0,
        width: unit.width + unit.joint,
        height: unit.height,
        gauge,
        steps,
        eave_projection: unit.eave_projection,
        least_end: unit.min_cut,
        shortest_offcut: unit.min_cut,
        tab: unit.width + unit.joint,
        layers: unit.layers.max(1),
        head_lap: lap,
        // As the starter under them keeps off: a quarter of a width. Straight bonds stand in line.
        least_offset: if steps > 1 { (unit.width + unit.joint) / 4.0 } else { 0.0 },
        cap_cover: card.caps.as_ref().map_or(0.0, |caps| caps.half_cover),
        apron_cover: apron_cover(card),
        starter: unit.starter.then_some(unit.height - gauge),
        verge_starter: false,
    }
}

fn caps_each(card: &Card) -> u32 {
    card.caps.as_ref().and_then(|caps| caps.per_strip).unwrap_or(0)
}

pub(super) fn apron_cover(card: &Card) -> f64 {
    card.abutment_flashing.as_ref().map_or(0.0, |flashing| (flashing.cover - CAP_CLEARANCE).max(0.0))
}

/// The roof as laid.
#[derive(Clone, Debug, Default)]
pub struct Laid {
    /// In the order of `faces` given.
    pub layouts: Vec<FaceLayout>,
    /// Their counts.
    pub counts: Vec<FaceCount>,
    /// What was done for the user.
    pub findings: Vec<Finding>,
    /// Both layers of a felt roof; nothing where it is covered otherwise.
    pub felt: FeltLaid,
}

/// Lays every face; offcuts of one serve the later ones. O(bonds × pieces).
#[must_use]
pub(crate) fn lay_all(roof: &Roof, faces: &[CoveredFace], card: &Card, valley: ValleyMethod) -> Laid {
    let mut laid = Laid::default();
    let works: Vec<Option<CoursingSpec>> = faces.iter().map(|face| usual_work(card, face)).collect();
    let planes = one_plane(faces);
    let gauges = shared_gauges(roof, faces, &works, &planes, card, valley);
    let is_unit = matches!(card.covering, CoveringKind::Unit(_));
    let at_gauge = |(work, gauge): (Option<CoursingSpec>, f64)| {
        // An under-eave slate reaches as high as the first course leaves bare.
        let starter =
            |work: &CoursingSpec| if is_unit { work.starter.map(|_| work.height - gauge) } else { work.starter };
        work.map(|work| CoursingSpec { gauge, starter: starter(&work), ..work })
    };
    let works: Vec<Option<CoursingSpec>> = works.into_iter().zip(gauges).map(at_gauge).collect();
    laid.layouts = match &card.covering {
        CoveringKind::Sheet(sheet) => sheet::lay_all(faces, sheet),
        // It has no courses: its layers lie as their plans say.
        CoveringKind::Felt(_) => return laid,
        _ => lay_pieces(roof, faces, &works, &planes, card),
    };
    let lent = |id: FaceId| -> f64 {
        let borrowed = laid.layouts.iter().flat_map(|layout| &layout.borrowed);
        borrowed.filter(|(from, _)| *from == id).map(|(_, length)| length).sum()
    };
    for (face, layout) in faces.iter().zip(&laid.layouts) {
        laid.counts.push(face_count(face, layout, card, lent(face.id)));
        find_in_layout(face, layout, card, &mut laid.findings);
    }
    laid.findings.extend(folds_over(faces, &laid.layouts));
    laid
}

/// Lays pieces plane by plane, each with what is left over of the ones before.
fn lay_pieces(
    roof: &Roof,
    faces: &[CoveredFace],
    works: &[Option<CoursingSpec>],
    planes: &[Vec<usize>],
    card: &Card,
) -> Vec<FaceLayout> {
    let mut pool = Pool::default();
    let mut layouts: Vec<(usize, FaceLayout)> = Vec::new();
    for plane in planes {
        let Some(work) = plane.first().and_then(|&index| works[index].as_ref()) else { continue };
        let together: Vec<&CoveredFace> = plane.iter().map(|&index| &faces[index]).collect();
        let drop = together.iter().map(|face| drop_of(face, work)).fold(0.0, f64::max);
        let work = CoursingSpec { eave_projection: work.eave_projection + drop, ..*work };
        layouts.extend(plane.iter().copied().zip(lay::lay_together(&together, &work, &mut pool)));
    }
    for (turn, (_, layout)) in layouts.iter_mut().enumerate() {
        layout.details.turn = turn;
    }
    layouts.sort_by_key(|(index, _)| *index);
    let mut layouts: Vec<FaceLayout> = layouts.into_iter().map(|(_, layout)| layout).collect();
    lay::leave(&mut layouts, pool);
    if let CoveringKind::Strip(_) = card.covering {
        for (face, layout) in faces.iter().zip(&mut layouts) {
            layout.folds_to = folds_to(roof, face, card);
        }
    }
    layouts
}

/// How far the lower end of an eave that is not quite level lies below the line the courses would begin at: they begin there,
/// and the first is trimmed along the eave.
fn drop_of(face: &CoveredFace, work: &CoursingSpec) -> f64 {
    // Eaves laid level may begin a little lower.
    let line = -work.eave_projection - NEARLY_LEVEL;
    let starts = face.edges.iter().filter(|edge| edge.is_level && edge.begins_anew).map(|edge| edge.covered);
    let at_line = starts.filter(|[from, to]| from.y.max(to.y) >= line);
    at_line.map(|[from, to]| -work.eave_projection - from.y.min(to.y)).fold(0.0, f64::max)
}

/// Faces by the plane they share, eaves at one height: pieces of one slope that something stands between. Each group and
/// the groups themselves in the order of `faces`. O(faces × planes).
fn one_plane(faces: &[CoveredFace]) -> Vec<Vec<usize>> {
    let mut planes: Vec<Vec<usize>> = Vec::new();
    for (index, face) in faces.iter().enumerate() {
        let shares = |other: &CoveredFace| {
            let apart = face.frame.origin - other.frame.origin;
            let normal = other.frame.along.cross(&other.frame.up);
            let turned = (face.frame.along - other.frame.along).norm() + (face.frame.up - other.frame.up).norm();
            let off = apart.dot(&normal).abs().max(apart.z.abs());
            turned < tolerance::RELATIVE && off < tolerance::SMALLEST
        };
        match planes.iter_mut().find(|plane| shares(&faces[plane[0]])) {
            Some(plane) => plane.push(index),
            None => planes.push(vec![index]),
        }
    }
    planes
}

/// A face's level ridge at its top.
fn level_ridge(face: &CoveredFace) -> Option<&FaceEdge> {
    let at_top = |edge: &&FaceEdge| face.top - edge.from.y < tolerance::SMALLEST;
    face.edges.iter().filter(|edge| edge.is_level && edge.kind == EdgeKind::Ridge).find(at_top)
}

/// At a ridge what stands over it is folded down on the other slope, from one side only and by no more than caps cover;
/// anything else is trimmed at it (common practice, no source).
fn folds_to(roof: &Roof, face: &CoveredFace, card: &Card) -> Option<f64> {
    let cover = card.caps.as_ref()?.half_cover;
    level_ridge(face).filter(|ridge| goes_first(roof, face.id, ridge.id)).map(|_| face.top + cover)
}

/// Gauge of each face: shrunk, as far as the card allows, where whole courses then reach a level ridge; faces of equal
/// pitch that share a hip, or a woven valley, keep one gauge, so that their courses meet at it, and so do those of one
/// plane.
fn shared_gauges(
    roof: &Roof,
    faces: &[CoveredFace],
    works: &[Option<CoursingSpec>],
    planes: &[Vec<usize>],
    card: &Card,
    valley: ValleyMethod,
) -> Vec<f64> {
    let (shrink, always) = match &card.covering {
        CoveringKind::Strip(strip) => (strip.gauge_shrink, false),
        CoveringKind::Unit(unit) => (unit.gauge_shrink, true),
        CoveringKind::Sheet(_) | CoveringKind::Felt(_) => (0.0, false),
    };
    let mut gauges: Vec<f64> = faces
        .iter()
        .zip(works)
        .map(|(face, work)| work.as_ref().map_or(0.0, |work| parallel_gauge(face, work, shrink, always)))
        .collect();
    let index_of = |id| faces.iter().position(|face| face.id == id);
    let meets = |kind| kind == EdgeKind::Hip || (kind == EdgeKind::Valley && valley == ValleyMethod::Woven);
    // As many rounds as faces let the least gauge travel round any chain of hips.
    for _ in 0..faces.len() {
        let mut changed = false;
        for plane in planes.iter().filter(|plane| plane.len() > 1) {
            let least = plane.iter().map(|&index| gauges[index]).fold(f64::INFINITY, f64::min);
            for &index in plane {
                changed |= gauges[index] != least;
                gauges[index] = least;
            }
        }
        for edge in roof.edges.iter().filter(|edge| meets(edge.kind)) {
            let [Some(a), Some(b)] = [edge.faces.first(), edge.faces.get(1)].map(|id| id.and_then(|&id| index_of(id)))
            else {
                continue;
            };
            let equal = (faces[a].pitch - faces[b].pitch).abs() < tolerance::RELATIVE;
            if equal && gauges[a] != gauges[b] {
                let least = gauges[a].min(gauges[b]);
                (gauges[a], gauges[b], changed) = (least, least, true);
            }
        }
        if !changed {
            break;
        }
    }
    gauges
}

/// The gauge at which whole courses reach a level ridge, where it is at most `shrink` less. Strips are closed up only
/// where the last course would otherwise show less than half a gauge.
fn parallel_gauge(face: &CoveredFace, work: &CoursingSpec, shrink: f64, always: bool) -> f64 {
    if level_ridge(face).is_none() {
        return work.gauge;
    }
    let slope = face.top + work.eave_projection - work.cap_cover;
    let courses = courses_to(face.top, work.eave_projection, work.gauge, work.height, work.cap_cover) as f64;
    let parallel = slope / courses;
    let last_shows = slope - (courses - 1.0) * work.gauge;
    let wanted = always || last_shows < work.gauge / 2.0;
    if wanted && parallel < work.gauge && work.gauge - parallel <= shrink { parallel } else { work.gauge }
}

/// How a card is coursed on a face, at the usual gauge; `None` for sheets.
fn usual_work(card: &Card, face: &CoveredFace) -> Option<CoursingSpec> {
    match &card.covering {
        CoveringKind::Strip(strip) => Some(strip_work(card, strip)),
        CoveringKind::Unit(unit) => Some(unit_work(card, unit, face.pitch)),
        CoveringKind::Sheet(_) | CoveringKind::Felt(_) => None,
    }
}

fn find_in_layout(face: &CoveredFace, layout: &FaceLayout, card: &Card, findings: &mut Vec<Finding>) {
    let Some(work) = usual_work(card, face) else { return };
    if layout.gauge < work.gauge {
        Finding::add(findings, Finding::GaugeClosedUp { faces: vec![face.id], from: work.gauge, to: layout.gauge });
    }
    let count = layout.choice.slivers;
    if count > 0 {
        Finding::add(findings, Finding::NarrowEnds { faces: vec![face.id], count, least: work.least_end });
    }
}

/// The courses that end above a ridge, and by how much.
fn folds_over(faces: &[CoveredFace], layouts: &[FaceLayout]) -> Option<Finding> {
    let mut over = Vec::new();
    for (face, layout) in faces.iter().zip(layouts) {
        let Some(limit) = layout.folds_to else { continue };
        let is_over = |head: f64| head > face.top + tolerance::SMALLEST && head <= limit + tolerance::SMALLEST;
        let highest = layout.courses.iter().map(|course| course.head_v).filter(|head| is_over(*head)).reduce(f64::max);
        over.extend(highest.map(|head| (face.id, head - face.top)));
    }
    (!over.is_empty()).then_some(Finding::FoldOverRidge { over })
}

fn face_count(face: &CoveredFace, layout: &FaceLayout, card: &Card, lent: f64) -> FaceCount {
    let counts = layout.counts();
    let new = layout.new_pieces() as f64;
    // What other faces use of this one's pieces is not this one's, and the other way round.
    let borrowed: f64 = layout.borrowed.iter().map(|(_, length)| length).sum();
    let length = |width: f64| new * width + borrowed - lent;
    let (covers, brought) = match &card.covering {
        CoveringKind::Strip(strip) => (length(strip.width) * layout.gauge, length(strip.width) * strip.height),
        CoveringKind::Unit(unit) => {
            let width = unit.width + unit.joint;
            (length(width) * layout.gauge, length(width) * unit.height)
        }
        CoveringKind::Sheet(sheet) => {
            let is_new = |piece: &&LaidPiece| piece.source == Source::New;
            let length: f64 = pieces(layout).filter(is_new).map(|piece| sheet::ordered_length(piece, sheet)).sum();
            let lap = layout.courses.first().map_or(0.0, |course| course.head_v - course.butt_v - layout.gauge);
            let lapping: usize =
                layout.courses.iter().skip(1).map(|course| course.pieces.iter().filter(is_new).count()).sum();
            // Of sheets areas are lent and borrowed, not lengths.
            let area = |length: f64| length * sheet.cover_width + borrowed - lent;
            (area(length - lap * lapping as f64), area(length))
        }
        CoveringKind::Felt(_) => (0.0, 0.0),
    };
    let shows = if let CoveringKind::Sheet(_) = &card.covering { face.region.area() } else { shown(layout) };
    let kept: f64 = pieces(layout).map(|piece| piece.area).sum();
    let (cuts, cut_length) = cuts(layout, face.top);
    FaceCount {
        face: face.id,
        courses: layout.courses.len(),
        gauge: layout.gauge,
        pieces_whole: counts.whole,
        pieces_cut: counts.cut,
        pieces_from_offcuts: counts.from_offcuts,
        // What of it is below nothing is rounding.
        waste: if covers > 0.0 { (1.0 - shows / covers).max(0.0) } else { 0.0 },
        scrap: (brought - kept).max(0.0),
        cuts,
        cut_length,
    }
}

/// What of the pieces shows: as far up from their butts as the gauge, square metres. Under caps and aprons courses that end
/// there show no more, so this is less than the face. O(corners).
pub(super) fn shown(layout: &FaceLayout) -> f64 {
    let below = |part: &[Point2<f64>], top: f64| -> f64 {
        let mut ring = Vec::with_capacity(part.len() + 2);
        for (from, to) in part.iter().zip(part.iter().cycle().skip(1)) {
            if from.y <= top {
                ring.push(*from);
            }
            if (from.y <= top) != (to.y <= top) {
                ring.push(from + (to - from) * ((top - from.y) / (to.y - from.y)));
            }
        }
        polygon::signed_area(&ring)
    };
    let of_course = |course: &super::layout::Course| -> f64 {
        let parts = course.pieces.iter().flat_map(|piece| &piece.parts);
        parts.map(|part| below(part, course.butt_v + layout.gauge)).sum()
    };
    layout.courses.iter().map(of_course).sum()
}

fn pieces(layout: &FaceLayout) -> impl Iterator<Item = &LaidPiece> {
    layout.courses.iter().flat_map(|course| &course.pieces)
}

/// Cuts across pieces, and their length: every side of what is kept that is neither a joint, a butt nor a head of the
/// uncut piece, nor between two parts of it, nor a fold over the ridge at `top`. An offcut counts its fresh ends alone.
fn cuts(layout: &FaceLayout, top: f64) -> (usize, f64) {
    let near = |a: f64, b: f64| (a - b).abs() < tolerance::SMALLEST;
    let (mut count, mut length) = (0, 0.0);
    for course in &layout.courses {
        let folds = layout.folds_to.is_some_and(|limit| course.head_v <= limit + tolerance::SMALLEST);
        for piece in course.pieces.iter().filter(|piece| piece.cut || piece.source != Source::New) {
            let mut cut =
                level_cuts(piece, |v| near(v, course.butt_v) || near(v, course.head_v) || (folds && near(v, top)));
            for part in &piece.parts {
                for (index, from) in part.iter().enumerate() {
                    let to = part[(index + 1) % part.len()];
                    let on = |u: f64| near(from.x, u) && near(to.x, u);
                    if !on(piece.from_u) && !on(piece.to_u) && !near(from.y, to.y) {
                        cut += (to - from).norm();
                    }
                }
            }
            if cut > tolerance::SMALLEST {
                count += 1;
                length += cut;
            }
        }
    }
    (count, length)
}

/// Length of the level sides of what is kept of a piece, those between two parts of it left out and those `spared`.
fn level_cuts(piece: &LaidPiece, spared: impl Fn(f64) -> bool) -> f64 {
    // (height, left, right) of level sides; a part's own are run to the right along its foot and to the left along its head.
    let mut sides: Vec<(f64, f64, f64)> = Vec::new();
    for part in &piece.parts {
        for (index, from) in part.iter().enumerate() {
            let to = part[(index + 1) % part.len()];
            if (from.y - to.y).abs() < tolerance::SMALLEST && !spared(from.y) {
                sides.push((from.y, from.x.min(to.x), from.x.max(to.x)));
            }
        }
    }
    let all: f64 = sides.iter().map(|(_, left, right)| right - left).sum();
    let mut shared = 0.0;
    for (index, a) in sides.iter().enumerate() {
        for b in sides[index + 1..].iter().filter(|b| (a.0 - b.0).abs() < tolerance::SMALLEST) {
            shared += (a.2.min(b.2) - a.1.max(b.1)).max(0.0);
        }
    }
    all - 2.0 * shared
}
