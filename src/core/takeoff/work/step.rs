//! A step of work and the numbers it tells. Lengths are metres, areas square metres, weights kilograms; every number comes
//! from what was counted.

use super::along::{Along, StarterBegins};
use super::kind::Kind;
use super::repair_task::RepairTask;
use super::{Caution, Collar, FeltEdges, FeltLayer, Opened};
use crate::base::ids::{EdgeId, FaceId};
use crate::base::tolerance;
use crate::roof::EdgeKind;
use crate::takeoff::caps::CapsRun;
use crate::takeoff::card::TabShape;
use crate::takeoff::details::Hand;
use crate::takeoff::details::{Nailing, StartsAt};
use crate::takeoff::felt::Layer;
use crate::takeoff::goods::DeckKind;
use crate::takeoff::item::Item;

/// Lengths that differ by less are told alike.
pub(super) const ALIKE: f64 = tolerance::CUT_ALIKE;

/// A step of work.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What is done.
    pub task: Task,
    /// Lines of the order it uses up.
    pub uses: Vec<Item>,
    /// The faces it touches.
    pub faces: Vec<FaceId>,
    /// The edges it touches.
    pub edges: Vec<EdgeId>,
    /// What can hurt in it, the worst first.
    pub cautions: Vec<Caution>,
    /// Whether a step before it says how this is done: it tells its own numbers alone.
    pub again: bool,
}

/// What is done.
#[derive(Clone, Debug, PartialEq)]
pub enum Task {
    /// Fall protection, ladders, tools, material on site.
    Prepare {
        /// What is carried up onto the deck, kilograms.
        load: f64,
    },
    /// The old roof comes off.
    Strip {
        /// What it is, in the user's words.
        what: String,
        /// What stays, in the user's words.
        stays: Vec<String>,
        /// Layers.
        layers: u32,
        /// Of the roof, square metres.
        area: f64,
        /// Of what comes off, kilograms.
        weight: f64,
        /// Loose in a skip, cubic metres.
        skip: f64,
    },
    /// What is rotten of the deck is renewed.
    MendDeck {
        /// Square metres.
        renew: f64,
    },
    /// Boards, sheets or battens are laid.
    Deck {
        /// Which.
        kind: DeckKind,
        /// Thickness, metres.
        thickness: f64,
        /// Of bearers, centre to centre.
        spacing: f64,
        /// Between sheets; `None` for boards and battens.
        gap: Option<f64>,
        /// Battens: from one to the next.
        gauge: Option<f64>,
        /// Battens that tiles hang on by their nibs: from the deck's edge to the upper edge of the lowest of them.
        first: Option<f64>,
    },
    /// Timbers cut by the cutting list and set up.
    Timbers {
        /// How many pieces.
        pieces: usize,
    },
    /// Battens up the slope, on every rafter.
    CounterBattens {
        /// Of a batten.
        width: f64,
        /// Of a batten.
        thickness: f64,
        /// From rafter to rafter.
        spacing: f64,
    },
    /// Pieces that close the verges, with the courses.
    VergeUnits {
        /// How many.
        count: u32,
    },
    /// Boards and soffit along eaves and verges.
    Boards {
        /// Along eaves, verges and high edges, metres.
        length: f64,
        /// Vents at the eaves.
        vents: u32,
    },
    /// Metal at eaves, before the underlay.
    EaveMetal(Along),
    /// Underlay in rows from the eave up.
    Underlay {
        /// Of a row over the one below.
        head_lap: f64,
        /// Of a roll's end over the next.
        end_lap: f64,
        /// Over ridges and hips.
        over: f64,
        /// Up walls.
        upstand: f64,
        /// Whether every point lies under two layers.
        double: bool,
        /// Whether it lies over metal at the eaves.
        over_metal: bool,
        /// Whether a full width runs down each valley first.
        in_valleys: bool,
        /// Self-adhesive barrier at the eaves, level, from the eave to this far inside the warm wall.
        barrier: Option<f64>,
    },
    /// Metal at verges, over the underlay.
    VergeMetal(Along),
    /// Metal at verges, over the outer ribs of sheets.
    VergeCover(Along),
    /// Lining of valleys.
    ValleyLining {
        /// Of the lining.
        width: f64,
        /// Its pieces.
        along: Along,
    },
    /// Metal at breaks below which the slope is steeper.
    Breaks(Along),
    /// The starter along eaves.
    Starter {
        /// Of its pieces, up the slope.
        height: f64,
        /// Past the deck.
        projection: f64,
        /// Where it begins along each low edge, the lowest first: one at least.
        runs: Vec<StarterBegins>,
        /// Of an uncut piece.
        width: f64,
        /// From which hand.
        hand: Hand,
        /// What it is cut from.
        kind: Kind,
    },
    /// Courses from the eave up.
    Courses(Box<Coursing>),
    /// Sheets side by side.
    Sheets {
        /// Cover of each.
        width: f64,
        /// Rows of sheets up the slope.
        rows: usize,
        /// Of a row over the one below; `None` where one row does.
        lap: Option<f64>,
        /// Past the deck at eaves.
        projection: f64,
        /// From which hand.
        hand: Hand,
        /// Screws a square metre; `None` where the card names none.
        screws: Option<f64>,
    },
    /// A layer of roll felt.
    Felt(Box<FeltLayer>),
    /// Metal along the edges of a felt roof, between its layers.
    FeltEdges(FeltEdges),
    /// Felt turned up round an opening.
    Collar(Collar),
    /// Courses cut or run through at valleys.
    Trim(Trim),
    /// An opening flashed as the courses reach it.
    Opening(Opened),
    /// Metal along walls.
    Walls {
        /// Its pieces along level walls; `None` where there are none.
        along: Option<Along>,
        /// Up the wall.
        upstand: f64,
        /// Over the covering below.
        cover: f64,
        /// Least length of a step piece; `None` where no wall rakes.
        step: Option<f64>,
        /// Side walls that end at an eave.
        kick_outs: u32,
    },
    /// Metal at level high edges.
    TopEdges(Along),
    /// Caps along ridges or hips.
    Caps {
        /// Ridge or hip.
        kind: EdgeKind,
        /// Why they run as they do.
        why: CapsRun,
        /// How many.
        count: u32,
        /// How much of each shows.
        exposure: f64,
        /// Nails from the butt; `None` for caps that are goods of their own.
        nails: Option<[f64; 2]>,
        /// What they are cut from: the outline of the strip's tabs; `None` for goods of their own.
        from_strips: Option<TabShape>,
        /// Below this air temperature, °C, they are warmed before they are bent.
        warm_below: Option<f64>,
    },
    /// Gutters and pipes.
    Gutters {
        /// Of the gutters.
        length: f64,
        /// Outlets.
        outlets: u32,
        /// From bracket to bracket.
        brackets: f64,
    },
    /// Vents high up.
    Vents {
        /// How many.
        count: u32,
    },
    /// A step of a repair.
    Repair(RepairTask),
    /// Nails, cuttings and packs off the roof.
    ClearUp,
    /// Looked over before the scaffold goes.
    Check,
}

