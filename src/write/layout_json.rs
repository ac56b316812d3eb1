//! How each face is laid, as JSON: `layout`, `underlay` and `deck` of `takeoff --json`; with `--rows` every row and piece.
//! Places are in the face's own frame: along the eave from its left end seen from outside, up the slope, metres.

use super::name::NameTwin;
use crate::roof::Roof;
use crate::takeoff::TakeOff;
use crate::takeoff::details::{Cover, Details, NO_NAIL_WITHIN, TopEdge, ValleySide, ValleyStretch};
use crate::takeoff::felt::{LayerLaid, StripLaid};
use crate::takeoff::layout::FaceCount;
use crate::takeoff::layout::{Course, FaceLayout, Source};
use crate::takeoff::pieces::PiecePlan;
use crate::takeoff::rows::Row;
use nalgebra::Point2;
use serde::Serialize;

/// A face as laid.
#[derive(Serialize)]
pub(super) struct LayoutTwin<'a> {
    face: NameTwin<'a>,
    courses: usize,
    gauge: f64,
    /// All of them: whole, cut and from offcuts.
    pieces: usize,
    pieces_whole: usize,
    pieces_cut: usize,
    pieces_from_offcuts: usize,
    waste: f64,
    scrap: f64,
    cuts: usize,
    cut_length: f64,
    bonds_tried: usize,
    pieces_of_worst_bond: usize,
    /// Its turn in the order of laying, from 1.
    turn: usize,
    from: &'static str,
    start: StartTwin,
    bond: Option<BondTwin<'a>>,
    piece: PieceTwin,
    starter: Option<StarterTwin>,
    /// All starters, where low edges at several heights take more than one.
    starters: Vec<StarterTwin>,
    verge_starters: usize,
    narrow_ends: usize,
    nailing: Option<NailingTwin>,
    corner_clip: Option<f64>,
    valleys: Vec<ValleyTwin>,
    tops: Vec<TopTwin>,
    covers: Vec<CoverTwin>,
    lapped: Vec<CoverTwin>,
    #[serde(skip_serializing_if = "Option::is_none")]
    outline: Option<Vec<Vec<[f64; 2]>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    openings: Option<Vec<Vec<[f64; 2]>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rows: Option<Vec<RowTwin<'a>>>,
}

#[derive(Serialize)]
struct StartTwin {
    at: f64,
    why: &'static str,
}

#[derive(Serialize)]
struct BondTwin<'a> {
    step: f64,
    shifts: &'a [u32],
    first: &'a [f64],
}

#[derive(Serialize)]
struct PieceTwin {
    kind: &'static str,
    caps_each: u32,
    width: f64,
    height: f64,
    tab: f64,
    layers: u32,
    head_lap: f64,
    least_offset: f64,
    starter_offset: f64,
    least_end: f64,
    shortest_offcut: f64,
}

#[derive(Serialize)]
struct StarterTwin {
    butt: f64,
    height: f64,
    first: f64,
    last: f64,
    joints: Vec<f64>,
    pieces: Vec<[f64; 2]>,
}

#[derive(Serialize)]
struct NailingTwin {
    per_piece: f64,
    least: u32,
    from_butt: f64,
    from_ends: f64,
}

#[derive(Serialize)]
struct ValleyTwin {
    edge: Option<usize>,
    from: [f64; 2],
    to: [f64; 2],
    /// On which hand of the face.
    hand: &'static str,
    side: &'static str,
    #[serde(flatten)]
    cut: ValleyCutTwin,
    no_nail_within: f64,
}

#[derive(Serialize)]
#[serde(untagged)]
enum ValleyCutTwin {
    Open { clear: f64, widen: f64, clear_at_foot: f64, clear_at_head: f64 },
    Through { past: f64, no_joint_within: f64 },
    Cut { short: f64 },
}

#[derive(Serialize)]
struct TopTwin {
    edge: Option<usize>,
    kind: &'static str,
    v: f64,
    from: f64,
    to: f64,
    over: Vec<OverTwin>,
}

#[derive(Serialize)]
struct OverTwin {
    course: usize,
    by: f64,
    done: &'static str,
}

#[derive(Serialize)]
struct CoverTwin {
    kind: &'static str,
    from: [f64; 2],
    to: [f64; 2],
    by: f64,
}

#[derive(Serialize)]
struct RowTwin<'a> {
    course: usize,
    butt: f64,
    from: f64,
    to: f64,
    first: f64,
    last: f64,
    joints: Vec<f64>,
    pieces: Vec<RowPieceTwin<'a>>,
}

#[derive(Serialize)]
struct RowPieceTwin<'a> {
    /// Its place in its course in laying order, from 1. The same number twice: two parts of one piece.
    piece: usize,
    from: f64,
    to: f64,
    /// Where the left end of the uncut piece would lie.
    uncut_from: f64,
    cut: bool,
    offcut_of: Option<OffcutTwin<'a>>,
}

#[derive(Serialize)]
struct OffcutTwin<'a> {
    face: NameTwin<'a>,
    course: usize,
    piece: usize,
}

