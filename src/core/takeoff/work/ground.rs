//! Steps before the covering: making safe, stripping, deck, metal, underlay, valley lining.

use super::site::Site;
use super::{Along, Caution, Kind, Step, Task};
use crate::roof::EdgeKind;
use crate::takeoff::card::CoveringKind;
use crate::takeoff::deck::first_batten;
use crate::takeoff::goods::Held;
use crate::takeoff::goods::{Deck, DeckKind, EdgeStrip};
use crate::takeoff::item::Item;
use crate::takeoff::pieces::PiecePlan;

/// Between deck sheets (common practice, no source).
const SHEET_GAP: f64 = 0.003;

pub(super) fn steps(site: &Site<'_>) -> Vec<Step> {
    let mut steps = vec![prepare(site)];
    steps.extend(strip(site));
    steps.extend(timbers(site));
    steps.extend(mend(site));
    // A closed deck lies under the underlay, battens on it.
    let (deck, battens): (Vec<Step>, Vec<Step>) =
        deck(site).into_iter().partition(|step| !matches!(step.task, Task::Deck { kind: DeckKind::Battens, .. }));
    steps.extend(deck);
    steps.extend(boards(site));
    if site.is_felt() {
        steps.extend(underlay(site));
        steps.extend(super::felt::ground(site));
        return steps;
    }
    steps.extend(metal(site, EdgeKind::Eave, &Item::EaveStrip, site.card().eave_strip.as_ref(), Task::EaveMetal));
    steps.extend(underlay(site));
    steps.extend(counter_battens(site));
    steps.extend(battens);
    // Of sheets it comes over them.
    let verge = site.card().verge_strip.as_ref().filter(|_| site.kind() != Kind::Sheet);
    steps.extend(metal(site, EdgeKind::Verge, &Item::VergeStrip, verge, Task::VergeMetal));
    steps.extend(valley(site));
    steps
}

fn prepare(site: &Site<'_>) -> Step {
    Step {
        task: Task::Prepare { load: site.answer.weight_on_deck().value().unwrap_or(0.0) },
        uses: Vec::new(),
        faces: site.all_faces(),
        edges: Vec::new(),
        cautions: vec![
            Caution::FALL,
            Caution::LADDER,
            Caution::Weather,
            Caution::Fragile,
            Caution::Load,
            Caution::Structure,
        ],
        again: false,
    }
}

fn strip(site: &Site<'_>) -> Option<Step> {
    let old = site.answer.old_roof.as_ref().filter(|old| old.layers > 0)?;
    let asbestos = old.asbestos_possible.then_some(Caution::Asbestos);
    Some(Step {
        task: Task::Strip {
            what: old.kind.clone(),
            stays: old.stays.clone(),
            layers: old.layers,
            area: old.area,
            weight: old.weight,
            skip: old.skip_volume,
        },
        uses: Vec::new(),
        faces: site.all_faces(),
        edges: Vec::new(),
        cautions: [Caution::OpenEdge].into_iter().chain(asbestos).chain([Caution::FallingRubble]).collect(),
        again: false,
    })
}

fn mend(site: &Site<'_>) -> Option<Step> {
    let old = site.answer.old_roof.as_ref()?;
    // A deck that is renewed all over is laid as a new one.
    let kind = site.card().deck.as_ref().map(|deck| deck.kind).filter(|kind| *kind != DeckKind::Battens);
    if !site.answer.deck_plans.is_empty() && kind.is_some() {
        return None;
    }
    Some(Step {
        task: Task::MendDeck { renew: old.deck_to_renew },
        uses: kind.map(|kind| site.on_order(&[Item::Deck(kind), Item::Holds(Held::Deck)])).unwrap_or_default(),
        faces: site.all_faces(),
        edges: Vec::new(),
        cautions: vec![Caution::OpenEdge, Caution::Fragile, Caution::Structure],
        again: false,
    })
}

