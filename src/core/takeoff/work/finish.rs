//! Steps after the courses: openings, walls, top edges, caps, gutters, clearing up, the last look.

use super::ground::metal;
use super::site::Site;
use super::site::cutting;
use super::{Along, Caution, Kind, Opened, Step, Task};
use crate::base::tolerance;
use crate::roof::EdgeKind;
use crate::roof::analysis::opening::CutOpening;
use crate::takeoff::caps::CapRun;
use crate::takeoff::card::CoveringKind;
use crate::takeoff::covering::margins;
use crate::takeoff::goods::Held;
use crate::takeoff::item::{Detail, Item};
use crate::takeoff::layout::FaceLayout;
use crate::takeoff::{flashing, rain};

/// Nails of a cap from its sides, and so far above what shows of it (common practice, no source).
const CAP_NAIL: f64 = 0.025;

pub(super) fn steps(site: &Site<'_>) -> Vec<Step> {
    let mut steps: Vec<Step> = site.input.openings.iter().filter_map(|opening| self::opening(site, opening)).collect();
    // Of sheets it covers the outer ribs.
    let verge = site.card().verge_strip.as_ref().filter(|_| site.kind() == Kind::Sheet);
    steps.extend(metal(site, EdgeKind::Verge, &Item::VergeStrip, verge, Task::VergeCover));
    steps.extend(walls(site));
    // Of a felt roof it lies between the layers, as along verges.
    let top = site.card().verge_strip.as_ref().filter(|_| !site.is_felt());
    steps.extend(metal(site, EdgeKind::Top, &Item::TopStrip, top, Task::TopEdges));
    steps.extend(vents(site));
    let mut caps = caps(site);
    caps.iter_mut().skip(1).for_each(|step| step.again = true);
    steps.extend(caps);
    steps.extend(gutters(site));
    steps.push(last(site, Task::ClearUp, vec![Caution::OpenEdge, Caution::FallingRubble]));
    steps.push(last(site, Task::Check, vec![Caution::OpenEdge]));
    steps
}

/// An opening: the apron before the courses at its sides, a step piece with each of them, the back piece above.
fn opening(site: &Site<'_>, opening: &CutOpening) -> Option<Step> {
    let flashings = site.on_order(&[Item::OpeningFlashing, Item::StepFlashing]);
    let layout = site.answer.layouts.iter().find(|layout| layout.face == opening.face)?;
    let face = site.faces.iter().find(|face| face.id == opening.face)?;
    if flashings.is_empty() || layout.courses.is_empty() {
        return None;
    }
    let counted = flashing::at_opening(face, opening);
    let [low, high] = counted.height;
    let past = margins(site.card());
    let saddle = counted.has_saddle.then_some(Item::Saddle);
    let gauge = Some(layout.gauge).filter(|_| !matches!(site.card().covering, CoveringKind::Sheet(_)));
    let opened = Opened {
        what: opening.kind.clone(),
        clear: past.opening,
        apron_course: apron_course(layout, low),
        past_side: flashing::PAST_SIDE,
        steps: crossing(layout, [low, high]),
        step_count: flashing::steps([low, high], gauge, past.eave),
        step_length: gauge.map_or(0.0, |gauge| gauge + flashing::STEP_LAP),
        back_course: (!counted.at_ridge)
            .then(|| layout.courses.iter().position(|course| course.butt_v > high - tolerance::SMALLEST))
            .flatten()
            .map(|index| index + 1),
        saddle: counted.has_saddle,
    };
    let mut uses = flashings;
    uses.extend(saddle.map(|item| site.on_order(&[item])).unwrap_or_default());
    let mut cautions = vec![Caution::MetalEdges, Caution::Lead];
    cautions.extend(cutting(site));
    if opening.is_glass() {
        cautions.insert(0, Caution::Fragile);
    }
    Some(Step {
        task: Task::Opening(opened),
        uses,
        faces: vec![opening.face],
        edges: Vec::new(),
        cautions,
        again: false,
    })
}

