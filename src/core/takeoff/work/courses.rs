//! Steps of the covering: starter and courses of each group of faces that are laid alike, valleys as the courses reach
//! them, breaks between a lower and an upper slope.

use super::finish::aprons;
use super::ground::metal;
use super::site::Site;
use super::site::cutting;
use super::step::ALIKE;
use super::{Caution, Coursing, Kind, StarterBegins, Step, Task, Trim, TrimSide};
use crate::base::ids::FaceId;
use crate::roof::EdgeKind;
use crate::takeoff::card::{Card, CoveringKind, SheetGoods};
use crate::takeoff::covering::margins;
use crate::takeoff::details::Hand;
use crate::takeoff::details::{NO_NAIL_WITHIN, ValleySide};
use crate::takeoff::fixings::nail_rule;
use crate::takeoff::goods::LapByPitch;
use crate::takeoff::item::Item;
use crate::takeoff::layout::FaceLayout;
use crate::takeoff::outline::CoveredFace;
use crate::takeoff::rows::Row;

/// Dabs of adhesive (common practice, no source): as wide as a coin, for too much blisters.
const DAB: f64 = 0.025;

pub(super) fn steps(site: &Site<'_>) -> Vec<Step> {
    // A slope above a break that turns steeper downwards begins anew over it: what lies below is laid first.
    let (above, below): (Vec<&CoveredFace>, Vec<&CoveredFace>) = site
        .faces
        .iter()
        .partition(|face| face.edges.iter().any(|edge| edge.kind == EdgeKind::PitchBreak && edge.begins_anew));
    let mut steps = slope(site, &below);
    let eave_strip = site.card().eave_strip.as_ref().filter(|_| !site.is_felt());
    steps.extend(breaks(site, metal(site, EdgeKind::PitchBreak, &Item::BreakStrip, eave_strip, Task::Breaks)));
    steps.extend(slope(site, &above));
    for word in ["starter", "courses"] {
        let alike: Vec<usize> = (0..steps.len()).filter(|&index| steps[index].task.word() == word).collect();
        for pair in alike.windows(2) {
            steps[pair[1]].again = goes_on(&steps[pair[0]].task, &steps[pair[1]].task);
        }
    }
    steps.extend(verge_units(site));
    steps.extend(valleys(site));
    steps
}

/// Whether a step differs from the one before it in nothing but where its pieces begin and how many courses there are.
fn goes_on(before: &Task, after: &Task) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() < ALIKE;
    match (before, after) {
        (
            Task::Starter { height: a, projection: c, width: e, kind: one, .. },
            Task::Starter { height: b, projection: d, width: f, kind: other, .. },
        ) => one == other && near(*a, *b) && near(*c, *d) && near(*e, *f),
        (Task::Courses(a), Task::Courses(b)) => {
            let verge = match (a.verge, b.verge) {
                (Some(a), Some(b)) => near(a, b),
                (a, b) => a.is_none() && b.is_none(),
            };
            let same = (a.kind, a.layers, a.nails, a.clip) == (b.kind, b.layers, b.nails, b.clip);
            same && verge && near(a.gauge, b.gauge) && near(a.width, b.width) && near(a.projection, b.projection)
        }
        _ => false,
    }
}

/// Metal only at breaks that turn steeper downwards: those over which a face begins anew.
fn breaks(site: &Site<'_>, step: Option<Step>) -> Option<Step> {
    let mut step = step?;
    let anew = |id| {
        let mut edges = site.faces.iter().flat_map(|face| &face.edges);
        edges.any(|edge| edge.id == Some(id) && edge.begins_anew)
    };
    step.edges.retain(|&id| anew(id));
    step.faces = site.faces_at(&step.edges);
    if let Task::Breaks(along) = &mut step.task {
        along.length = site.length(&step.edges);
    }
    Some(step)
}

/// Pieces that close the verges, laid with the courses.
fn verge_units(site: &Site<'_>) -> Option<Step> {
    let uses = site.on_order(&[Item::VergeUnit]);
    let edges = site.edges(EdgeKind::Verge);
    (!uses.is_empty()).then(|| Step {
        task: Task::VergeUnits { count: site.count(&Item::VergeUnit) },
        uses,
        faces: site.faces_at(&edges),
        edges,
        cautions: vec![Caution::OpenEdge, Caution::StoneDust],
        again: false,
    })
}

