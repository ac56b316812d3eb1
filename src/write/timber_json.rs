//! Timbers as JSON, within `framing` of `solve --json`. Lengths metres, angles degrees.

use super::name::NameTwin;
use crate::framing::Framing;
use crate::framing::spec::Section;
use crate::framing::timber::piece::Cut;
use crate::framing::timber::stock::SAW;
use crate::framing::timber::{Home, Piece, Seat, SettingOut, TimberLine};
use crate::roof::Roof;
use serde::Serialize;

/// Pieces cut alike.
#[derive(Serialize)]
pub struct PieceTwin {
    mark: String,
    /// The mark without its hand.
    group: String,
    kind: &'static str,
    count: usize,
    /// What is cut, end to end.
    length: f64,
    /// Along the middle of the top.
    top: f64,
    /// Along the top from long point to long point.
    long_point: f64,
    theoretical: f64,
    run: f64,
    section: [f64; 2],
    slope: f64,
    plumb_cut: f64,
    level_cut: f64,
    shortening_foot: f64,
    shortening_head: f64,
    foot: Vec<CutTwin>,
    head: Vec<CutTwin>,
    backing: [f64; 2],
    lowered: f64,
    seat: Option<SeatTwin>,
}

#[derive(Serialize)]
struct CutTwin {
    against: &'static str,
    plumb: f64,
    tilt: f64,
    across_top: f64,
    across_top_12: f64,
}

#[derive(Serialize)]
struct SeatTwin {
    tail: f64,
    heel: f64,
    seat: f64,
    notch: f64,
    packing: f64,
}

/// One timber where it lies.
#[derive(Serialize)]
pub struct TimberTwin<'a> {
    mark: String,
    face: Option<NameTwin<'a>>,
    edge: Option<usize>,
    from: [f64; 3],
    to: [f64; 3],
}

/// A purlin or a collar as a line.
#[derive(Serialize)]
pub struct LineTwin {
    kind: &'static str,
    length: f64,
    from: [f64; 3],
    to: [f64; 3],
}

impl LineTwin {
    /// The twin of a line.
    #[must_use]
    pub fn of(line: &TimberLine) -> Self {
        let [from, to] = line.ends.map(|end| [end.x, end.y, end.z]);
        Self { kind: line.kind.word(), length: line.length(), from, to }
    }
}

/// What is bought and how it is cut.
#[derive(Default, Serialize)]
pub struct StockTwin {
    bought: Vec<BoughtTwin>,
    sticks: Vec<StickTwin>,
    saw_cut: f64,
}

/// Where the rafters of a face stand along its plate or eave.
#[derive(Serialize)]
pub struct SettingOutTwin<'a> {
    face: NameTwin<'a>,
    from: &'static str,
    centres: Vec<f64>,
}

impl<'a> SettingOutTwin<'a> {
    /// The twin of a face's setting out.
    #[must_use]
    pub fn of(roof: &'a Roof, out: &'a SettingOut) -> Self {
        Self {
            face: NameTwin::of(roof, out.face),
            from: if out.from_plate { "plate" } else { "eave" },
            centres: out.centres.clone(),
        }
    }
}

#[derive(Serialize)]
struct BoughtTwin {
    section: [f64; 2],
    length: f64,
    count: usize,
}

#[derive(Serialize)]
struct StickTwin {
    section: [f64; 2],
    length: f64,
    pieces: Vec<String>,
    left: f64,
}

fn section(of: Section) -> [f64; 2] {
    [of.thickness, of.depth]
}

impl PieceTwin {
    /// The twin of a piece.
    #[must_use]
    pub fn of(piece: &Piece) -> Self {
        let cut = |cut: &Cut| CutTwin {
            against: cut.against.word(),
            plumb: cut.plumb.to_degrees(),
            tilt: cut.tilt.to_degrees(),
            across_top: cut.on_top.to_degrees(),
            across_top_12: 12.0 * cut.on_top.abs().tan(),
        };
        let seat = |seat: Seat| SeatTwin {
            tail: seat.tail,
            heel: seat.heel,
            seat: seat.seat,
            notch: seat.notch,
            packing: seat.packing,
        };
        Self {
            mark: piece.mark(),
            group: piece.group(),
            kind: piece.kind.word(),
            count: piece.count(),
            length: piece.length,
            top: piece.top,
            long_point: piece.long_point,
            theoretical: piece.theoretical,
            run: piece.run,
            section: section(piece.section),
            slope: piece.slope.to_degrees(),
            plumb_cut: piece.slope.to_degrees(),
            level_cut: piece.level_cut().to_degrees(),
            shortening_foot: piece.shortening[0],
            shortening_head: piece.shortening[1],
            foot: piece.ends[0].iter().map(cut).collect(),
            head: piece.ends[1].iter().map(cut).collect(),
            backing: piece.backing.map(f64::to_degrees),
            lowered: piece.lowered,
            seat: piece.seat.map(seat),
        }
    }
}

impl<'a> TimberTwin<'a> {
    /// Every timber, piece by piece.
    pub fn all(roof: &'a Roof, framing: &'a Framing) -> impl Iterator<Item = Self> + 'a {
        let timbers = framing.timbers.iter().flat_map(|timbers| &timbers.all).collect::<Vec<_>>();
        framing.pieces.iter().flat_map(move |piece| {
            let timbers = timbers.clone();
            let mark = piece.mark();
            piece.timbers.iter().map(move |at| {
                let timber = timbers[*at];
                let (face, edge) = match timber.home {
                    Home::Face(face) => (Some(NameTwin(&roof.faces[face.index()].id)), None),
                    Home::Edge(edge) => (None, Some(edge.index())),
                    Home::Wall(_) => (None, None),
                };
                let at = timber.line.map(|end| [end.x, end.y, end.z]);
                Self { mark: mark.clone(), face, edge, from: at[0], to: at[1] }
            })
        })
    }
}

impl StockTwin {
    /// The cutting plan.
    #[must_use]
    pub fn all(framing: &Framing) -> Self {
        let plan = &framing.plan;
        let bought = plan.bought().into_iter().map(|of| BoughtTwin {
            section: section(of.section),
            length: of.length,
            count: of.count,
        });
        let sticks = plan.sticks.iter().map(|stick| StickTwin {
            section: section(stick.section),
            length: stick.length,
            pieces: stick.pieces.iter().map(|at| framing.pieces[*at].mark()).collect(),
            left: stick.left,
        });
        Self { bought: bought.collect(), sticks: sticks.collect(), saw_cut: SAW }
    }
}
