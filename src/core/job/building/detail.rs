//! Details of eaves, verges, ridges and valleys: what lies there in order, and how far what reaches. Only what the roof file or
//! the card states; metres, angles radians.

use super::model::{Detail, Layer, LayerOf, Measure};
use crate::base::ids::{EdgeId, FaceId};
use crate::base::order::SortByNumber as _;
use crate::base::tolerance::{BESIDE, ROUNDING};
use crate::framing::Framing;
use crate::framing::timber::{Home, Timber, TimberKind};
use crate::job::building::model::Overhang;
use crate::job::model::Job;
use crate::roof::{Edge, EdgeKind, Face, FaceKind, Roof};
use crate::takeoff::card::{Card, CoveringKind};
use crate::takeoff::covering::margins;
use crate::takeoff::goods::DeckKind;
use crate::takeoff::model::ValleyMethod;
use nalgebra::{Vector2, Vector3};

/// Slopes nearer than this are drawn as one, radians: a twentieth of a degree.
const ONE_SLOPE: f64 = 0.05 * std::f64::consts::PI / 180.0;

/// What details are made from.
struct Sources<'a> {
    job: &'a Job,
    roof: &'a Roof,
    framing: &'a Framing,
    overhangs: &'a [Overhang],
}

/// A detail of every kind of edge that the roof has, those of which nothing differs together: eaves, verges, ridges, valleys, in
/// this order. O(edges · (details + timbers)).
pub(super) fn details(job: &Job, roof: &Roof, framing: &Framing, overhangs: &[Overhang]) -> Vec<Detail> {
    let sources = Sources { job, roof, framing, overhangs };
    let mut details: Vec<Detail> = Vec::new();
    for kind in [EdgeKind::Eave, EdgeKind::Verge, EdgeKind::Ridge, EdgeKind::Valley] {
        for (index, edge) in roof.edges.iter().enumerate().filter(|(_, edge)| edge.kind == kind) {
            let Some(detail) = sources.detail(EdgeId::new(index), edge) else { continue };
            match details.iter_mut().find(|other| is_alike(other, &detail)) {
                Some(other) => other.edges.extend(detail.edges),
                None => details.push(detail),
            }
        }
    }
    details
}

fn is_alike(one: &Detail, other: &Detail) -> bool {
    let near = |a: &[f64], b: &[f64], by: f64| a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a - b).abs() <= by);
    let lengths = |of: &Detail| of.lengths.iter().map(|(_, length)| *length).collect::<Vec<f64>>();
    let measures = |of: &Detail| of.lengths.iter().map(|(measure, _)| *measure).collect::<Vec<Measure>>();
    one.of == other.of
        && one.layers == other.layers
        && measures(one) == measures(other)
        && near(&one.pitches, &other.pitches, ONE_SLOPE)
        && near(&one.slopes, &other.slopes, ONE_SLOPE)
        && near(&lengths(one), &lengths(other), BESIDE)
}