/// Starter and courses of some faces.
fn slope(site: &Site<'_>, faces: &[&CoveredFace]) -> Vec<Step> {
    let laid: Vec<(&CoveredFace, &FaceLayout)> = faces
        .iter()
        .filter_map(|&face| Some((face, site.answer.layouts.iter().find(|layout| layout.face == face.id)?)))
        .filter(|(_, layout)| !layout.courses.is_empty())
        .collect();
    let mut starters: Vec<Step> = Vec::new();
    let mut courses: Vec<Step> = Vec::new();
    for (face, layout) in laid {
        if let Some(step) = starter(site, face, layout) {
            add(&mut starters, step);
        }
        add(
            &mut courses,
            if let CoveringKind::Sheet(sheet) = &site.card().covering {
                sheets(site, face, layout, sheet)
            } else {
                coursing(site, face, layout)
            },
        );
    }
    starters.into_iter().chain(courses).collect()
}

/// Adds a step of one face; faces laid alike share one.
fn add(steps: &mut Vec<Step>, step: Step) {
    let numbers = |step: &Step| -> Vec<(&'static str, i64)> {
        let tenths = |(name, value): (&'static str, f64)| {
            #[allow(clippy::cast_possible_truncation)]
            (name, (value / ALIKE).round() as i64)
        };
        step.values().into_iter().map(tenths).collect()
    };
    let is_alike = |other: &Step| {
        let same_hand = match (&other.task, &step.task) {
            (Task::Courses(a), Task::Courses(b)) => {
                (a.hand, a.start.0, a.peel, a.runs_on, a.joints_moved, a.at_valley)
                    == (b.hand, b.start.0, b.peel, b.runs_on, b.joints_moved, b.at_valley)
            }
            (Task::Starter { hand: a, .. }, Task::Starter { hand: b, .. })
            | (Task::Sheets { hand: a, .. }, Task::Sheets { hand: b, .. }) => a == b,
            _ => true,
        };
        same_hand && numbers(other) == numbers(&step)
    };
    match steps.iter_mut().find(|other| is_alike(other)) {
        Some(other) => {
            other.faces.extend(step.faces);
            other.edges.extend(step.edges);
        }
        None => steps.push(step),
    }
}

fn starter(site: &Site<'_>, face: &CoveredFace, layout: &FaceLayout) -> Option<Step> {
    let all = layout.starter_rows();
    let (height, _) = all.first()?;
    let begins = |row: &Row| StarterBegins {
        up: row.butt_v,
        at: if layout.hand == Hand::Left { row.from_u } else { row.to_u },
        first: row.first,
    };
    let runs: Vec<StarterBegins> = all.iter().flat_map(|(_, rows)| rows.iter().map(begins)).collect();
    if runs.is_empty() {
        return None;
    }
    let projection = margins(site.card()).eave;
    let width = layout.details.piece.width;
    let edges = face.edges.iter().filter(|edge| edge.begins_anew).filter_map(|edge| edge.id).collect();
    let kind = site.kind();
    let own = if kind == Kind::Strip { vec![Item::Starter, Item::Strips] } else { site.covering_items() };
    let mut uses = site.on_order(&own);
    let holds = site.covering_items().into_iter().filter(|item| matches!(item, Item::Fixings(_) | Item::Adhesive));
    uses.extend(holds.filter(|item| !own.contains(item)));
    Some(Step {
        task: Task::Starter { height: *height, projection, runs, width, hand: layout.hand, kind },
        uses,
        faces: vec![face.id],
        edges,
        cautions: laying_cautions(kind, site.card(), true),
        again: false,
    })
}

fn coursing(site: &Site<'_>, face: &CoveredFace, layout: &FaceLayout) -> Step {
    let (card, kind, details) = (site.card(), site.kind(), &layout.details);
    let past = margins(card);
    let has = |wanted: EdgeKind| face.edges.iter().any(|edge| edge.kind == wanted);
    let bond = details.bond.as_ref();
    let (peel, cold_below) = match &card.covering {
        CoveringKind::Strip(strip) => (Some(strip.peel), strip.bend_above),
        CoveringKind::Unit(_) | CoveringKind::Sheet(_) | CoveringKind::Felt(_) => (None, None),
    };
    let folds = details.tops.iter().flat_map(|top| &top.over).filter(|over| over.folds).map(|over| over.by);
    let runs_on = face.edges.iter().any(|edge| edge.kind == EdgeKind::PitchBreak && edge.is_low && !edge.begins_anew);
    let coursing = Coursing {
        kind,
        courses: layout.courses.len(),
        gauge: layout.gauge,
        width: details.piece.width,
        projection: past.eave,
        verge: has(EdgeKind::Verge).then_some(past.verge),
        hand: layout.hand,
        start: (details.start.why, details.start.u),
        first: bond.map(|bond| bond.first.clone()).unwrap_or_default(),
        clip: details.corner_clip,
        nails: details.nailing,
        layers: details.piece.layers,
        dab: card.adhesive.as_ref().map(|_| DAB),
        peel,
        cold_below: cold_below.filter(|_| card.adhesive.is_some()),
        folds: folds.reduce(f64::max),
        runs_on,
        joints_moved: details.valleys.iter().any(|valley| matches!(valley.side, ValleySide::Through { .. })),
        aprons: aprons(site, layout),
        at_valley: !details.valleys.is_empty(),
    };
    Step {
        task: Task::Courses(Box::new(coursing)),
        uses: site.covering_items(),
        faces: vec![face.id],
        edges: face.edges.iter().filter(|edge| edge.kind == EdgeKind::Verge).filter_map(|edge| edge.id).collect(),
        cautions: laying_cautions(kind, card, false),
        again: false,
    }
}