/// How the courses of a group of faces run.
#[derive(Clone, Debug, PartialEq)]
pub struct Coursing {
    /// What is laid.
    pub kind: Kind,
    /// How many.
    pub courses: usize,
    /// From course to course.
    pub gauge: f64,
    /// Of a piece, its joint with it.
    pub width: f64,
    /// Past the deck at eaves.
    pub projection: f64,
    /// Past the deck at verges; `None` where there is none.
    pub verge: Option<f64>,
    /// From which hand.
    pub hand: Hand,
    /// Where first pieces are measured from, and how far that lies along the eave from its left end.
    pub start: (StartsAt, f64),
    /// Length of the first piece of each course of the repeat, the lowest first.
    pub first: Vec<f64>,
    /// Upper corners clipped at verges.
    pub clip: Option<f64>,
    /// Where nails go.
    pub nails: Option<Nailing>,
    /// Layers over every point.
    pub layers: u32,
    /// Dabs of adhesive on what is sealed by hand; `None` where the card has no adhesive.
    pub dab: Option<f64>,
    /// Whether a film on the back is peeled; `None` where the card knows of none.
    pub peel: Option<bool>,
    /// Below this air temperature, °C, seals need adhesive by hand.
    pub cold_below: Option<f64>,
    /// The last course: how far it stands over the ridge and folds down.
    pub folds: Option<f64>,
    /// Whether the slope below runs on into it at a break that turns flatter.
    pub runs_on: bool,
    /// Whether joints stand off the repeat, beside a valley that courses run through.
    pub joints_moved: bool,
    /// Courses, counted from the eave, over which an opening's apron comes before the next is laid; the lowest first.
    pub aprons: Vec<usize>,
    /// Whether they end at a valley.
    pub at_valley: bool,
}

