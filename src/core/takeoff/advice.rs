//! What the rules of the trade say about this roof and this covering: each finding states the rule, its source and the
//! value found. Local codes and the material's own instructions come first.

use super::card::{Card, CoveringKind, MinPitch};
use super::covering::Laid;
use super::finding::{Finding, UnevenEave};
use super::goods::LapByPitch;
use super::input::TakeoffInput;
use super::model::Covering;
use super::outline::CoveredFace;
use super::work::Kind;
use crate::base::tolerance;
use crate::roof::analysis::drainage::{Drainage, Outlet};
use crate::roof::{EdgeKind, Roof};

/// All advice. O(faces + edges).
#[must_use]
pub(crate) fn advise(input: &TakeoffInput, faces: &[CoveredFace], laid: &Laid) -> Vec<Finding> {
    let (roof, covering) = (input.roof, input.covering);
    let mut findings = suitability(faces, &covering.card);
    findings.extend(against_walls(roof, input.drainage));
    findings.extend(eaves_laid_level(faces));
    findings.extend(underlay(faces, &covering.card));
    findings.extend(deck(&covering.card));
    findings.push(ventilation(covering));
    findings.extend(gauge(&covering.card));
    findings.extend(courses_apart(roof, faces, laid));
    findings
}

/// Least pitch for a rafter of this length: of the entries that hold, the one for the shortest rafters.
#[must_use]
pub fn least_pitch(card: &Card, rafter: f64) -> Option<&MinPitch> {
    let up_to = |rule: &&MinPitch| rule.rafter_to.unwrap_or(f64::INFINITY);
    let holds = card.min_pitch.iter().filter(|rule| rafter <= up_to(rule) + tolerance::SMALLEST);
    holds.min_by(|a, b| up_to(a).total_cmp(&up_to(b)))
}

/// Length of a face up the slope, metres.
fn rafter(face: &CoveredFace) -> f64 {
    let low = face.edges.iter().map(|edge| edge.from.y).fold(f64::INFINITY, f64::min);
    face.top - low
}

/// A number as findings compare it: faces whose pitches or lengths differ by rounding share a finding.
fn rounded(value: f64) -> f64 {
    const STEPS: f64 = 1e6;
    (value * STEPS).round() / STEPS
}

/// Whether pitch and length of each face suit the card. O(faces × findings).
#[must_use]
pub(crate) fn suitability(faces: &[CoveredFace], card: &Card) -> Vec<Finding> {
    let (mut below, mut long, mut fixing) = (Vec::new(), Vec::new(), Vec::new());
    for face in faces {
        let (pitch, rafter) = (face.pitch, rafter(face));
        let faces = || vec![face.id];
        if let Some(rule) = least_pitch(card, rafter).filter(|rule| pitch < rule.pitch - tolerance::RELATIVE) {
            let source = rule.source.clone();
            let (pitch, rafter, least) = (rounded(pitch), rounded(rafter), rule.pitch);
            Finding::add(&mut below, Finding::PitchBelowMinimum { faces: faces(), pitch, rafter, least, source });
        }
        let run = rafter * pitch.cos();
        if let Some(rule) = card.max_run.iter().find(|rule| run > rule.run) {
            let (run, most, source) = (rounded(run), rule.run, rule.source.clone());
            Finding::add(&mut long, Finding::RunTooLong { faces: faces(), run, most, source });
        }
        if let Some(limit) = card.other_fixing.as_ref().filter(|limit| pitch > limit.pitch) {
            let (pitch, limit, source, kind) = (rounded(pitch), limit.pitch, limit.source.clone(), Kind::of(card));
            Finding::add(&mut fixing, Finding::SteepFixing { faces: faces(), pitch, limit, kind, source });
        }
    }
    [below, long, fixing].concat()
}

fn underlay(faces: &[CoveredFace], card: &Card) -> Vec<Finding> {
    let Some(underlay) = &card.underlay else { return Vec::new() };
    let mut doubled = Vec::new();
    // Faces of one lap share a finding that tells their pitches.
    let mut single: Vec<Finding> = Vec::new();
    for face in faces {
        let own = rounded(face.pitch);
        if let Some(limit) = underlay.double_below.filter(|_| underlay.is_double(face.pitch)) {
            Finding::add(&mut doubled, Finding::UnderlayDoubled { faces: vec![face.id], pitch: own, limit });
        } else if let Some(rule) = LapByPitch::at(&underlay.laps, face.pitch) {
            let same = single.iter_mut().find_map(|finding| match finding {
                Finding::UnderlayLap { faces, pitches, lap, source } if *lap == rule.lap && *source == rule.source => {
                    Some((faces, pitches))
                }
                _ => None,
            });
            match same {
                Some((faces, pitches)) => {
                    faces.push(face.id);
                    if !pitches.contains(&own) {
                        pitches.push(own);
                    }
                }
                None => single.push(Finding::UnderlayLap {
                    faces: vec![face.id],
                    pitches: vec![own],
                    lap: rule.lap,
                    source: rule.source.clone(),
                }),
            }
        }
    }
    [doubled, single].concat()
}

