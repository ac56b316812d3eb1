//! The covering of a whole roof: each face read, its gauge chosen, laid.

use super::answer::FaceCount;
use super::card::{Card, CoveringKind, LapByPitch, Strip, Unit};
use super::lay::{self, Piecework, courses_to};
use super::layout::{FaceLayout, Piece, Source};
use super::model::ValleyMethod;
use super::outline::{CoveredFace, Margins};
use super::sheet;
use crate::base::diagnostic::Note;
use crate::base::tolerance;
use crate::roof::{EdgeKind, Roof};

/// Clearance of caps: half a tab is bent over each slope less this (common practice, no source).
const CAP_CLEARANCE: f64 = 0.025;

/// How far past the deck and short of valleys a card's covering goes.
#[must_use]
pub fn margins(card: &Card) -> Margins {
    let (eave, verge) = match &card.covering {
        CoveringKind::Strip(strip) => (strip.eave_projection, strip.verge_projection),
        CoveringKind::Unit(unit) => (unit.eave_projection, unit.verge_projection),
        CoveringKind::Sheet(sheet) => (sheet.eave_projection, sheet.verge_projection),
    };
    let usual = Margins { eave, verge, ..Margins::default() };
    match &card.valley_lining {
        Some(lining) => Margins { valley_clear: lining.clear, valley_widen: lining.widen, ..usual },
        None => usual,
    }
}

/// Piecework of a strip at its usual gauge.
#[must_use]
pub fn strip_work(card: &Card, strip: &Strip) -> Piecework {
    let tab = strip.tab_width();
    Piecework {
        width: strip.width,
        height: strip.height,
        gauge: strip.gauge.min(strip.largest_gauge()),
        steps: 2 * strip.tabs,
        eave_projection: strip.eave_projection,
        least_end: tab / 2.0,
        shortest_offcut: tab,
        tab,
        cap_cover: card.caps.as_ref().map_or(0.0, |caps| caps.half_cover),
        apron_cover: apron_cover(card),
        starter: Some(strip.height - strip.cutout),
        verge_starter: strip.verge_starter,
    }
}

/// Piecework of pieces laid one by one, at the largest gauge that the lap for this pitch allows.
#[must_use]
pub fn unit_work(card: &Card, unit: &Unit, pitch: f64) -> Piecework {
    let lap = LapByPitch::at(&unit.laps, pitch).map_or(0.0, |lap| lap.lap);
    let largest = (unit.height - lap) / f64::from(unit.layers.max(1));
    let gauge = unit.gauge.min(largest);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let steps = if unit.bond > 0.0 { (1.0 / unit.bond).round().max(1.0) as u32 } else { 1 };
    Piecework {
        width: unit.width + unit.joint,
        height: unit.height,
        gauge,
        steps,
        eave_projection: unit.eave_projection,
        least_end: unit.min_cut,
        shortest_offcut: unit.min_cut,
        tab: unit.width + unit.joint,
        cap_cover: card.caps.as_ref().map_or(0.0, |caps| caps.half_cover),
        apron_cover: apron_cover(card),
        starter: unit.starter.then_some(unit.height - gauge),
        verge_starter: false,
    }
}

fn apron_cover(card: &Card) -> f64 {
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
    pub notes: Vec<Note>,
}

/// Lays every face. O(bonds × pieces).
#[must_use]
pub fn lay_all(roof: &Roof, faces: &[CoveredFace], card: &Card, valley: ValleyMethod) -> Laid {
    let mut laid = Laid::default();
    let works: Vec<Option<Piecework>> = faces
        .iter()
        .map(|face| match &card.covering {
            CoveringKind::Strip(strip) => Some(strip_work(card, strip)),
            CoveringKind::Unit(unit) => Some(unit_work(card, unit, face.pitch)),
            CoveringKind::Sheet(_) => None,
        })
        .collect();
    let gauges = shared_gauges(roof, faces, &works, card, valley);
    for ((face, work), gauge) in faces.iter().zip(&works).zip(gauges) {
        let layout = match (&card.covering, work) {
            (CoveringKind::Sheet(sheet), _) => sheet::lay(face, sheet),
            (_, Some(work)) => lay::lay(face, &Piecework { gauge, ..*work }),
            (_, None) => continue,
        };
        let name = &roof.faces[face.id.index()].name;
        note_layout(name, &layout, work.as_ref(), &mut laid.notes);
        laid.counts.push(face_count(name, face, &layout, card));
        laid.layouts.push(layout);
    }
    laid
}

