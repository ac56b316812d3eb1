//! A repair: part of a face covered anew, what is lifted for it, what is ordered, what is done.
//!
//! How the pieces of an old roof stand is seen when it is open: pieces are counted for the worst bond, one more a course than
//! fit the width, so that what is ordered is enough (common practice, no source).

use super::answer::TakeOff;
use super::card::{Card, CoveringKind};
use super::finding::Finding;
use super::fixings::{nail_rule, tubes};
use super::item::{Detail, Fixing, Item, Pack, Quantity, Unit};
use super::layout::{Course, FaceLayout};
use super::lines::{Amount, Lines};
use super::model::Covering;
use super::order_line::OrderLine;
use super::take_off::priced;
use super::work::{Caution, Kind, RepairTask, Step, Task};
use crate::base::ids::FaceId;
use crate::base::tolerance;
use crate::roof::Roof;

/// What is covered anew, as the roof file says.
#[derive(Clone, Debug, PartialEq)]
pub struct Repair {
    /// The face's name.
    pub face: String,
    /// Where in it.
    pub place: Where,
    /// Whether the underlay below is renewed.
    pub underlay: bool,
    /// Whether the deck below is renewed.
    pub deck: bool,
}

/// Where in a face, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Where {
    /// A rectangle.
    Rectangle {
        /// Lower left corner: along the eave, up the slope.
        at: [f64; 2],
        /// Along the eave, up the slope.
        size: [f64; 2],
    },
    /// Courses counted from the eave, the lowest 1.
    Courses {
        /// The lowest.
        first: u32,
        /// The highest.
        last: u32,
        /// From where to where along the eave; `None`: from end to end.
        along: Option<[f64; 2]>,
    },
}

/// A repair worked out.
#[derive(Clone, Debug)]
pub struct RepairAnswer {
    /// The face, by its number in the roof.
    pub face: FaceId,
    /// From where to where along the eave, metres.
    pub along: [f64; 2],
    /// Lowest and highest course that is renewed, counted from 1.
    pub courses: [usize; 2],
    /// Courses above them that are lifted.
    pub lifted: usize,
    /// Whether caps come off first, for what is lifted reaches the ridge.
    pub caps_off: bool,
    /// Pieces that are renewed.
    pub pieces: u32,
    /// Pieces that are lifted and laid back.
    pub lifted_pieces: u32,
    /// Renewed, square metres of slope.
    pub area: f64,
    /// What to order.
    pub lines: Vec<OrderLine>,
    /// What is done, in order.
    pub work: Vec<Step>,
}

/// What a repair is worked out from.
#[derive(Clone, Copy, Debug)]
pub struct RepairInput<'a> {
    /// The roof.
    pub roof: &'a Roof,
    /// Its covering.
    pub covering: &'a Covering,
    /// The whole roof as it would be laid.
    pub order: &'a TakeOff,
}

/// Works repairs out; findings say of those that could not be. O(repairs × pieces).
#[must_use]
pub fn repairs(input: &RepairInput, asked: &[Repair]) -> (Vec<RepairAnswer>, Vec<Finding>) {
    let mut answers = Vec::new();
    let mut findings = Vec::new();
    for repair in asked {
        match one(input, repair) {
            Ok(answer) => answers.push(answer),
            Err(finding) => findings.push(finding),
        }
    }
    (answers, findings)
}

