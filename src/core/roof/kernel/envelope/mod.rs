//! Several blocks' roofs as one: the upper envelope in plan.
//!
//! The site plan is cut up by every edge of every roof face, every wall and drip edge, and every line in which planes
//! of different blocks cross (`lines`, `arrangement`); over each cell no face begins or ends and no two change
//! places. So one look at each cell tells what is seen there (`label`); cells of one plane join to faces, and where
//! the building's height parts a wall is left (`pieces`, `walls`); `mesh` makes one surface of them, `assemble`
//! gives names and kinds. What comes out is checked before it leaves (`verify`).
//!
//! Heights in one place that differ by less than the tolerance makes on the steepest face are one corner. An exact
//! arrangement of the planes was tried in thought and put aside: faces arrive as rounded corners, so places that ought
//! to coincide differ in their last digits, and exactness would keep them apart.

pub(super) mod arrangement;
mod assemble;
pub mod gap;
mod label;
pub(super) mod lines;
mod mesh;
pub(super) mod pieces;
pub(super) mod sheets;
mod verify;
mod walls;

use crate::base::polygon::extent;
use crate::base::tolerance::default_for;
use crate::outline::footprint::Footprint;
use crate::roof::checks::Violation;
use crate::roof::model::Roof;
use crate::roof::model::finding::Finding;
use arrangement::Arrangement;
use label::Labels;
use nalgebra::Point2;
use sheets::Blocks;

/// Where a roof joined at the site's tolerance fails its checks, places nearer than this part of it are tried as one
/// instead: what is neither surely one place nor surely two at the one is either at another. Every check is as strict as
/// the part is fine.
const PARTS: [f64; 3] = [1.0, 1.0 / 16.0, 1.0 / 256.0];

/// The joined roof of blocks, each with its own solved roof, in file order. Nearer than `tolerance` (metres;
/// `None`: by the site's size) in plan is one place. The answer is checked: areas add up to what the outlines cover together,
/// corners lie on their planes, over every part of every face nothing hides it, every edge joins two faces or lies over an
/// outline, and without overhangs the solid closes and holds the volume that was summed up.
///
/// O(s²) for s edges of all faces together.
///
/// # Errors
/// When a check fails; never an unchecked roof.
pub fn join(footprints: &[Footprint], roofs: &[Roof], tolerance: Option<f64>) -> Result<Roof, Violation> {
    finer(footprints, tolerance, |tolerance| joined_at(footprints, roofs, tolerance))
}

/// The first that holds of what is made at a tolerance and, where that fails, at finer parts of it; the first refusal where
/// none does.
fn finer(
    footprints: &[Footprint],
    tolerance: Option<f64>,
    make: impl Fn(f64) -> Result<Roof, Violation>,
) -> Result<Roof, Violation> {
    let tolerance = tolerance.unwrap_or_else(|| {
        let corners = footprints.iter().flat_map(|footprint| &footprint.rings).flat_map(|ring| &ring.sides);
        default_for(extent(corners.map(|side| &side.start)))
    });
    let mut refused = None;
    for part in PARTS {
        match make(tolerance * part) {
            Ok(roof) => return Ok(roof),
            Err(violation) => refused.get_or_insert(violation),
        };
    }
    refused.map_or_else(|| Ok(Roof::default()), Err)
}

fn joined_at(footprints: &[Footprint], roofs: &[Roof], tolerance: f64) -> Result<Roof, Violation> {
    let blocks = Blocks::new(footprints, roofs, tolerance);
    let mut arrangement = Arrangement::of(&lines::segments(&blocks), tolerance);
    let labels = label::label(&arrangement, &blocks);
    let overhangs = footprints.iter().any(|footprint| footprint.walls.is_some());
    let mut roof = surface(&mut arrangement, &blocks, &labels)?;
    let plans: Vec<_> = (0..footprints.len()).map(|block| blocks.drip(block)).collect();
    verify::plan(&arrangement, &labels, &blocks, &plans)?;
    verify::upper(&roof, &blocks, false)?;
    roof.volume = Some(volume(&arrangement, &blocks, &labels));
    roof.feet = feet(&arrangement, &labels, blocks.tolerance);
    if !overhangs {
        verify::solid(&roof, blocks.slack())?;
    }
    roof.findings = roofs.iter().flat_map(|roof| roof.findings.clone()).collect();
    roof.events = roofs.iter().flat_map(|roof| roof.events.clone()).collect();
    roof.events.sort_by(|a, b| a.height.total_cmp(&b.height));
    for footprint in footprints {
        if !roof.faces.iter().any(|face| face.block() == Some(&footprint.name)) {
            roof.findings.push(Finding::BlockUnderRoof { block: footprint.name.clone() });
        }
    }
    Ok(roof)
}

