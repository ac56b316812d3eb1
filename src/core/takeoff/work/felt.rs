//! Steps of a felt roof: base layer, metal along its edges, cap sheet, collars round openings.

use super::site::Site;
use super::{Along, Caution, Step, Task};
use crate::roof::EdgeKind;
use crate::roof::analysis::opening::CutOpening;
use crate::takeoff::card::{CoveringKind, Direction, Felt};
use crate::takeoff::felt::Layer;
use crate::takeoff::fixings::nail_rule;
use crate::takeoff::goods::EdgeStrip;
use crate::takeoff::item::{Fixing, Item};
use crate::takeoff::work::Collar;
use crate::takeoff::work::FeltEdges;
use crate::takeoff::work::FeltLayer;

fn card<'a>(site: &Site<'a>) -> Option<&'a Felt> {
    match &site.input.covering.card.covering {
        CoveringKind::Felt(felt) => Some(felt),
        _ => None,
    }
}

/// The base layer and the metal on it; nothing where no felt is laid.
pub(super) fn ground(site: &Site<'_>) -> Vec<Step> {
    let Some(felt) = card(site) else { return Vec::new() };
    let mut steps: Vec<Step> = layer(site, felt, Layer::Base).into_iter().collect();
    steps.extend(edges(site));
    steps
}

/// The cap sheet and the collars; nothing where no felt is laid.
pub(super) fn covering(site: &Site<'_>) -> Vec<Step> {
    let Some(felt) = card(site) else { return Vec::new() };
    let mut steps: Vec<Step> = layer(site, felt, Layer::Cap).into_iter().collect();
    let openings = site.input.openings.iter().enumerate();
    steps.extend(openings.filter_map(|(index, opening)| collar(site, felt, index, opening)));
    steps
}

fn layer(site: &Site<'_>, felt: &Felt, layer: Layer) -> Option<Step> {
    let laid = &site.answer.felt;
    let laid = if layer == Layer::Base { &laid.base } else { &laid.cap };
    let has = |kind: EdgeKind| !site.edges(kind).is_empty();
    let goes_over = [EdgeKind::Ridge, EdgeKind::Hip, EdgeKind::Valley, EdgeKind::PitchBreak].into_iter().any(has);
    let (uses, cautions) = match layer {
        Layer::Base => (
            site.on_order(&[Item::BaseLayer, Item::Fixings(Fixing::FeltNails)]),
            vec![Caution::OpenEdge, Caution::SlipperyUnderlay, Caution::Load, Caution::Blades, Caution::Nailing],
        ),
        Layer::Cap => (
            site.on_order(&[Item::CapSheet(site.card().name.clone()), Item::Adhesive]),
            vec![Caution::OpenEdge, Caution::Solvent, Caution::Cold, Caution::Heat, Caution::Load, Caution::Blades],
        ),
    };
    if uses.is_empty() || laid.plans.is_empty() {
        return None;
    }
    let valleys = laid.strips.iter().find(|strip| strip.opening.is_none());
    let task = FeltLayer {
        layer,
        direction: felt.direction,
        width: felt.width,
        first: (layer == Layer::Base).then(|| first_width(site, felt)).flatten(),
        side_lap: felt.side_lap,
        end_lap: felt.end_lap,
        stagger: felt.stagger,
        over: goes_over.then_some(felt.over),
        upstand: has(EdgeKind::Abutment).then_some(felt.upstand),
        in_valleys: valleys.map(|strip| strip.width),
        past: (layer == Layer::Cap).then_some([felt.eave_projection, felt.verge_projection]),
        nails: if layer == Layer::Base { nails(site) } else { Vec::new() },
        adhesive: (layer == Layer::Cap).then_some(felt.adhesive),
    };
    Some(Step {
        task: Task::Felt(Box::new(task)),
        uses,
        faces: laid.plans.iter().map(|plan| plan.face).collect(),
        edges: Vec::new(),
        cautions,
        again: false,
    })
}

/// Width of the first strip as laid.
fn first_width(site: &Site<'_>, felt: &Felt) -> Option<f64> {
    let piece = site.answer.felt.base.plans.iter().find_map(|plan| plan.pieces.first())?;
    Some(match felt.direction {
        Direction::Across => piece.v[1] - piece.v[0],
        Direction::Up => piece.u[1] - piece.u[0],
    })
}

fn nails(site: &Site<'_>) -> Vec<f64> {
    let Some(nails) = &site.card().nails else { return Vec::new() };
    let exposure = site.input.covering.laying.exposure;
    let rules = site.faces.iter().filter_map(|face| nail_rule(nails, face.pitch, exposure));
    let mut each: Vec<f64> = rules.map(|rule| rule.per_piece).collect();
    each.sort_by(f64::total_cmp);
    each.dedup();
    each
}

fn edges(site: &Site<'_>) -> Option<Step> {
    let along = |kinds: &[EdgeKind], items: &[Item], strip: Option<&EdgeStrip>| {
        let (strip, edges) = (strip?, kinds.iter().flat_map(|kind| site.edges(*kind)).collect::<Vec<_>>());
        let uses = site.on_order(items);
        let piece = site.stock_length(uses.first()?, strip.piece);
        let metal = Along { length: site.length(&edges), piece, lap: strip.lap, underlay: site.has_underlay() };
        Some((metal, uses, edges))
    };
    let card = site.card();
    let eaves =
        along(&[EdgeKind::Eave, EdgeKind::PitchBreak], &[Item::EaveStrip, Item::BreakStrip], card.eave_strip.as_ref());
    let verges =
        along(&[EdgeKind::Verge, EdgeKind::Top], &[Item::VergeStrip, Item::TopStrip], card.verge_strip.as_ref());
    let parts: Vec<_> = [&eaves, &verges].into_iter().flatten().collect();
    if parts.is_empty() {
        return None;
    }
    let metal = parts.iter().flat_map(|(_, uses, _)| uses.clone());
    let uses: Vec<Item> = metal.chain(site.on_order(&[Item::Primer])).collect();
    let primed = uses.contains(&Item::Primer);
    let edges: Vec<_> = parts.iter().flat_map(|(.., edges)| edges.clone()).collect();
    let mut cautions = vec![Caution::OpenEdge, Caution::MetalEdges];
    cautions.extend(primed.then_some(Caution::Solvent));
    Some(Step {
        task: Task::FeltEdges(FeltEdges {
            eaves: eaves.map(|(metal, ..)| metal),
            verges: verges.map(|(metal, ..)| metal),
            primed,
        }),
        uses,
        faces: site.faces_at(&edges),
        edges,
        cautions,
        again: false,
    })
}

fn collar(site: &Site<'_>, felt: &Felt, index: usize, opening: &CutOpening) -> Option<Step> {
    let strips: Vec<_> = site.answer.felt.cap.strips.iter().filter(|strip| strip.opening == Some(index)).collect();
    let width = strips.first()?.width;
    let lengths = strips.iter().map(|strip| strip.length).collect();
    let what = opening.kind.clone();
    let mut cautions: Vec<Caution> = opening.is_glass().then_some(Caution::Fragile).into_iter().collect();
    cautions.extend([Caution::OpenEdge, Caution::Solvent, Caution::Blades]);
    Some(Step {
        task: Task::Collar(Collar { what, upstand: felt.upstand, width, lengths }),
        uses: site.on_order(&[Item::CapSheet(site.card().name.clone()), Item::Adhesive]),
        faces: vec![opening.face],
        edges: Vec::new(),
        cautions,
        again: false,
    })
}