/// The course that the apron of an opening lies over, which begins so far up the slope.
fn apron_course(layout: &FaceLayout, low: f64) -> usize {
    course_at(layout, |butt| butt < low - tolerance::SMALLEST).unwrap_or(1)
}

/// Courses of a face over which aprons of openings come, the lowest first; none where no metal for them is on the order.
pub(super) fn aprons(site: &Site<'_>, layout: &FaceLayout) -> Vec<usize> {
    let face = site.faces.iter().find(|face| face.id == layout.face);
    if site.on_order(&[Item::OpeningFlashing, Item::StepFlashing]).is_empty() || layout.courses.is_empty() {
        return Vec::new();
    }
    let here = site.input.openings.iter().filter(|opening| opening.face == layout.face);
    let low = |opening: &CutOpening| face.map(|face| flashing::at_opening(face, opening).height[0]);
    let mut courses: Vec<usize> = here.filter_map(low).map(|low| apron_course(layout, low)).collect();
    courses.sort_unstable();
    courses.dedup();
    courses
}

/// The last course, counted from 1, whose butt fits.
fn course_at(layout: &FaceLayout, fits: impl Fn(f64) -> bool) -> Option<usize> {
    layout.courses.iter().rposition(|course| fits(course.butt_v)).map(|index| index + 1)
}

/// First and last course, counted from 1, that show beside an opening between two heights.
fn crossing(layout: &FaceLayout, [low, high]: [f64; 2]) -> [usize; 2] {
    let shows = |butt: f64| butt < high - tolerance::SMALLEST && butt + layout.gauge > low + tolerance::SMALLEST;
    let crossing: Vec<usize> = layout
        .courses
        .iter()
        .enumerate()
        .filter(|(_, course)| shows(course.butt_v))
        .map(|(index, _)| index + 1)
        .collect();
    [crossing.first().copied().unwrap_or(1), crossing.last().copied().unwrap_or(1)]
}

fn walls(site: &Site<'_>) -> Option<Step> {
    let edges = site.edges(EdgeKind::Abutment);
    if edges.is_empty() {
        return None;
    }
    let metal = site.answer.lines.iter().find(|line| line.item == Item::WallFlashing);
    let rakes =
        site.faces.iter().flat_map(|face| &face.edges).any(|edge| edge.kind == EdgeKind::Abutment && !edge.is_level);
    let mut all = site.on_order(&[Item::WallFlashing]);
    let stock = site.card().abutment_flashing.as_ref()?;
    let counted = |wanted: Item| site.answer.lines.iter().find(|line| line.item == wanted);
    let step = counted(Item::StepFlashing).filter(|_| rakes).and_then(|line| match line.detail {
        Some(Detail::StepPieces { least }) => Some(least),
        _ => None,
    });
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let kick_outs = counted(Item::KickOut).and_then(|line| line.quantity.value()).unwrap_or(0.0) as u32;
    all.extend(step.map(|_| Item::StepFlashing));
    all.extend((kick_outs > 0).then_some(Item::KickOut));
    if all.is_empty() {
        return None;
    }
    let length = metal.and_then(|line| line.quantity.value());
    let piece = site.stock_length(&Item::WallFlashing, stock.piece);
    let along = length.map(|length| Along { length, piece, lap: stock.lap, underlay: site.has_underlay() });
    Some(Step {
        task: Task::Walls { along, upstand: stock.upstand, cover: stock.cover, step, kick_outs },
        uses: all,
        faces: site.faces_at(&edges),
        edges,
        cautions: vec![Caution::OpenEdge, Caution::MetalEdges, Caution::Lead],
        again: false,
    })
}