/// Gauge of each face: shrunk, as far as the card allows, where whole courses then reach a level ridge; faces of equal
/// pitch that share a hip, or a woven valley, keep one gauge, so that their courses meet at it.
fn shared_gauges(
    roof: &Roof,
    faces: &[CoveredFace],
    works: &[Option<Piecework>],
    card: &Card,
    valley: ValleyMethod,
) -> Vec<f64> {
    let (shrink, always) = match &card.covering {
        CoveringKind::Strip(strip) => (strip.gauge_shrink, false),
        CoveringKind::Unit(unit) => (unit.gauge_shrink, true),
        CoveringKind::Sheet(_) => (0.0, false),
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
fn parallel_gauge(face: &CoveredFace, work: &Piecework, shrink: f64, always: bool) -> f64 {
    let top = face
        .edges
        .iter()
        .find(|edge| edge.is_level && edge.kind == EdgeKind::Ridge && face.top - edge.from.y < tolerance::SMALLEST);
    if top.is_none() {
        return work.gauge;
    }
    let slope = face.top + work.eave_projection - work.cap_cover;
    let courses = courses_to(face.top, work.eave_projection, work.gauge, work.height, work.cap_cover) as f64;
    let parallel = slope / courses;
    let last_shows = slope - (courses - 1.0) * work.gauge;
    let wanted = always || last_shows < work.gauge / 2.0;
    if wanted && parallel < work.gauge && work.gauge - parallel <= shrink { parallel } else { work.gauge }
}

fn note_layout(name: &str, layout: &FaceLayout, work: Option<&Piecework>, notes: &mut Vec<Note>) {
    let faces = vec![name.to_owned()];
    let Some(work) = work else { return };
    if layout.gauge < work.gauge {
        let message = format!(
            "gauge closed up from {:.0} to {:.1} mm so that the last course ends parallel to the ridge at full height",
            work.gauge * 1000.0,
            layout.gauge * 1000.0
        );
        notes.push(Note { code: "gauge-closed-up", message, faces: faces.clone() });
    }
    if layout.choice.slivers > 0 {
        let message = format!(
            "{} ends are narrower than {:.0} mm whichever bond is used: shorten the piece beside them",
            layout.choice.slivers,
            work.least_end * 1000.0
        );
        notes.push(Note { code: "narrow-ends", message, faces });
    }
}

fn face_count(name: &str, face: &CoveredFace, layout: &FaceLayout, card: &Card) -> FaceCount {
    let counts = layout.counts();
    let new = layout.new_pieces() as f64;
    let (covers, piece_area, uncut) = match &card.covering {
        CoveringKind::Strip(strip) => (new * strip.width * layout.gauge, strip.width * strip.height, 1.0),
        CoveringKind::Unit(unit) => ((unit.width + unit.joint) * layout.gauge * new, unit.width * unit.height, 1.0),
        CoveringKind::Sheet(sheet) => {
            let length: f64 = pieces(layout).map(|piece| sheet::ordered_length(piece, sheet)).sum();
            let laps = (layout.courses.len().saturating_sub(1)) as f64
                * (layout.courses.first().map_or(0.0, |course| course.head_v - course.butt_v - layout.gauge));
            let columns = layout.courses.first().map_or(0, |course| course.pieces.len()) as f64;
            ((length - laps * columns) * sheet.cover_width, 0.0, 0.0)
        }
    };
    let kept: f64 = pieces(layout).map(|piece| piece.area).sum();
    let (cuts, cut_length) = cuts(layout);
    FaceCount {
        face: name.to_owned(),
        courses: layout.courses.len(),
        gauge: layout.gauge,
        pieces_whole: counts.whole,
        pieces_cut: counts.cut,
        pieces_from_offcuts: counts.from_offcuts,
        waste: if covers > 0.0 { 1.0 - face.region.area() / covers } else { 0.0 },
        scrap: (uncut * new * piece_area - kept).max(0.0) * uncut,
        cuts,
        cut_length,
    }
}

fn pieces(layout: &FaceLayout) -> impl Iterator<Item = &Piece> {
    layout.courses.iter().flat_map(|course| &course.pieces)
}

/// Cuts across pieces, and their length: every side of what is kept that is neither a joint, a butt nor a head of the
/// uncut piece, nor between two parts of it. An offcut counts its fresh ends alone.
fn cuts(layout: &FaceLayout) -> (usize, f64) {
    let (mut count, mut length) = (0, 0.0);
    for course in &layout.courses {
        for piece in course.pieces.iter().filter(|piece| piece.cut || piece.source != Source::New) {
            let mut cut = 0.0;
            for part in &piece.parts {
                for (index, from) in part.iter().enumerate() {
                    let to = part[(index + 1) % part.len()];
                    let near = |a: f64, b: f64| (a - b).abs() < tolerance::SMALLEST;
                    let on = |u: f64| near(from.x, u) && near(to.x, u);
                    let is_level = near(from.y, to.y);
                    if !on(piece.from_u) && !on(piece.to_u) && !is_level {
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
