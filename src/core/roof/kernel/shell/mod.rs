//! What leaves as a solid: the building within its walls, and its overhangs as thin sheets, verified as a closed manifold.
//!
//! Over every cell of the plan the solid is a stack of intervals: from the datum up to the roof within the walls, and
//! from just below the roof up to it where the roof hangs over. What bounds the intervals of a cell bounds the solid:
//! surfaces over the cells, and plumb panels over the arcs between two cells wherever one has solid and the other has
//! none. So it closes by the way it is made, whatever crosses or runs beneath what. Where two parts touch in a line or
//! a point they are parted ([`part`]), so that every edge has two faces by place as well as by number.
//!
//! A roof file says nothing of how thick an overhang is. Its sheet is a tenth of a millimetre on a small site and
//! a hundred times the tolerance on a large one, so that the volume stays the answer's.

mod cells;
mod fault;
mod flat;
pub mod manifold;
mod panels;
pub mod part;
mod sheet;

pub use fault::SolidFault;
pub use sheet::{overhangs, thickness};

use crate::base::polygon::signed_area;
use crate::roof::model::Roof;
use crate::roof::model::solid::{Solid, build};
use crate::roof::model::triangulate::Triangulator;
use cells::Cells;
use sheet::tolerance;

/// Part of the tolerance that a triangle may be wide and count as having no area.
const FLAT: f64 = 1e-3;

/// How many tolerances parts that touch are moved apart.
const APART: f64 = 20.0;

/// The verified solid of a roof from a datum up: closed, every edge between two triangles that run along it in opposite
/// ways, and of the roof's volume, that of its overhangs' sheets added. For a roof without walls, its faces alone, open.
/// O(n log n) without overhangs; with them O(s²) for s edges.
///
/// # Errors
/// What does not hold; never an unverified solid.
pub fn solid(roof: &Roof, datum: f64) -> Result<Solid, SolidFault> {
    solid_with_sheets(roof, datum, thickness(roof))
}

/// [`solid`] with the sheets of its overhangs as thick as asked for, metres, measured plumb: what is printed must have
/// a thickness.
///
/// # Errors
/// As [`solid`].
pub fn solid_with_sheets(roof: &Roof, datum: f64, sheet: f64) -> Result<Solid, SolidFault> {
    if roof.feet.is_empty() {
        return Ok(build(roof, datum));
    }
    let (mut solid, sheets) = if overhangs(roof) { stacked(roof, datum, sheet) } else { (build(roof, datum), 0.0) };
    let tolerance = tolerance(roof);
    if let Some(known) = roof.volume {
        let within: f64 = roof.feet.iter().map(|ring| signed_area(ring)).sum();
        let (expected, found) = (known - datum * within + sheets, solid.volume());
        let slack = 1e-9 * expected.abs() + tolerance * roof.total_area().0;
        if (found - expected).abs() > slack || found.is_nan() {
            return Err(SolidFault::Volume { expected, found });
        }
    }
    part::touching(&mut solid, APART * tolerance);
    flat::cut_neighbours(&mut solid, FLAT * tolerance);
    drop_unused(&mut solid);
    manifold::check(&solid, |place| [place.x, place.y, place.z].map(|value| (value + 0.0).to_bits()))?;
    Ok(solid)
}

/// The solid as stacked over cells, and the volume its overhangs' sheets add.
fn stacked(roof: &Roof, datum: f64, sheet: f64) -> (Solid, f64) {
    let mut cells = Cells::of(roof, datum, tolerance(roof), sheet);
    cells.cut_where_heights_cross();
    let sheets = cells.sheets_volume();
    let mut triangulator = Triangulator::default();
    let mut solid = Solid::default();
    cells.surfaces(&mut triangulator, &mut solid);
    panels::raise(&mut cells, roof, &mut triangulator, &mut solid);
    solid.positions = cells.corners.places;
    drop_unused(&mut solid);
    (solid, sheets)
}

/// Keeps the places that triangles have, in their order.
#[allow(clippy::cast_possible_truncation)]
fn drop_unused(solid: &mut Solid) {
    let mut number = vec![u32::MAX; solid.positions.len()];
    solid.triangles.iter().flatten().for_each(|&at| number[at as usize] = 0);
    let mut kept = Vec::new();
    for (at, place) in solid.positions.iter().enumerate().filter(|(at, _)| number[*at] == 0).collect::<Vec<_>>() {
        number[at] = kept.len() as u32;
        kept.push(*place);
    }
    solid.positions = kept;
    solid.triangles.iter_mut().flatten().for_each(|at| *at = number[*at as usize]);
}