/// Lines of caps that run alike together: hips before ridges.
fn caps(site: &Site<'_>) -> Vec<Step> {
    let mut uses = site.on_order(&[Item::Caps]);
    if !uses.is_empty() {
        uses.extend(site.on_order(&[Item::Holds(Held::Caps)]));
    }
    let has_own = uses.len() > 1;
    let Some(card) = site.card().caps.as_ref().filter(|_| !uses.is_empty()) else { return Vec::new() };
    let (from_strips, warm_below) = match (&site.card().covering, card.per_strip) {
        (CoveringKind::Strip(strip), Some(_)) => (Some(strip.tab), strip.bend_above),
        _ => (None, None),
    };
    let holds = |item: &Item| {
        (!has_own && matches!(item, Item::Fixings(_)))
            || *item == Item::Adhesive
            || (from_strips.is_some() && *item == Item::Strips)
    };
    uses.extend(site.covering_items().into_iter().filter(holds));
    let mut cautions = vec![Caution::OpenEdge];
    cautions.extend(warm_below.map(|_| Caution::Flame));
    cautions.extend(site.card().adhesive.as_ref().map(|_| Caution::Solvent));
    cautions.extend(from_strips.map(|_| Caution::Blades));
    cautions.push(Caution::Nailing);
    let mut steps: Vec<Step> = Vec::new();
    let mut runs: Vec<&CapRun> = site.answer.caps.iter().collect();
    runs.sort_by_key(|run| run.kind == EdgeKind::Ridge);
    for run in runs {
        let same = steps
            .iter_mut()
            .find(|step| matches!(&step.task, Task::Caps { kind, why, .. } if *kind == run.kind && *why == run.why));
        match same {
            Some(step) => {
                if let Task::Caps { count, .. } = &mut step.task {
                    *count += run.caps;
                }
                step.edges.extend(&run.edges);
                step.faces = site.faces_at(&step.edges);
            }
            None => steps.push(Step {
                task: Task::Caps {
                    kind: run.kind,
                    why: run.why,
                    count: run.caps,
                    exposure: run.exposure,
                    nails: from_strips.map(|_| [run.exposure + CAP_NAIL, CAP_NAIL]),
                    from_strips,
                    warm_below,
                },
                uses: uses.clone(),
                faces: site.faces_at(&run.edges),
                edges: run.edges.clone(),
                cautions: cautions.clone(),
                again: false,
            }),
        }
    }
    steps
}

fn gutters(site: &Site<'_>) -> Option<Step> {
    let uses = site.on_order(&[
        Item::Gutter,
        Item::GutterBracket,
        Item::GutterCorner,
        Item::StopEnd,
        Item::GutterOutlet,
        Item::Downpipe,
        Item::PipeBend,
        Item::PipeClip,
    ]);
    let goods = site.card().rain_goods.as_ref().filter(|_| !uses.is_empty())?;
    let runs = rain::runs(site.input.roof, site.input.drainage);
    let edges: Vec<_> = runs.iter().flat_map(|run| &run.stretches).flat_map(|stretch| stretch.edges.clone()).collect();
    let outlets = runs.iter().map(|run| run.outlets(goods.outlet_drains)).sum();
    Some(Step {
        task: Task::Gutters { length: site.length(&edges), outlets, brackets: goods.bracket_spacing },
        uses,
        faces: site.faces_at(&edges),
        edges,
        cautions: vec![Caution::OpenEdge, Caution::LADDER],
        again: false,
    })
}

/// Vents high up, before the caps close the ridge.
fn vents(site: &Site<'_>) -> Option<Step> {
    let uses = site.on_order(&[Item::HighVent]);
    (!uses.is_empty()).then(|| Step {
        task: Task::Vents { count: site.count(&Item::HighVent) },
        uses,
        faces: site.all_faces(),
        edges: Vec::new(),
        cautions: vec![Caution::OpenEdge],
        again: false,
    })
}

fn last(site: &Site<'_>, task: Task, cautions: Vec<Caution>) -> Step {
    Step { task, uses: Vec::new(), faces: site.all_faces(), edges: Vec::new(), cautions, again: false }
}