/// What stands within the walls alone: the joined roof without overhangs, the walls under its edges. Closed down to the
/// datum it is the solid whose volume is the roof's.
///
/// # Errors
/// As [`join`].
pub fn body(footprints: &[Footprint], roofs: &[Roof], tolerance: Option<f64>) -> Result<Roof, Violation> {
    finer(footprints, tolerance, |tolerance| body_at(footprints, roofs, tolerance))
}

fn body_at(footprints: &[Footprint], roofs: &[Roof], tolerance: f64) -> Result<Roof, Violation> {
    let blocks = Blocks::new(footprints, roofs, tolerance);
    let mut arrangement = Arrangement::of(&lines::segments(&blocks), tolerance);
    let mut labels = label::label(&arrangement, &blocks);
    labels.visible = labels.solid.iter().map(|sheet| sheet.iter().copied().collect()).collect();
    let mut roof = surface(&mut arrangement, &blocks, &labels)?;
    let plans: Vec<_> = (0..footprints.len()).map(|block| blocks.walls(block)).collect();
    verify::plan(&arrangement, &labels, &blocks, &plans)?;
    verify::upper(&roof, &blocks, true)?;
    roof.volume = Some(volume(&arrangement, &blocks, &labels));
    roof.feet = feet(&arrangement, &labels, blocks.tolerance);
    verify::solid(&roof, blocks.slack())?;
    Ok(roof)
}

/// The checked surface of what the labels show.
fn surface(arrangement: &mut Arrangement, blocks: &Blocks, labels: &Labels) -> Result<Roof, Violation> {
    label::cut_where_heights_cross(arrangement, blocks, labels);
    let mut pieces = pieces::pieces(arrangement, blocks, labels)?;
    pieces.all.extend(walls::walls(arrangement, blocks, labels, &mut pieces.corners));
    mesh::cut_plumb_edges(&mut pieces.all, &pieces.corners);
    mesh::part_touching(&mut pieces.all, &mut pieces.corners);
    mesh::part_along(&mut pieces.all, &mut pieces.corners, arrangement, labels, blocks);
    let runs = mesh::runs(&pieces.all, blocks)?;
    verify::closed(arrangement, labels, &pieces, &runs, blocks)?;
    mesh::drop_needless_corners(&mut pieces.all, &pieces.corners.places, &runs, blocks.slack());
    let roof = assemble::roof(pieces, blocks)?;
    verify::faces(arrangement, labels, blocks, &roof)?;
    Ok(roof)
}

/// Between the datum and the highest sheet within walls, cubic metres.
fn volume(arrangement: &Arrangement, blocks: &Blocks, labels: &Labels) -> f64 {
    let mut sum = 0.0;
    let origin = arrangement.points.first().copied().unwrap_or_else(Point2::origin);
    for half in 0..arrangement.next.len() {
        let Some(sheet) = labels.solid[arrangement.cell[half]] else { continue };
        let [from, to] = arrangement.places(half);
        let sheet = &blocks.sheets[sheet];
        let mean = (sheet.height(&origin) + sheet.height(&from) + sheet.height(&to)) / 3.0;
        sum += (from - origin).perp(&(to - origin)) / 2.0 * mean;
    }
    sum
}