fn one(input: &RepairInput, repair: &Repair) -> Result<RepairAnswer, Finding> {
    let face = input.roof.roof_faces().find(|(_, face)| face.id.is(&repair.face)).map(|(id, _)| id);
    let face = face.ok_or_else(|| Finding::RepairNoFace { face: repair.face.clone() })?;
    let layout = input.order.layouts.iter().find(|layout| layout.face == face);
    let layout = layout
        .filter(|layout| !layout.courses.is_empty())
        .ok_or_else(|| Finding::RepairNotInCourses { faces: vec![face] })?;
    let card = &input.covering.card;
    let lifts = lifts(card).ok_or_else(|| Finding::RepairNotInCourses { faces: vec![face] })?;
    let count = layout.courses.len();
    let outside = |asked: f64| Finding::RepairOutside { faces: vec![face], courses: count, asked };
    let ([first, last], along) = match repair.place {
        Where::Courses { first, last, along } => {
            if last as usize > count {
                return Err(outside(f64::from(last)));
            }
            ([first as usize, last as usize], along)
        }
        Where::Rectangle { at, size } => {
            let [low, high] = [at[1], at[1] + size[1]];
            let shows = |course: &Course| {
                course.butt_v < high - tolerance::SMALLEST && course.butt_v + layout.gauge > low + tolerance::SMALLEST
            };
            let first = layout.courses.iter().position(shows).ok_or_else(|| outside(0.0))?;
            let last = layout.courses.iter().rposition(shows).unwrap_or(first);
            ([first + 1, last + 1], Some([at[0], at[0] + size[0]]))
        }
    };
    let along = along.unwrap_or_else(|| ends(&layout.courses[first - 1]));
    let lifted = lifts.min(count - last);
    let caps_off = last + lifts > count;
    let width = layout.details.piece.width;
    let pieces_in = |courses: std::ops::Range<usize>| -> u32 {
        courses.map(|index| in_course(&layout.courses[index], along, width)).sum()
    };
    let pieces = pieces_in(first - 1..last);
    if pieces == 0 {
        return Err(outside(0.0));
    }
    let found = Found {
        along,
        courses: [first, last],
        lifted,
        caps_off,
        pieces,
        lifted_pieces: pieces_in(last..last + lifted),
        area: layout.courses[first - 1..last].iter().map(|course| length_in(course, along)).sum::<f64>() * layout.gauge,
    };
    Ok(answered(input, repair, (face, layout), &found))
}

/// How many courses above the highest renewed one are lifted: those whose nails go through its heads, and those over these
/// nails. `None` where nothing is laid in courses.
fn lifts(card: &Card) -> Option<usize> {
    match Kind::of(card) {
        // Over a plain tile lie the next course and the foot of the one after that.
        Kind::Strip | Kind::SingleTab | Kind::PlainTile => Some(2),
        // Slates are drawn with a ripper, and their like is hung in with hooks.
        Kind::Slate => Some(0),
        Kind::Tile => Some(1),
        Kind::Sheet | Kind::Felt => None,
    }
}

struct Found {
    along: [f64; 2],
    courses: [usize; 2],
    lifted: usize,
    caps_off: bool,
    pieces: u32,
    lifted_pieces: u32,
    area: f64,
}

/// From the leftmost to the rightmost piece of a course.
fn ends(course: &Course) -> [f64; 2] {
    let extents = course.pieces.iter().map(super::layout::LaidPiece::extent);
    extents.fold([f64::INFINITY, f64::NEG_INFINITY], |[left, right], [from, to]| [left.min(from), right.max(to)])
}

/// How much of a course lies between two places.
fn length_in(course: &Course, [from, to]: [f64; 2]) -> f64 {
    let [left, right] = ends(course);
    (right.min(to) - left.max(from)).max(0.0)
}

/// Pieces that may lie between two places of a course, whatever its bond.
fn in_course(course: &Course, along: [f64; 2], width: f64) -> u32 {
    let length = length_in(course, along);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let fit = (length / width - tolerance::RELATIVE).ceil() as u32;
    if length > tolerance::SMALLEST { fit + 1 } else { 0 }
}

fn answered(
    input: &RepairInput,
    repair: &Repair,
    (face, layout): (FaceId, &FaceLayout),
    found: &Found,
) -> RepairAnswer {
    let covering = input.covering;
    let card = &covering.card;
    let mut lines = Lines::new(covering, None);
    let has_starter = found.courses[0] == 1 && !layout.starter.is_empty();
    let starters = if has_starter { in_course(&layout.courses[0], found.along, layout.details.piece.width) } else { 0 };
    covering_lines(card, covering, layout, found, starters, &mut lines);
    let patch = repair.underlay.then(|| patch_of(card, layout, found)).flatten();
    if let (Some(patch), Some(roll)) = (&patch, &card.underlay) {
        let area = patch.width * patch.height;
        let size = roll.width * roll.length;
        lines.add(Item::Underlay, Amount::packed(lines.area(area), Unit::SquareMetre, area / size), |line| {
            line.pack = Some(Pack::Roll(size));
            line.left_over = line.packs.map(|packs| f64::from(packs) * size - area);
            line.weight = line.packs.map(|packs| f64::from(packs) * size * roll.weight);
        });
    }
    if let Some(deck) = card.deck.as_ref().filter(|_| repair.deck) {
        let each = deck.width * deck.length;
        lines.add(
            Item::Deck(deck.kind),
            Amount::packed(lines.area(found.area), Unit::SquareMetre, found.area / each),
            |line| {
                line.pack = Some(super::deck::pack(deck, deck.length));
                line.weight = line.packs.map(|packs| f64::from(packs) * each * deck.weight);
            },
        );
    }
    let (mut lines, _) = lines.finish();
    priced(&mut lines, &covering.prices);
    let work = steps(input, repair, (face, layout), found, (&lines, patch));
    RepairAnswer {
        face,
        along: found.along,
        courses: found.courses,
        lifted: found.lifted,
        caps_off: found.caps_off,
        pieces: found.pieces,
        lifted_pieces: found.lifted_pieces,
        area: found.area,
        lines,
        work,
    }
}