fn deck(card: &Card) -> Option<Finding> {
    let deck = card.deck.as_ref()?;
    let holds = card.deck_min.iter().filter(|rule| deck.spacing <= rule.spacing_to + tolerance::SMALLEST);
    match holds.min_by(|a, b| a.spacing_to.total_cmp(&b.spacing_to)) {
        Some(rule) if deck.thickness < rule.thickness - tolerance::SMALLEST => Some(Finding::DeckTooThin {
            thickness: deck.thickness,
            spacing: deck.spacing,
            least: rule.thickness,
            spacing_to: rule.spacing_to,
            source: rule.source.clone(),
        }),
        None if !card.deck_min.is_empty() => Some(Finding::BearersTooFar { spacing: deck.spacing }),
        _ => None,
    }
}

/// Free area of vents for a ceiling, square metres: [1/150, 1/300 with half to four fifths of it high up].
#[must_use]
pub fn vent_area(ceiling: f64) -> [f64; 2] {
    [ceiling / 150.0, ceiling / 300.0]
}

/// Least air gap over insulation (IRC R806.2, older text: 1 in).
const AIR_GAP: f64 = 0.025;

fn ventilation(covering: &Covering) -> Finding {
    covering.laying.ceiling.map_or(Finding::VentilationNotAsked, |ceiling| {
        let [full, shared] = vent_area(ceiling);
        Finding::Ventilation { ceiling, full, shared, gap: AIR_GAP }
    })
}

fn gauge(card: &Card) -> Option<Finding> {
    let CoveringKind::Strip(strip) = &card.covering else { return None };
    let used = strip.largest_gauge();
    (strip.gauge > used + tolerance::SMALLEST).then_some(Finding::GaugeTooLarge {
        gauge: strip.gauge,
        cutout: strip.cutout,
        head_lap: strip.head_lap,
        used,
    })
}

/// Slopes whose water runs down against a wall.
fn against_walls(roof: &Roof, drainage: &Drainage) -> Option<Finding> {
    let is_wall = |outlet: &Outlet| match outlet {
        Outlet::Edge(edge) | Outlet::Pond(edge) => roof.edges[edge.index()].kind == EdgeKind::Abutment,
        Outlet::Level(_) => false,
    };
    let mut faces = Vec::new();
    let mut area = 0.0;
    for catchment in drainage.catchments.iter().filter(|catchment| is_wall(&catchment.outlet)) {
        area += catchment.plan_area().0;
        if !faces.contains(&catchment.face) {
            faces.push(catchment.face);
        }
    }
    (area > LEAST_AGAINST).then_some(Finding::DrainsAgainstWall { faces, area })
}

/// Less water than falls on this plan area is no matter, square metres: rounding where a slope runs along a wall.
const LEAST_AGAINST: f64 = 0.01;

/// Eaves that are not quite level and are laid so.
fn eaves_laid_level(faces: &[CoveredFace]) -> Option<Finding> {
    let mut eaves = Vec::new();
    for face in faces {
        let reaches = || face.edges.iter().filter(|edge| edge.kind == EdgeKind::Eave).flat_map(|edge| edge.reach);
        let (least, most) = (reaches().fold(f64::INFINITY, f64::min), reaches().fold(f64::NEG_INFINITY, f64::max));
        if most - least >= TOLD_FROM {
            let (least, most) = (rounded(least), rounded(most));
            eaves.push(UnevenEave { face: face.id, by: rounded(most - least), least, most });
        }
    }
    (!eaves.is_empty()).then_some(Finding::EavesLaidLevel { eaves })
}

/// An eave is told to be out of level from here on: half a millimetre, the least that is told.
const TOLD_FROM: f64 = 0.0005;

fn courses_apart(roof: &Roof, faces: &[CoveredFace], laid: &Laid) -> Option<Finding> {
    let index_of = |id| faces.iter().position(|face| face.id == id);
    let mut pairs = Vec::new();
    for edge in roof.edges.iter().filter(|edge| edge.kind == EdgeKind::Hip) {
        let [Some(a), Some(b)] = [0, 1].map(|side| edge.faces.get(side).and_then(|&id| index_of(id))) else { continue };
        let gauge = |index: usize| laid.layouts.get(index).map_or(0.0, |layout| layout.gauge);
        let rise = |index: usize| gauge(index) * faces[index].pitch.sin();
        let level = (faces[a].frame.origin.z - faces[b].frame.origin.z).abs() < tolerance::SMALLEST;
        let unlike = (rise(a) - rise(b)).abs() > tolerance::SMALLEST;
        if unlike || !level {
            pairs.push([faces[a].id, faces[b].id]);
        }
    }
    (!pairs.is_empty()).then_some(Finding::CoursesDoNotMeet { pairs })
}