impl Sources<'_> {
    fn detail(&self, id: EdgeId, edge: &Edge) -> Option<Detail> {
        let roof = self.roof;
        let mut beside: Vec<FaceId> = edge.faces.to_vec();
        beside.retain(|face| roof.faces[face.index()].kind == FaceKind::Roof);
        // The flatter one first, so that both hands of a fold are one detail.
        beside.sort_by_number(|a| self.pitch(*a));
        let first = *beside.first()?;
        let folds = matches!(edge.kind, EdgeKind::Ridge | EdgeKind::Valley);
        if folds && beside.len() < 2 {
            return None;
        }
        let card = &self.job.covering_of(&roof.faces[first.index()]).card;
        let mut lengths = Vec::new();
        match edge.kind {
            EdgeKind::Eave => self.at_eave(id, first, card, &mut lengths),
            EdgeKind::Verge => self.at_verge(id, card, &mut lengths),
            EdgeKind::Ridge => self.at_ridge(id, card, &mut lengths),
            _ => self.at_valley(id, first, card, &mut lengths),
        }
        Some(Detail {
            of: edge.kind,
            edges: vec![id],
            pitches: beside.iter().map(|face| self.pitch(*face)).collect(),
            slopes: self.slopes(edge, &beside),
            layers: self.layers(card, edge.kind),
            lengths: lengths.into_iter().filter(|(_, length): &(Measure, f64)| *length > 0.0).collect(),
        })
    }

    fn pitch(&self, face: FaceId) -> f64 {
        self.roof.faces[face.index()].plane.pitch()
    }

    /// The slopes as a plumb cut square to the edge shows them, away from it: up from an eave, down from a ridge. A verge is cut
    /// along its eave, so that the slope shows level there.
    fn slopes(&self, edge: &Edge, beside: &[FaceId]) -> Vec<f64> {
        if edge.kind == EdgeKind::Verge {
            return vec![0.0];
        }
        let along = (self.roof.at(edge.to) - self.roof.at(edge.from)).xy();
        let Some(along) = along.try_normalize(f64::MIN_POSITIVE) else { return vec![0.0; beside.len()] };
        let across = Vector2::new(-along.y, along.x);
        let slope = |face: &FaceId| {
            let face = &self.roof.faces[face.index()];
            let fall = face.plane.downslope().map_or(0.0, |down| down.dot(&across).abs());
            (face.plane.pitch().tan() * fall).atan()
        };
        beside.iter().map(slope).collect()
    }

    /// What lies on the rafters from the covering down, and the rafter.
    fn layers(&self, card: &Card, at: EdgeKind) -> Vec<Layer> {
        let mut layers = Vec::new();
        let mut add = |of: LayerOf, thickness: Option<f64>| layers.push(Layer { of, thickness, width: None });
        if at == EdgeKind::Ridge && card.caps.is_some() {
            add(LayerOf::Caps, None);
        }
        match &card.covering {
            CoveringKind::Felt(felt) => {
                add(LayerOf::CapSheet, felt.cap_thickness);
                add(LayerOf::BaseLayer, felt.base_thickness);
            }
            CoveringKind::Strip(strip) => {
                add(LayerOf::Shingles, as_laid(strip.thickness, strip.height, strip.gauge));
            }
            CoveringKind::Unit(unit) => add(LayerOf::Units, as_laid(unit.thickness, unit.height, unit.gauge)),
            CoveringKind::Sheet(sheet) => add(LayerOf::Sheets, sheet.thickness),
        }
        if at == EdgeKind::Valley && self.open_lining(card).is_some() {
            add(LayerOf::ValleyLining, None);
        }
        let has_battens = card.deck.as_ref().is_some_and(|deck| deck.kind == DeckKind::Battens);
        if let Some(deck) = card.deck.as_ref().filter(|_| has_battens) {
            add(LayerOf::Battens, Some(deck.thickness));
        }
        if let Some(battens) = &card.counter_battens {
            add(LayerOf::CounterBattens, Some(battens.thickness));
        }
        if card.underlay.is_some() {
            add(LayerOf::Underlay, None);
        }
        if let Some(deck) = card.deck.as_ref().filter(|_| !has_battens) {
            add(LayerOf::Deck, Some(deck.thickness));
        }
        let sections = self.job.framing.as_ref().map(|framing| framing.sections);
        // A verge is cut along its eave, between rafters or through them as they come.
        let rafter = sections.and_then(|sections| sections.rafter).filter(|_| at != EdgeKind::Verge);
        if let Some(rafter) = rafter {
            layers.push(Layer { of: LayerOf::Rafter, thickness: Some(rafter.depth), width: Some(rafter.thickness) });
        }
        layers
    }

    fn at_eave(&self, id: EdgeId, face: FaceId, card: &Card, lengths: &mut Vec<(Measure, f64)>) {
        self.boards(id, lengths);
        lengths.push((Measure::CoveringPast, margins(card).eave));
        let Some(spec) = &self.job.framing else { return };
        if let Some(plate) = spec.sections.plate {
            lengths.extend([(Measure::PlateWidth, plate.thickness), (Measure::PlateDepth, plate.depth)]);
        }
        lengths.extend(spec.wall.map(|wall| (Measure::Wall, wall)));
        lengths.extend(spec.sections.fascia.and(spec.soffit).map(|soffit| (Measure::Soffit, soffit)));
        let on_face = |timber: &&Timber| {
            timber.home == Home::Face(face) && matches!(timber.kind, TimberKind::Rafter | TimberKind::Jack)
        };
        let timbers = self.framing.timbers.iter().flat_map(|timbers| &timbers.all);
        if let Some(seat) = timbers.filter(on_face).find_map(|timber| timber.seat) {
            lengths.extend([(Measure::Heel, seat.heel), (Measure::Seat, seat.seat), (Measure::Notch, seat.notch)]);
        }
    }

    fn at_verge(&self, id: EdgeId, card: &Card, lengths: &mut Vec<(Measure, f64)>) {
        self.boards(id, lengths);
        lengths.push((Measure::CoveringPast, margins(card).verge));
    }

    /// The overhang, and the boards that close it.
    fn boards(&self, id: EdgeId, lengths: &mut Vec<(Measure, f64)>) {
        let overhang = self.overhangs.iter().find(|of| of.edge == id);
        lengths.extend(overhang.map(|of| (Measure::Overhang, of.reach)));
        let Some(spec) = &self.job.framing else { return };
        if let Some(fascia) = spec.sections.fascia {
            lengths.extend([
                (Measure::PastFascia, spec.projection),
                (Measure::FasciaThickness, fascia.thickness),
                (Measure::FasciaDepth, fascia.depth),
            ]);
        }
    }

    fn at_ridge(&self, id: EdgeId, card: &Card, lengths: &mut Vec<(Measure, f64)>) {
        lengths.extend(card.caps.as_ref().map(|caps| (Measure::CapCover, caps.half_cover)));
        lengths.extend(card.underlay.as_ref().map(|underlay| (Measure::UnderlayOver, underlay.over)));
        self.fold(id, TimberKind::Ridge, lengths);
    }

    fn at_valley(&self, id: EdgeId, first: FaceId, card: &Card, lengths: &mut Vec<(Measure, f64)>) {
        if let Some((width, clear)) = self.open_lining(card) {
            lengths.extend([(Measure::LiningWidth, width), (Measure::ValleyClear, clear)]);
            lengths.push((Measure::ReachAcross, self.reach_across(id, first)));
        }
        self.fold(id, TimberKind::Valley, lengths);
    }

    /// The timber under a fold, where its section is stated.
    fn fold(&self, id: EdgeId, kind: TimberKind, lengths: &mut Vec<(Measure, f64)>) {
        let Some(spec) = &self.job.framing else { return };
        let sections = &spec.sections;
        let section = if kind == TimberKind::Ridge { sections.ridge } else { sections.valley.or(sections.rafter) };
        let Some(section) = section else { return };
        let timbers = self.framing.timbers.iter().flat_map(|timbers| &timbers.all);
        let found = timbers.filter(|timber| timber.kind == kind).find(|timber| timber.home == Home::Edge(id));
        lengths.extend([(Measure::FoldThickness, section.thickness), (Measure::FoldDepth, section.depth)]);
        lengths.extend(found.map(|timber| (Measure::Lowered, timber.lowered)));
    }

    /// The width of the lining of an open valley, and half its clear width at the head.
    fn open_lining(&self, card: &Card) -> Option<(f64, f64)> {
        let is_open = self.job.covering.laying.valley == ValleyMethod::Open;
        card.valley_lining.as_ref().filter(|_| is_open).map(|lining| (lining.width, lining.clear))
    }

    /// How much of a metre square to a valley in its face a plumb cut square to it in plan shows level, metres.
    fn reach_across(&self, id: EdgeId, face: FaceId) -> f64 {
        let edge = &self.roof.edges[id.index()];
        let face: &Face = &self.roof.faces[face.index()];
        let Some(along) = (self.roof.at(edge.to) - self.roof.at(edge.from)).try_normalize(f64::MIN_POSITIVE) else {
            return 1.0;
        };
        let normal = face.plane.normal;
        let plan = along.xy().try_normalize(f64::MIN_POSITIVE).unwrap_or_default();
        // A level metre square to the valley in plan, raised into the face: what of it is square to the valley.
        let across = Vector2::new(-plan.y, plan.x);
        let raised = Vector3::new(across.x, across.y, -(normal.x * across.x + normal.y * across.y) / normal.z);
        1.0 / raised.cross(&along).norm()
    }
}

/// How thick a covering of pieces lies at most: as many as lie over each other where a course is lapped, each so thick.
fn as_laid(thickness: Option<f64>, height: f64, gauge: f64) -> Option<f64> {
    let over_each_other = (height / gauge - ROUNDING).ceil();
    thickness.map(|thickness| thickness * over_each_other)
}