/// Pieces, what holds them, what seals them and what was lifted.
fn covering_lines(
    card: &Card,
    covering: &Covering,
    layout: &FaceLayout,
    found: &Found,
    starters: u32,
    lines: &mut Lines,
) {
    let (item, pack, name, weight) = match &card.covering {
        CoveringKind::Strip(strip) => (Item::Strips, strip.pack, &strip.pack_name, strip.weight),
        CoveringKind::Unit(unit) => (Item::Units(card.name.clone()), unit.pack, &unit.pack_name, unit.weight),
        CoveringKind::Sheet(_) | CoveringKind::Felt(_) => return,
    };
    let all = found.pieces + starters;
    let each = f64::from(pack.max(1));
    lines.add(item, Amount::packed(Quantity::Count(all), Unit::Piece, f64::from(all) / each), |line| {
        line.pack = Some(Pack::Of { name: name.clone(), pieces: pack });
        let bought = f64::from(line.packs.unwrap_or(0)) * each;
        line.weight = Some(bought * weight);
        line.left_over = Some(bought - f64::from(all));
        line.detail = (starters > 0).then_some(Detail::Pieces { courses: found.pieces, starter: starters, caps: 0 });
    });
    let pitch = layout_pitch(layout);
    if let Some(nails) = &card.nails {
        let rule = nail_rule(nails, pitch, covering.laying.exposure);
        // Of what is lifted, the course whose nails came out is nailed again.
        let again =
            if found.lifted > 0 { found.lifted_pieces.div_ceil(u32::try_from(found.lifted).unwrap_or(1)) } else { 0 };
        let count = rule.map_or(0.0, |rule| rule.per_piece) * f64::from(all + again);
        let count = (count * (1.0 + nails.spare) - tolerance::RELATIVE).ceil().max(1.0);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let quantity = Quantity::Count(count as u32);
        let pack = f64::from(nails.pack.max(1));
        let kind = if let CoveringKind::Strip(_) = card.covering { Fixing::Nails } else { Fixing::NailsOrHooks };
        lines.add(Item::Fixings(kind), Amount::packed(quantity, Unit::Piece, count / pack), |line| {
            line.pack = Some(Pack::Of { name: nails.pack_name.clone(), pieces: nails.pack });
            let bought = f64::from(line.packs.unwrap_or(0)) * pack;
            line.weight = Some(bought * nails.weight);
            line.left_over = Some(bought - count);
        });
    }
    if let Some(adhesive) = &card.adhesive {
        let tabs = if let CoveringKind::Strip(strip) = &card.covering { f64::from(strip.tabs) } else { 1.0 };
        // Every tab that was lifted, and every new one, is sealed by hand.
        let dabs = f64::from(found.pieces + found.lifted_pieces) * tabs * adhesive.per_tab.max(1.0)
            + f64::from(starters) * layout.details.piece.width * adhesive.per_starter_metre;
        let need = tubes(dabs, adhesive);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let quantity = Quantity::Count(need.ceil() as u32);
        lines.add(Item::Adhesive, Amount::packed(quantity, Unit::Tube, need), |line| {
            line.pack = Some(Pack::Tube(adhesive.tube));
            line.weight = Some(f64::from(line.packs.unwrap_or(0)) * adhesive.weight);
        });
    }
}

fn layout_pitch(layout: &FaceLayout) -> f64 {
    layout.frame.up.z.asin()
}

/// A piece of underlay that reaches under what lies above it and over what lies below and beside.
#[derive(Clone, Copy)]
struct Patch {
    width: f64,
    height: f64,
    lap: f64,
}

fn patch_of(card: &Card, layout: &FaceLayout, found: &Found) -> Option<Patch> {
    let underlay = card.underlay.as_ref()?;
    let lap = super::goods::LapByPitch::at(&underlay.laps, layout_pitch(layout)).map_or(0.1, |lap| lap.lap);
    let rows = (found.courses[1] + 1 - found.courses[0]) as f64 * layout.gauge;
    let width = found.along[1] - found.along[0];
    Some(Patch { width: width + 2.0 * underlay.end_lap.max(0.1), height: rows + 2.0 * lap, lap })
}

