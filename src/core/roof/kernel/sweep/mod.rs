//! The sweep: the outline shrinks as the height grows, every side at the cotangent of its pitch, and leaves the roof
//! behind (a weighted straight skeleton with additive weights; Held and Palfrader, arXiv 1604.03362).
//!
//! # Design
//! - **Planes, not coordinates.** A side is a plane `n · p = d + s z`; a wavefront vertex is a pair of planes, an event a
//!   triple ([`plane`]). Coordinates are computed from them and never built on.
//! - **Decimals as written.** [`decimals`] counts places and heights in units of which they are whole multiples, so that
//!   what happens at one height by what is written does so exactly, wherever the site lies.
//! - **Ratios as written.** Pitches that are ratios of small whole numbers make units that their runs are whole in, and the
//!   speeds of one direction are whole multiples of one number (`speeds`).
//! - **Integers.** [`canonical`] rounds every plane once to integer coefficients below 2⁵³ over shared powers of two, so
//!   that they are `f64` numbers as well. A float filter decides nearly every predicate; the rest is decided exactly in
//!   fixed 256-bit integers ([`wide`]) without allocation: a point is homogeneous integers of 160 bits.
//! - **Everything stands for itself as a plane.** A verge is a plane of speed 0. Two sides in one line of different
//!   pitch get a third between them, square to both, of speed 0 and no length: it grows into the step's wall. A side at
//!   its own height is plumb till then. Breaks, half-hips, gablets and own heights are all one event: a piece goes from
//!   a plane to the next of its profile at the exact height where the two meet.
//! - **One handler** ([`event`]) takes all events of exactly equal height, gathers the chains that meet in each point,
//!   sorts their ends by angle and joins those that bound one sector (planar matching; Biedl, Huber and Palfrader).
//!   [`settle`] then resolves neighbours that have become parallel: one plane, a ridge, or a pitch-break.
//! - **Heights as late as can be.** An event waits in the [`queue`] with a bound below its height from floats; its height
//!   is worked out exactly when it is due, its place only when it is among the lowest. Most are stale by then.
//! - **Only the lowest event is judged.** Where sides nearly meet in one point, many events lie closer than floats tell
//!   apart, and one that does not happen as the wavefront is may happen once those before it have.
//! - **Only reflex vertices split**, and the first contact of two parts of a wavefront always has one: [`search`] finds
//!   which pieces each may run into.
//! - **A face is what one piece swept**, with the parts it was split into and the pieces it became one with
//!   ([`wavefront::Skeleton::faces`]). So a loop is a hole where another loop of its own face is round it, whatever the
//!   signs of areas that rounding leaves of almost nothing.
//! - [`trace`] joins what is left behind to loops round faces, contracts remnants shorter than the tolerance and zips
//!   shut what has no width; [`crate::roof::checks`] verifies the outcome. Where it is refused, all is done again without
//!   contraction, and then with sides brought into line more sparingly ([`canonical::SNAPS`]): neighbours that hardly
//!   turn meet far from their corner when one of them is made parallel to a third side.
//!
//! # Rejected
//! - Floats with a tolerance: coincidences are the normal case in roofs, and no tolerance tells them from near misses.
//! - Floats, then double-doubles, then rationals: a tie, the normal case again, falls through to the rationals, which
//!   allocate; 53-bit integers make the exact path cost some tens of nanoseconds, and the middle step needless.
//! - Judging all events within the reach of rounding together as they leave the queue: those that became real only through
//!   the ones before them were lost, and regular stars never closed.
//! - Kinetic triangulations: their collapse heights are roots of quadratics, not ratios, and flips need orders of their
//!   own in degenerate cases.
//! - The 1998 procedure of Felkel and Obdržálek: it takes the bisector at a split for settled when it is not.
//! - The lower envelope of the sides' planes: right for convex outlines only.

pub mod candidates;
pub mod canonical;
pub mod decimals;
pub mod event;
pub mod grid;
mod here;
mod in_line;
mod lines;
pub mod plane;
pub mod queue;
pub mod search;
pub mod settle;
mod speeds;
pub mod trace;
pub mod wavefront;
pub mod wide;

use crate::outline::Footprint;
use crate::roof::SolveError;
use canonical::Canonical;
use wavefront::{Skeleton, Sweep};

/// Sweeps a footprint. `input` gains the steps between sides that come together in the sweep and part further up: for each
/// the sweep is run again, so that all planes are there before it begins; few roofs have one.
///
/// # Errors
/// The roof never closes, or a coincidence has no reading.
pub fn sweep(input: &mut Canonical, footprint: &Footprint, with_events: bool) -> Result<Skeleton, SolveError> {
    loop {
        match Sweep::new(input, footprint, with_events).run() {
            Ok(Ok(skeleton)) => return Ok(skeleton),
            Ok(Err(parting)) => input.add_step(parting),
            // A step whose place is rounded can tangle with what meets there exactly: then the flatter goes on instead.
            Err(SolveError::Tangled { .. }) if input.has_late_steps() => input.leave_out_late_steps(),
            Err(error) => return Err(error),
        }
    }
}