/// Rows of underlay or deck on a face.
#[derive(Serialize)]
pub(super) struct PlanTwin<'a> {
    face: NameTwin<'a>,
    width: f64,
    length: Option<f64>,
    thickness: Option<f64>,
    spacing: Option<f64>,
    head_lap: f64,
    end_lap: f64,
    double: bool,
    /// Which way strips run: `across` the slope or `up` it.
    direction: &'static str,
    /// Lower edges of the rows up the slope; of strips up it left edges along the eave.
    edges: Vec<f64>,
    rows: usize,
    count: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    pieces: Option<Vec<PlanPieceTwin>>,
    /// What is covered, past the face's own edges where the layer runs past them: trapezoids.
    #[serde(skip_serializing_if = "Option::is_none")]
    outline: Option<Vec<[[f64; 2]; 4]>>,
}

#[derive(Serialize)]
struct PlanPieceTwin {
    row: usize,
    from: f64,
    to: f64,
    length: f64,
    edge: f64,
    head: f64,
    width: f64,
    /// Which roll it is cut from, counted from 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    roll: Option<u32>,
}

/// A strip of felt that belongs to no row.
#[derive(Serialize)]
pub(super) struct StripTwin<'a> {
    /// `valley`, or what the opening is that it goes round.
    at: &'a str,
    length: f64,
    width: f64,
    rolls: &'a [u32],
}

/// A layer of felt.
#[derive(Serialize)]
pub(super) struct LayerTwin<'a> {
    rolls: u32,
    area: f64,
    faces: Vec<PlanTwin<'a>>,
    strips: Vec<StripTwin<'a>>,
}

/// Every face as laid; with `rows` each row and piece.
pub(super) fn layouts<'a>(answer: &'a TakeOff, roof: &'a Roof, rows: bool) -> Vec<LayoutTwin<'a>> {
    let each = answer.faces.iter().zip(&answer.layouts);
    each.map(|(count, layout)| LayoutTwin::new(count, layout, roof, rows)).collect()
}

/// Rows of underlay or deck on every face; with `pieces` each piece.
pub(super) fn plans<'a>(plans: &'a [PiecePlan], roof: &'a Roof, pieces: bool) -> Vec<PlanTwin<'a>> {
    let piece = |piece: &crate::takeoff::pieces::PlanPiece| PlanPieceTwin {
        row: piece.row + 1,
        from: piece.u[0],
        to: piece.u[1],
        length: piece.u[1] - piece.u[0],
        edge: piece.v[0],
        head: piece.v[1],
        width: piece.v[1] - piece.v[0],
        roll: piece.roll,
    };
    let plan = |plan: &'a PiecePlan| PlanTwin {
        face: NameTwin::of(roof, plan.face),
        width: plan.stock.width,
        length: plan.stock.length,
        thickness: plan.stock.thickness,
        spacing: plan.stock.spacing,
        head_lap: plan.laps.head,
        end_lap: plan.laps.end,
        double: plan.laps.double,
        direction: plan.direction.word(),
        rows: plan.rows().len(),
        edges: plan.rows(),
        count: plan.pieces.len(),
        pieces: pieces.then(|| plan.pieces.iter().map(piece).collect()),
        outline: None,
    };
    plans.iter().map(plan).collect()
}

fn cells(plan: &PiecePlan) -> Vec<[[f64; 2]; 4]> {
    plan.region.cells().iter().map(|cell| cell.corners().map(|corner| pair(&corner))).collect()
}

/// A layer of felt; `None` where there is none.
pub(super) fn layer<'a>(layer: &'a LayerLaid, roof: &'a Roof, pieces: bool) -> Option<LayerTwin<'a>> {
    let strip = |strip: &'a StripLaid| StripTwin {
        at: strip.opening.map_or("valley", |_| &strip.what),
        length: strip.length,
        width: strip.width,
        rolls: &strip.rolls,
    };
    (!layer.plans.is_empty()).then(|| LayerTwin {
        rolls: layer.rolls,
        area: layer.area,
        faces: plans(&layer.plans, roof, pieces)
            .into_iter()
            .zip(&layer.plans)
            .map(|(twin, plan)| PlanTwin { outline: pieces.then(|| cells(plan)), ..twin })
            .collect(),
        strips: layer.strips.iter().map(strip).collect(),
    })
}