/// What is done with courses at a valley.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trim {
    /// How.
    pub side: TrimSide,
    /// No nail nearer to the centre.
    pub no_nail_within: f64,
    /// Whether cut edges are bedded in adhesive.
    pub bedded: bool,
}

/// How the courses of one side end at a valley.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TrimSide {
    /// Both trimmed clear of the centre.
    Open {
        /// At the valley's top.
        clear: f64,
        /// More by so much down the valley.
        widen: f64,
        /// For every so much down.
        over: f64,
    },
    /// Runs through.
    Through {
        /// Past the centre.
        past: f64,
        /// No joint nearer to the centre.
        no_joint_within: f64,
    },
    /// Cut over the side that runs through.
    Cut {
        /// Short of the centre.
        short: f64,
    },
}

impl Task {
    /// Its name.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Prepare { .. } => "prepare",
            Self::Strip { .. } => "strip",
            Self::MendDeck { .. } => "mend-deck",
            Self::Deck { .. } => "deck",
            Self::Timbers { .. } => "timbers",
            Self::CounterBattens { .. } => "counter-battens",
            Self::VergeUnits { .. } => "verge-units",
            Self::Boards { .. } => "boards",
            Self::EaveMetal(_) => "eave-metal",
            Self::Underlay { .. } => "underlay",
            Self::VergeMetal(_) => "verge-metal",
            Self::VergeCover(_) => "verge-cover",
            Self::ValleyLining { .. } => "valley",
            Self::Breaks(_) => "breaks",
            Self::Starter { .. } => "starter",
            Self::Courses(_) | Self::Sheets { .. } => "courses",
            Self::Felt(layer) if layer.layer == Layer::Base => "base-layer",
            Self::Felt(_) => "cap-sheet",
            Self::FeltEdges(_) => "edge-metal",
            Self::Collar(_) => "collar",
            Self::Trim(_) => "valley-courses",
            Self::Opening(_) => "opening",
            Self::Walls { .. } => "wall-flashings",
            Self::TopEdges(_) => "top-edges",
            Self::Caps { .. } => "caps",
            Self::Gutters { .. } => "gutters",
            Self::Vents { .. } => "vents",
            Self::Repair(task) => task.word(),
            Self::ClearUp => "clear-up",
            Self::Check => "check",
        }
    }

    fn values(&self) -> Vec<(&'static str, f64)> {
        let along = |along: &Along| vec![("length", along.length), ("piece", along.piece), ("lap", along.lap)];
        let some = |name: &'static str, value: Option<f64>| value.map(|value| (name, value));
        match self {
            Self::Prepare { load } => vec![("load", *load)],
            Self::Strip { layers, area, weight, skip, .. } => {
                vec![("layers", f64::from(*layers)), ("area", *area), ("weight", *weight), ("skip_volume", *skip)]
            }
            Self::MendDeck { renew } => vec![("renew", *renew)],
            #[allow(clippy::cast_precision_loss)]
            Self::Timbers { pieces } => vec![("pieces", *pieces as f64)],
            Self::CounterBattens { width, thickness, spacing } => {
                vec![("width", *width), ("thickness", *thickness), ("spacing", *spacing)]
            }
            Self::Repair(task) => task.values(),
            Self::Deck { thickness, spacing, gap, gauge, first, .. } => {
                [("thickness", *thickness), ("spacing", *spacing)]
                    .into_iter()
                    .chain(some("gap", *gap))
                    .chain(some("gauge", *gauge))
                    .chain(some("first_batten", *first))
                    .collect()
            }
            Self::Boards { length, vents } => std::iter::once(("length", *length))
                .chain(some("vents", (*vents > 0).then_some(f64::from(*vents))))
                .collect(),
            Self::EaveMetal(metal)
            | Self::VergeMetal(metal)
            | Self::VergeCover(metal)
            | Self::Breaks(metal)
            | Self::TopEdges(metal) => along(metal),
            Self::Underlay { head_lap, end_lap, over, upstand, barrier, .. } => {
                [("head_lap", *head_lap), ("end_lap", *end_lap), ("over", *over), ("upstand", *upstand)]
                    .into_iter()
                    .chain(some("barrier", *barrier))
                    .collect()
            }
            Self::ValleyLining { width, along: metal } => {
                std::iter::once(("width", *width)).chain(along(metal)).collect()
            }
            Self::Starter { height, projection, runs, width, .. } => {
                let mut values = vec![("height", *height), ("projection", *projection), ("width", *width)];
                // Of a single one the place is that of the eave.
                let places = runs.iter().filter(|_| runs.len() > 1);
                values.extend(places.flat_map(|run| [("starter_up", run.up), ("starter_start", run.at)]));
                values.extend(runs.iter().map(|run| ("first", run.first)));
                values
            }
            Self::Courses(coursing) => coursing.values(),
            Self::Sheets { width, rows, lap, projection, screws, .. } => {
                [("width", *width), ("rows", *rows as f64), ("projection", *projection)]
                    .into_iter()
                    .chain(some("lap", *lap))
                    .chain(some("screws", *screws))
                    .collect()
            }
            Self::Felt(layer) => layer.values(),
            Self::FeltEdges(edges) => edges.values(),
            Self::Collar(collar) => collar.values(),
            Self::Trim(trim) => {
                let side = match trim.side {
                    TrimSide::Open { clear, widen, over } => {
                        vec![("clear", clear), ("widen", widen), ("widen_over", over)]
                    }
                    TrimSide::Through { past, no_joint_within } => {
                        vec![("past", past), ("no_joint_within", no_joint_within)]
                    }
                    TrimSide::Cut { short } => vec![("short", short)],
                };
                side.into_iter().chain([("no_nail_within", trim.no_nail_within)]).collect()
            }
            Self::Opening(opening) => opening.values(),
            Self::Walls { along: metal, upstand, cover, step, kick_outs } => metal
                .iter()
                .flat_map(along)
                .chain([("upstand", *upstand), ("cover", *cover), ("kick_outs", f64::from(*kick_outs))])
                .chain(some("step_length", *step))
                .collect(),
            Self::Caps { count, exposure, nails, warm_below, .. } => {
                [("count", f64::from(*count)), ("exposure", *exposure)]
                    .into_iter()
                    .chain(some("nails_from_butt", nails.map(|nails| nails[0])))
                    .chain(some("nails_from_side", nails.map(|nails| nails[1])))
                    .chain(some("warm_below", *warm_below))
                    .collect()
            }
            Self::Gutters { length, outlets, brackets } => {
                vec![("length", *length), ("outlets", f64::from(*outlets)), ("spacing", *brackets)]
            }
            Self::VergeUnits { count } | Self::Vents { count } => vec![("count", f64::from(*count))],
            Self::ClearUp | Self::Check => Vec::new(),
        }
    }
}