fn steps(
    input: &RepairInput,
    repair: &Repair,
    (face, layout): (FaceId, &FaceLayout),
    found: &Found,
    (lines, patch): (&[OrderLine], Option<Patch>),
) -> Vec<Step> {
    let covering = input.covering;
    let kind = Kind::of(&covering.card);
    let step = |task: Task, uses: Vec<Item>, cautions: Vec<Caution>| Step {
        task,
        uses,
        faces: vec![face],
        edges: Vec::new(),
        cautions,
        again: false,
    };
    let has = |wanted: fn(&Item) -> bool| -> Vec<Item> {
        lines.iter().map(|line| &line.item).filter(|item| wanted(item)).cloned().collect()
    };
    let load = lines.iter().filter_map(|line| line.weight.value()).sum();
    let warm_below = if let CoveringKind::Strip(strip) = &covering.card.covering { strip.bend_above } else { None };
    let asbestos = covering.old_roof.as_ref().is_none_or(|old| old.asbestos_possible);
    let mut lifting = vec![Caution::OpenEdge];
    lifting.extend(asbestos.then_some(Caution::Asbestos));
    lifting.push(Caution::FallingRubble);
    let mut steps = vec![
        step(
            Task::Prepare { load },
            Vec::new(),
            vec![Caution::FALL, Caution::LADDER, Caution::Weather, Caution::Fragile, Caution::Structure],
        ),
        step(
            Task::Repair(RepairTask::MarkOut { courses: found.courses, along: found.along, gauge: layout.gauge }),
            Vec::new(),
            vec![Caution::OpenEdge],
        ),
    ];
    if found.lifted > 0 {
        let from = found.courses[1] + 1;
        let flame = warm_below.map(|_| Caution::Flame);
        steps.push(step(
            Task::Repair(RepairTask::Lift {
                courses: [from, found.courses[1] + found.lifted],
                pieces: found.lifted_pieces,
                kind,
                caps_off: found.caps_off,
                warm_below,
            }),
            Vec::new(),
            lifting.iter().copied().chain(flame).collect(),
        ));
    }
    steps.push(step(
        Task::Repair(RepairTask::TakeOut { courses: found.courses, pieces: found.pieces, kind }),
        Vec::new(),
        lifting,
    ));
    if repair.deck && covering.card.deck.is_some() {
        steps.push(step(
            Task::MendDeck { renew: found.area },
            has(|item| matches!(item, Item::Deck(_))),
            vec![Caution::OpenEdge, Caution::Fragile, Caution::Structure],
        ));
    }
    if let Some(patch) = patch {
        steps.push(step(
            Task::Repair(RepairTask::PatchUnderlay { width: patch.width, height: patch.height, lap: patch.lap }),
            has(|item| matches!(item, Item::Underlay)),
            vec![Caution::OpenEdge, Caution::SlipperyUnderlay, Caution::Blades],
        ));
    }
    let dust = matches!(kind, Kind::Slate | Kind::Tile | Kind::PlainTile).then_some(Caution::StoneDust);
    let blades = matches!(kind, Kind::Strip | Kind::SingleTab).then_some(Caution::Blades);
    steps.push(step(
        Task::Repair(RepairTask::Renew {
            courses: found.courses,
            pieces: found.pieces,
            gauge: layout.gauge,
            nails: layout.details.nailing,
            kind,
        }),
        has(|item| matches!(item, Item::Strips | Item::Units(_) | Item::Fixings(_))),
        [Some(Caution::OpenEdge), dust, blades, Some(Caution::Nailing)].into_iter().flatten().collect(),
    ));
    let seal = has(|item| matches!(item, Item::Adhesive));
    if !seal.is_empty() || found.lifted > 0 {
        let solvent = (!seal.is_empty()).then_some(Caution::Solvent);
        steps.push(step(
            Task::Repair(RepairTask::LayBack {
                courses: found.lifted,
                pieces: found.lifted_pieces,
                kind,
                sealed: !seal.is_empty(),
            }),
            seal,
            [Some(Caution::OpenEdge), solvent].into_iter().flatten().collect(),
        ));
    }
    steps.push(step(Task::ClearUp, Vec::new(), vec![Caution::OpenEdge, Caution::FallingRubble]));
    steps.push(step(Task::Check, Vec::new(), vec![Caution::OpenEdge]));
    steps
}