impl<'a> LayoutTwin<'a> {
    fn new(count: &'a FaceCount, layout: &'a FaceLayout, roof: &'a Roof, rows: bool) -> Self {
        let told: &Details = &layout.details;
        let starters: Vec<StarterTwin> = layout.starter_rows().into_iter().flat_map(StarterTwin::of).collect();
        let along_eaves: usize = layout.starter_runs.iter().map(|run| run.pieces.len()).sum();
        let rings =
            |rings: &[Vec<Point2<f64>>]| rings.iter().map(|ring| ring.iter().map(pair).collect()).collect::<Vec<_>>();
        Self {
            face: NameTwin::of(roof, count.face),
            courses: count.courses,
            gauge: count.gauge,
            pieces: count.pieces(),
            pieces_whole: count.pieces_whole,
            pieces_cut: count.pieces_cut,
            pieces_from_offcuts: count.pieces_from_offcuts,
            waste: count.waste,
            scrap: count.scrap,
            cuts: count.cuts,
            cut_length: count.cut_length,
            bonds_tried: layout.choice.tried,
            pieces_of_worst_bond: layout.choice.worst,
            turn: told.turn + 1,
            from: layout.hand.word(),
            start: StartTwin { at: told.start.u, why: told.start.why.word() },
            bond: told.bond.as_ref().map(|bond| BondTwin { step: bond.step, shifts: &bond.shifts, first: &bond.first }),
            piece: PieceTwin::of(told),
            starter: layout.starter_rows().into_iter().flat_map(StarterTwin::of).next(),
            starters,
            verge_starters: layout.starter.len() - along_eaves,
            narrow_ends: layout.choice.slivers,
            nailing: told.nailing.map(|nailing| NailingTwin {
                per_piece: nailing.per_piece,
                least: nailing.least,
                from_butt: nailing.from_butt,
                from_ends: nailing.from_ends,
            }),
            corner_clip: told.corner_clip,
            valleys: told.valleys.iter().map(ValleyTwin::of).collect(),
            tops: told.tops.iter().map(TopTwin::of).collect(),
            covers: told.covers.iter().map(CoverTwin::of).collect(),
            lapped: told.lapped.iter().map(CoverTwin::of).collect(),
            outline: rows.then(|| rings(&layout.outline[..layout.first_opening])),
            openings: rows.then(|| rings(&layout.outline[layout.first_opening..])),
            rows: rows.then(|| layout.rows().into_iter().map(|row| RowTwin::of(row, layout, roof)).collect()),
        }
    }
}

fn pair(place: &Point2<f64>) -> [f64; 2] {
    [place.x, place.y]
}

impl PieceTwin {
    fn of(told: &Details) -> Self {
        let piece = &told.piece;
        Self {
            kind: piece.kind.word(),
            caps_each: piece.caps_each,
            width: piece.width,
            height: piece.height,
            tab: piece.tab,
            layers: piece.layers,
            head_lap: piece.head_lap,
            least_offset: piece.least_offset,
            starter_offset: piece.starter_offset,
            least_end: piece.least_end,
            shortest_offcut: piece.shortest_offcut,
        }
    }
}

impl StarterTwin {
    fn of((height, rows): (f64, Vec<Row>)) -> Vec<Self> {
        let twin = |row: Row| Self {
            butt: row.butt_v,
            height,
            first: row.first,
            last: row.last,
            pieces: row.stretches.iter().map(|stretch| stretch.u).collect(),
            joints: row.joints,
        };
        rows.into_iter().map(twin).collect()
    }
}

impl ValleyTwin {
    fn of(stretch: &ValleyStretch) -> Self {
        let cut = match stretch.side {
            ValleySide::Open { clear, widen, at } => {
                ValleyCutTwin::Open { clear, widen, clear_at_foot: at[0], clear_at_head: at[1] }
            }
            ValleySide::Through { past, no_joint_within } => ValleyCutTwin::Through { past, no_joint_within },
            ValleySide::Cut { short } => ValleyCutTwin::Cut { short },
        };
        let [from, to] = stretch.ends.map(|end| pair(&end));
        let edge = stretch.edge.map(crate::base::ids::EdgeId::index);
        let hand = stretch.hand.word();
        Self { edge, from, to, hand, side: stretch.side.word(), cut, no_nail_within: NO_NAIL_WITHIN }
    }
}

impl TopTwin {
    fn of(top: &TopEdge) -> Self {
        let over = top.over.iter().map(|over| OverTwin {
            course: over.course,
            by: over.by,
            done: if over.folds { "folded" } else { "trimmed" },
        });
        let edge = top.edge.map(crate::base::ids::EdgeId::index);
        Self { edge, kind: top.kind.word(), v: top.v, from: top.u[0], to: top.u[1], over: over.collect() }
    }
}

impl CoverTwin {
    fn of(cover: &Cover) -> Self {
        let [from, to] = cover.line.map(|end| pair(&end));
        Self { kind: cover.kind.word(), from, to, by: cover.by }
    }
}

impl<'a> RowTwin<'a> {
    fn of(row: Row, layout: &FaceLayout, roof: &'a Roof) -> Self {
        let course: &Course = &layout.courses[row.course - 1];
        let piece = |stretch: &crate::takeoff::rows::RowSpan| {
            let piece = &course.pieces[stretch.piece];
            RowPieceTwin {
                piece: stretch.piece + 1,
                from: stretch.u[0],
                to: stretch.u[1],
                uncut_from: piece.from_u,
                cut: piece.cut,
                offcut_of: match piece.source {
                    Source::New => None,
                    Source::Offcut(place) => Some(OffcutTwin {
                        face: NameTwin::of(roof, place.face),
                        course: place.course + 1,
                        piece: place.piece + 1,
                    }),
                },
            }
        };
        Self {
            course: row.course,
            butt: row.butt_v,
            from: row.from_u,
            to: row.to_u,
            first: row.first,
            last: row.last,
            pieces: row.stretches.iter().map(piece).collect(),
            joints: row.joints,
        }
    }
}
