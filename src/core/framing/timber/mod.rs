//! Every timber of a roof as a solid piece: where it lies, between which planes, what it bears on.
//!
//! | file | what |
//! |---|---|
//! | `model` | timbers as data |
//! | `plan` | directions in plan |
//! | `body` | a convex body by its planes |
//! | `cut` | the planes that end a timber, from the edges of faces |
//! | `node` | which of the timbers that meet at a corner runs through, and how the others are cut against it |
//! | `run` | ridges in one line |
//! | `ridge`, `fold`, `rafter`, `board` | ridge boards; hips and valleys; rafters, jacks and trimmers; plates and fascias |
//! | `grid` | where the rafters of a face stand |
//! | `piece` | timbers cut alike, with a mark, lengths and cuts |
//! | `seat` | how rafters sit on the plate |
//! | `lines` | purlins and collars as lines |
//! | `setting_out` | where rafters are marked along the plate; a piece as it is drawn |
//! | `clear` | whether every timber clears all others |
//! | `stock` | which length each is cut from |
//!
//! At a corner the longest ridge runs through, far enough that hips and valleys bear on its sides with a single cheek cut;
//! hips without a ridge are mitred. Rafters and jacks stand plumb, their tops in the face; ridges and, unless planed, hips
//! are lowered so that both slopes clear them. Tops are the faces of the solved roof: deck and covering lie on them.

mod board;
pub mod body;
mod clear;
mod cut;
mod fold;
mod grid;
mod lines;
pub mod model;
mod node;
pub mod piece;
mod plan;
mod rafter;
mod ridge;
mod run;
mod seat;
mod setting_out;
pub mod stock;

pub(super) use lines::lines;
pub use lines::{LineKind, TimberLine};
pub use model::{Against, Carcass, Clash, EndCut, Home, SHORTEST, Seat, Timber, TimberKind, Timbers, Wall};
pub use piece::{Hand, Piece};
pub(crate) use seat::inset_of;
pub use setting_out::{SettingOut, setting_out};

use crate::roof::analysis::chord::Chords;

/// Works out every timber. O(faces · folds + ridges · timbers + edges²) at worst: quick for a building, not for a town in one file.
#[must_use]
pub fn timbers(carcass: &Carcass<'_>) -> Timbers {
    let roof = carcass.roof;
    let chords: Vec<Option<Chords>> = roof
        .faces
        .iter()
        .map(|face| (face.kind == crate::roof::FaceKind::Roof).then(|| Chords::of(roof, face)).flatten())
        .collect();
    let heel = seat::heel(carcass);
    let meetings = node::Meetings::of(carcass);
    let mut timbers = Timbers { heel, ..Timbers::default() };
    fold::folds(carcass, &meetings, &mut timbers);
    ridge::boards(carcass, &meetings, &mut timbers);
    rafter::rafters(carcass, &chords, &meetings, &mut timbers);
    board::plates(carcass, &mut timbers);
    board::fascias(carcass, &mut timbers);
    seat::seats(carcass, &mut timbers);
    timbers.all.sort_by_key(|timber| timber.kind);
    timbers.clashes = clear::clashes(&timbers);
    timbers
}