/// The outlines of all walls together.
fn feet(arrangement: &Arrangement, labels: &Labels, tolerance: f64) -> Vec<Vec<Point2<f64>>> {
    let rings = pieces::rings_of(arrangement, |half| labels.solid[arrangement.cell[half]].is_some());
    let mut feet: Vec<Vec<Point2<f64>>> = rings
        .iter()
        .map(|ring| {
            let places = pieces::plan(arrangement, ring);
            let bends = |k: &usize| {
                let before = places[(k + places.len() - 1) % places.len()];
                let after = places[(k + 1) % places.len()];
                arrangement::along(&places[*k], &before, &after).1 > tolerance
            };
            (0..places.len()).filter(bends).map(|k| places[k]).collect()
        })
        .collect();
    feet.sort_by(|a, b| crate::base::polygon::signed_area(b).total_cmp(&crate::base::polygon::signed_area(a)));
    feet
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::*;
    use crate::base::units::Pitch;
    use crate::outline::{Ring, Role, Side, TakesOver};
    use crate::roof::{Options, solve_one};

    fn block(name: &str, [x, y]: [f64; 2], [width, depth]: [f64; 2], pitches: [Option<f64>; 4]) -> Footprint {
        let corners = [[x, y], [x + width, y], [x + width, y + depth], [x, y + depth]];
        let side = |(corner, pitch): ([f64; 2], Option<f64>)| Side {
            name: format!("{}-{}", corner[0], corner[1]).into(),
            start: corner.into(),
            height: 2.5,
            role: pitch.map_or(Role::Verge, |degrees| {
                let pitch = Pitch::from_degrees(degrees).unwrap();
                Role::Eave { pitch, breaks: Vec::new() }
            }),
        };
        let sides = corners.into_iter().zip(pitches).map(side).collect();
        Footprint {
            name: name.into(),
            height: 2.5,
            rings: vec![Ring { sides }],
            walls: None,
            take_over: TakesOver::Flatter,
        }
    }

    /// A main roof and a wing that runs into it.
    fn wing_and_main() -> (Vec<Footprint>, Vec<Roof>) {
        let eave = Some(40.0);
        let main = block("main", [0.0, 0.0], [10.0, 6.0], [eave, None, eave, None]);
        let wing = block("wing", [3.0, -3.0], [4.0, 6.0], [None, eave, None, eave]);
        let footprints = vec![main, wing];
        let roofs = footprints.iter().map(|one| solve_one(one, &Options::default()).unwrap()).collect();
        (footprints, roofs)
    }

    #[test]
    fn each_check_finds_what_it_is_for() {
        let (footprints, roofs) = wing_and_main();
        let blocks = Blocks::new(&footprints, &roofs, default_for(10.0));
        let mut arrangement = Arrangement::of(&lines::segments(&blocks), blocks.tolerance);
        let labels = label::label(&arrangement, &blocks);
        let plans: Vec<_> = (0..2).map(|block| blocks.drip(block)).collect();
        verify::plan(&arrangement, &labels, &blocks, &plans).unwrap();
        // A cell taken for the outside.
        let mut bare = label::label(&arrangement, &blocks);
        let cell = (0..bare.visible.len()).find(|&cell| !bare.visible[cell].is_empty()).unwrap();
        bare.visible[cell].clear();
        assert!(verify::plan(&arrangement, &bare, &blocks, &plans).is_err());
        // The lower of two roofs shown where both are.
        let mut hidden = label::label(&arrangement, &blocks);
        let under = |cell: usize, block: usize| blocks.sheet_over(block, &arrangement.inside[cell]);
        for cell in 1..arrangement.inside.len() {
            if let (Some(main), Some(wing)) = (under(cell, 0), under(cell, 1)) {
                let lower = if labels.visible[cell] == [main] { wing } else { main };
                hidden.visible[cell] = vec![lower];
                hidden.solid[cell] = Some(lower);
            }
        }
        let mut second = Arrangement::of(&lines::segments(&blocks), blocks.tolerance);
        let wrong = surface(&mut second, &blocks, &hidden);
        assert!(wrong.and_then(|wrong| verify::upper(&wrong, &blocks, false)).is_err());
        let mut roof = surface(&mut arrangement, &blocks, &labels).unwrap();
        roof.volume = Some(volume(&arrangement, &blocks, &labels));
        roof.feet = feet(&arrangement, &labels, blocks.tolerance);
        verify::upper(&roof, &blocks, false).unwrap();
        verify::solid(&roof, blocks.slack()).unwrap();
        // A face lifted, a face lost, a volume summed up wrongly.
        let mut lifted = roof.clone();
        lifted.faces[0].plane.offset += 0.01;
        assert!(verify::upper(&lifted, &blocks, false).is_err());
        let mut open = roof.clone();
        open.faces.pop();
        assert!(verify::solid(&open, blocks.slack()).is_err());
        roof.volume = roof.volume.map(|volume| volume * 1.001);
        assert!(verify::solid(&roof, blocks.slack()).is_err());
    }
}