impl Coursing {
    fn values(&self) -> Vec<(&'static str, f64)> {
        let mut values = vec![
            ("courses", self.courses as f64),
            ("gauge", self.gauge),
            ("width", self.width),
            ("projection", self.projection),
            ("start", self.start.1),
        ];
        values.extend(self.first.iter().map(|first| ("first", *first)));
        values.push(("repeat", self.first.len() as f64));
        values.extend(self.aprons.iter().map(|course| ("apron_course", *course as f64)));
        let nails = self.nails.map(|nails| {
            [
                ("nails", nails.per_piece),
                ("nails_least", f64::from(nails.least)),
                ("nails_from_butt", nails.from_butt),
                ("nails_from_ends", nails.from_ends),
            ]
        });
        values.extend(nails.into_iter().flatten());
        let more = [
            ("verge_projection", self.verge),
            ("clip", self.clip),
            ("layers", Some(f64::from(self.layers))),
            ("dab", self.dab),
            ("cold_below", self.cold_below),
            ("folds", self.folds),
        ];
        values.extend(more.into_iter().filter_map(|(name, value)| value.map(|value| (name, value))));
        values
    }
}

impl Step {
    /// Every number it tells, its cautions' too, by name in SI units; a name that stands several times is a list.
    #[must_use]
    pub fn values(&self) -> Vec<(&'static str, f64)> {
        let cautions = self.cautions.iter().filter_map(|caution| caution.value());
        self.task.values().into_iter().chain(cautions).collect()
    }
}