fn sheets(site: &Site<'_>, face: &CoveredFace, layout: &FaceLayout, sheet: &SheetGoods) -> Step {
    let rows = layout.courses.len();
    let lap = LapByPitch::at(&sheet.laps, face.pitch).map(|lap| lap.lap).filter(|_| rows > 1);
    let exposure = site.input.covering.laying.exposure;
    let rule = site.card().nails.as_ref().and_then(|nails| nail_rule(nails, face.pitch, exposure));
    let task = Task::Sheets {
        width: sheet.cover_width,
        rows,
        lap,
        projection: sheet.eave_projection,
        hand: layout.hand,
        screws: rule.map(|rule| rule.per_piece),
    };
    Step {
        task,
        uses: site.covering_items(),
        faces: vec![face.id],
        edges: Vec::new(),
        cautions: laying_cautions(Kind::Sheet, site.card(), false),
        again: false,
    }
}

/// What can hurt while the covering is laid; adhesive at the starter and the courses alike.
fn laying_cautions(kind: Kind, card: &Card, is_starter: bool) -> Vec<Caution> {
    let mut cautions = vec![Caution::OpenEdge];
    match kind {
        Kind::Strip | Kind::SingleTab => {
            cautions.extend((!is_starter).then_some(Caution::Heat));
            cautions.extend([Caution::Blades, Caution::Nailing]);
        }
        Kind::Slate | Kind::Tile | Kind::PlainTile => cautions.extend([Caution::StoneDust, Caution::Nailing]),
        Kind::Sheet => cautions.extend([Caution::SheetInWind, Caution::MetalEdges, Caution::Sparks]),
        Kind::Felt => cautions.extend([Caution::Heat, Caution::Blades]),
    }
    cautions.extend(card.adhesive.as_ref().map(|_| Caution::Solvent));
    cautions
}

/// How the courses end at valleys, alike ones together.
fn valleys(site: &Site<'_>) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    let uses: Vec<Item> = site.covering_items();
    let uses: Vec<Item> = uses.into_iter().filter(|item| !matches!(item, Item::Fixings(_))).collect();
    for layout in &site.answer.layouts {
        for stretch in &layout.details.valleys {
            let side = match stretch.side {
                ValleySide::Open { clear, widen, .. } => TrimSide::Open { clear, widen, over: 1.0 },
                ValleySide::Through { past, no_joint_within } => TrimSide::Through { past, no_joint_within },
                ValleySide::Cut { short } => TrimSide::Cut { short },
            };
            let trim = Trim { side, no_nail_within: NO_NAIL_WITHIN, bedded: site.card().adhesive.is_some() };
            let task = Task::Trim(trim);
            let step = Step {
                task,
                uses: uses.clone(),
                faces: vec![layout.face],
                edges: stretch.edge.into_iter().collect(),
                cautions: cutting(site),
                again: false,
            };
            match steps.iter_mut().find(|other| other.task.word() == step.task.word() && alike(&other.task, &step.task))
            {
                Some(other) => {
                    keep(&mut other.faces, layout.face);
                    other.edges.extend(stretch.edge.filter(|edge| !other.edges.contains(edge)));
                }
                None => steps.push(step),
            }
        }
    }
    // The side that runs through is laid before the one that is cut over it.
    steps.sort_by_key(|step| match &step.task {
        Task::Trim(Trim { side: TrimSide::Through { .. }, .. }) => 0,
        Task::Trim(Trim { side: TrimSide::Cut { .. }, .. }) => 1,
        _ => 2,
    });
    steps
}

fn alike(a: &Task, b: &Task) -> bool {
    let (Task::Trim(a), Task::Trim(b)) = (a, b) else { return false };
    let near = |a: f64, b: f64| (a - b).abs() < ALIKE;
    match (a.side, b.side) {
        (TrimSide::Open { clear: a, widen: c, .. }, TrimSide::Open { clear: b, widen: d, .. }) => {
            near(a, b) && near(c, d)
        }
        (TrimSide::Through { past: a, .. }, TrimSide::Through { past: b, .. })
        | (TrimSide::Cut { short: a }, TrimSide::Cut { short: b }) => near(a, b),
        _ => false,
    }
}

fn keep(faces: &mut Vec<FaceId>, face: FaceId) {
    if !faces.contains(&face) {
        faces.push(face);
    }
}