/// One step; battens under pieces of their own gauge one for each gauge.
fn deck(site: &Site<'_>) -> Vec<Step> {
    let Some(stock) = &site.card().deck else { return Vec::new() };
    let uses = site.on_order(&[Item::Deck(stock.kind), Item::Holds(Held::Deck)]);
    if uses.is_empty() || site.answer.deck_plans.is_empty() {
        return Vec::new();
    }
    let step = |rows: Option<(f64, Option<f64>)>, faces| Step {
        task: task(stock, rows),
        uses: uses.clone(),
        faces,
        edges: Vec::new(),
        cautions: vec![Caution::OpenEdge, Caution::Nailing],
        again: false,
    };
    if stock.kind != DeckKind::Battens {
        return vec![step(None, site.all_faces())];
    }
    let mut gauges: Vec<((f64, Option<f64>), Vec<_>)> = Vec::new();
    for plan in &site.answer.deck_plans {
        let rows = batten_rows(site, plan);
        let near = |a: f64, b: f64| (a - b).abs() < super::step::ALIKE;
        let alike = |other: (f64, Option<f64>)| match (other.1, rows.1) {
            (Some(a), Some(b)) => near(a, b) && near(other.0, rows.0),
            (a, b) => a.is_none() && b.is_none() && near(other.0, rows.0),
        };
        match gauges.iter_mut().find(|(other, _)| alike(*other)) {
            Some((_, faces)) => faces.push(plan.face),
            None => gauges.push((rows, vec![plan.face])),
        }
    }
    gauges.into_iter().map(|(rows, faces)| step(Some(rows), faces)).collect()
}

/// From one batten to the next, and the upper edge of the lowest that tiles hang on.
fn batten_rows(site: &Site<'_>, plan: &PiecePlan) -> (f64, Option<f64>) {
    let layout = site.answer.layouts.iter().find(|layout| layout.face == plan.face);
    let first = match &site.card().covering {
        CoveringKind::Unit(unit) => layout.and_then(|layout| first_batten(unit, layout)),
        CoveringKind::Strip(_) | CoveringKind::Sheet(_) | CoveringKind::Felt(_) => None,
    };
    if let (Some(layout), Some(_)) = (layout, first) {
        return (layout.gauge, first);
    }
    // From one batten to the next as they were laid out; a face of one batten has none.
    let rows = plan.rows();
    let usual = site.card().deck.as_ref().map_or(0.0, |stock| stock.spacing);
    (rows.windows(2).map(|pair| pair[1] - pair[0]).next().unwrap_or(usual), None)
}

fn task(stock: &Deck, rows: Option<(f64, Option<f64>)>) -> Task {
    Task::Deck {
        kind: stock.kind,
        thickness: stock.thickness,
        spacing: stock.spacing,
        gap: (stock.kind == DeckKind::Sheets).then_some(SHEET_GAP),
        gauge: rows.map(|(gauge, _)| gauge),
        first: rows.and_then(|(_, first)| first),
    }
}

/// Timbers, before anything lies on them.
fn timbers(site: &Site<'_>) -> Option<Step> {
    let ordered = site.answer.lines.iter().filter(|line| matches!(line.item, Item::Timber(_)));
    let items: Vec<Item> = ordered.map(|line| line.item.clone()).collect();
    let uses = site.on_order(&items);
    (!uses.is_empty()).then(|| Step {
        task: Task::Timbers { pieces: site.input.timbers.iter().map(|need| need.pieces).sum() },
        uses,
        faces: site.all_faces(),
        edges: Vec::new(),
        cautions: vec![Caution::Structure, Caution::OpenEdge, Caution::Nailing],
        again: false,
    })
}

/// Battens up the slope, over the underlay.
fn counter_battens(site: &Site<'_>) -> Option<Step> {
    let uses = site.on_order(&[Item::CounterBatten, Item::Holds(Held::CounterBattens)]);
    let (stock, deck) = (site.card().counter_battens.as_ref()?, site.card().deck.as_ref()?);
    (!uses.is_empty()).then(|| Step {
        task: Task::CounterBattens { width: stock.width, thickness: stock.thickness, spacing: deck.spacing },
        uses,
        faces: site.all_faces(),
        edges: Vec::new(),
        cautions: vec![Caution::OpenEdge, Caution::SlipperyUnderlay, Caution::Nailing],
        again: false,
    })
}

fn boards(site: &Site<'_>) -> Option<Step> {
    let uses = site.on_order(&[Item::FasciaBoard, Item::VergeBoard, Item::TopBoard, Item::Soffit, Item::EaveVent]);
    let edges = [EdgeKind::Eave, EdgeKind::Verge, EdgeKind::Top].map(|kind| site.edges(kind)).concat();
    (!uses.is_empty()).then(|| Step {
        task: Task::Boards { length: site.length(&edges), vents: site.count(&Item::EaveVent) },
        uses,
        faces: site.faces_at(&edges),
        edges,
        cautions: vec![Caution::OpenEdge],
        again: false,
    })
}

/// Metal along edges of a kind, where it is on the order.
pub(super) fn metal(
    site: &Site<'_>,
    kind: EdgeKind,
    item: &Item,
    strip: Option<&EdgeStrip>,
    task: impl Fn(Along) -> Task,
) -> Option<Step> {
    let mut uses = site.on_order(std::slice::from_ref(item));
    let strip = strip.filter(|_| !uses.is_empty())?;
    let piece = site.stock_length(item, strip.piece);
    uses.extend(site.on_order(&[Item::Holds(Held::Metal)]));
    let edges = site.edges(kind);
    Some(Step {
        task: task(Along { length: site.length(&edges), piece, lap: strip.lap, underlay: site.has_underlay() }),
        uses,
        faces: site.faces_at(&edges),
        edges,
        cautions: vec![Caution::OpenEdge, Caution::MetalEdges],
        again: false,
    })
}

/// One step for each head lap in use.
fn underlay(site: &Site<'_>) -> Vec<Step> {
    let uses = site.on_order(&[Item::Underlay, Item::IceBarrier, Item::Holds(Held::Underlay)]);
    let Some(card) = site.card().underlay.as_ref().filter(|_| !uses.is_empty()) else { return Vec::new() };
    let valleys = site.edges(EdgeKind::Valley);
    let mut steps: Vec<Step> = Vec::new();
    for plan in &site.answer.underlay_plans {
        let laps = plan.laps;
        let task = Task::Underlay {
            head_lap: laps.head,
            end_lap: laps.end,
            over: card.over,
            upstand: card.upstand,
            double: laps.double,
            over_metal: !site.is_felt() && !site.on_order(&[Item::EaveStrip]).is_empty(),
            in_valleys: !valleys.is_empty(),
            barrier: card.ice_inside.filter(|_| uses.contains(&Item::IceBarrier)),
        };
        match steps.iter_mut().find(|step| step.task == task) {
            Some(step) => step.faces.push(plan.face),
            None => steps.push(Step {
                task,
                uses: uses.clone(),
                faces: vec![plan.face],
                edges: Vec::new(),
                cautions: vec![Caution::OpenEdge, Caution::SlipperyUnderlay, Caution::Blades],
                again: false,
            }),
        }
    }
    steps
}

fn valley(site: &Site<'_>) -> Option<Step> {
    let uses = site.on_order(&[Item::ValleyLining]);
    let lining = site.card().valley_lining.as_ref().filter(|_| !uses.is_empty())?;
    let edges = site.edges(EdgeKind::Valley);
    let piece = site.stock_length(&Item::ValleyLining, lining.piece);
    let along = Along { length: site.length(&edges), piece, lap: lining.lap, underlay: site.has_underlay() };
    Some(Step {
        task: Task::ValleyLining { width: lining.width, along },
        uses,
        faces: site.faces_at(&edges),
        edges,
        cautions: vec![Caution::MetalEdges, Caution::Lead],
        again: false,
    })
}
