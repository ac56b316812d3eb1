//! Cells of the plan, what is solid over each, and the surfaces that bound it from above and below.

use crate::base::ids::FaceId;
use crate::base::polygon::contains;
use crate::roof::kernel::envelope::arrangement::{Arrangement, Half};
use crate::roof::kernel::envelope::lines::{crossing, near_pairs};
use crate::roof::kernel::envelope::pieces::{Corners, rings_of};
use crate::roof::kernel::envelope::sheets::BlockSheet;
use crate::roof::model::Roof;
use crate::roof::model::solid::Solid;
use crate::roof::model::triangulate::{Triangulator, axes};
use nalgebra::{Point2, Vector3};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// What bounds an interval of the solid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Surface {
    /// The datum.
    Floor,
    /// The underside of a roof face that hangs over.
    Under(usize),
    /// A roof face.
    Top(usize),
}

/// Solid from one surface up to another.
pub type Interval = [Surface; 2];

/// The plan cut up, and what is solid over each cell.
pub struct Cells {
    sheets: Vec<BlockSheet>,
    datum: f64,
    thickness: f64,
    tolerance: f64,
    slack: f64,
    /// The subdivision of the plan.
    pub arrangement: Arrangement,
    /// Over each cell, lowest first.
    pub solid: Vec<Vec<Interval>>,
    /// Corners over the points.
    pub corners: Corners,
    known: HashMap<(Surface, usize), usize>,
    extra: f64,
}

impl Cells {
    /// Cuts the plan by every edge of every roof face, by the walls, and by the lines in which an overhang's underside
    /// meets another face. O(s²) for s edges.
    pub fn of(roof: &Roof, datum: f64, tolerance: f64, thickness: f64) -> Self {
        let sheets = sheets(roof);
        let mut segments: Vec<[Point2<f64>; 2]> = Vec::new();
        for ring in sheets.iter().flat_map(|sheet| &sheet.rings).chain(&roof.feet) {
            segments.extend((0..ring.len()).map(|k| [ring[k], ring[(k + 1) % ring.len()]]));
        }
        for (one, other) in near_pairs(&sheets) {
            for (over, beneath) in [(one, other), (other, one)] {
                let mut under = sheets[over].clone();
                // A plane lies lower by as much as its offset along its normal says.
                under.plane.offset -= thickness * under.plane.normal.z;
                segments.extend(crossing(&under, &sheets[beneath], tolerance));
            }
        }
        let steepest = sheets.iter().map(BlockSheet::tangent).fold(1.0, f64::max);
        let slack = (2.0 * tolerance * (1.0 + steepest)).min(thickness / 8.0);
        let arrangement = Arrangement::of(&segments, tolerance);
        let corners = Corners::new(arrangement.points.len(), slack);
        let known = HashMap::new();
        let solid = vec![Vec::new(); arrangement.inside.len()];
        let mut cells =
            Self { sheets, datum, thickness, tolerance, slack, arrangement, solid, corners, known, extra: 0.0 };
        for cell in 1..cells.solid.len() {
            cells.solid[cell] = cells.stack(roof, &cells.arrangement.inside[cell]);
        }
        cells.extra = cells.sheets_over_cells();
        cells
    }

    /// The intervals over a place, lowest first.
    fn stack(&self, roof: &Roof, place: &Point2<f64>) -> Vec<Interval> {
        let mut over: Vec<usize> = (0..self.sheets.len()).filter(|&sheet| self.sheets[sheet].covers(place)).collect();
        over.sort_by(|&a, &b| self.sheets[a].height(place).total_cmp(&self.sheets[b].height(place)));
        let within = roof.feet.iter().filter(|ring| contains(ring, place)).count() % 2 == 1;
        let mut stack: Vec<Interval> = Vec::new();
        for (rank, &sheet) in over.iter().enumerate() {
            // Within the walls the lowest that is seen is the building's.
            let from = if rank == 0 && within { Surface::Floor } else { Surface::Under(sheet) };
            match stack.last_mut() {
                Some(below) if self.height(from, place) <= self.height(below[1], place) => {
                    below[1] = Surface::Top(sheet);
                }
                _ => stack.push([from, Surface::Top(sheet)]),
            }
        }
        stack
    }

    /// Height of a surface over a place, metres.
    pub fn height(&self, surface: Surface, place: &Point2<f64>) -> f64 {
        match surface {
            Surface::Floor => self.datum,
            Surface::Top(sheet) => self.sheets[sheet].height(place),
            Surface::Under(sheet) => self.sheets[sheet].height(place) - self.thickness,
        }
    }

    /// The corner of a surface over a point, always the same one.
    pub fn corner(&mut self, surface: Surface, point: usize) -> usize {
        if let Some(&found) = self.known.get(&(surface, point)) {
            return found;
        }
        let place = self.arrangement.points[point];
        let own = |sheet: usize| {
            let mut corners = self.sheets[sheet].corners.iter();
            corners.find(|corner| (corner.xy() - place).norm() <= self.tolerance).map(|corner| corner.z)
        };
        let height = match surface {
            Surface::Floor => None,
            Surface::Top(sheet) => own(sheet),
            Surface::Under(sheet) => own(sheet).map(|height| height - self.thickness),
        };
        let height = height.unwrap_or_else(|| self.height(surface, &place));
        let corner = self.corners.corner(&self.arrangement, point, height);
        self.known.insert((surface, point), corner);
        corner
    }

    /// Cuts arcs where two of the surfaces beside them pass through one height, so that along an arc their order never
    /// changes.
    pub(crate) fn cut_where_heights_cross(&mut self) {
        for arc in 0..self.arrangement.arcs.len() {
            let ends = self.arrangement.places(2 * arc);
            let surfaces = self.beside(arc);
            let mut shares: Vec<f64> = Vec::new();
            for (position, &one) in surfaces.iter().enumerate() {
                for &other in &surfaces[position + 1..] {
                    let gap = ends.map(|end| self.height(one, &end) - self.height(other, &end));
                    let apart = gap[0].abs() > self.slack && gap[1].abs() > self.slack;
                    if apart && (gap[0] > 0.0) != (gap[1] > 0.0) {
                        shares.push(gap[0] / (gap[0] - gap[1]));
                    }
                }
            }
            self.arrangement.cut_arc_at(arc, shares, self.tolerance);
        }
        self.corners.over.resize(self.arrangement.points.len(), Vec::new());
    }

    /// The surfaces that bound what is solid on either side of an arc.
    pub fn beside(&self, arc: usize) -> Vec<Surface> {
        let cells = [2 * arc, 2 * arc + 1].map(|half| self.arrangement.cell[half]);
        let mut surfaces: Vec<Surface> =
            cells.iter().flat_map(|&cell| self.solid[cell].iter().flatten().copied()).collect();
        surfaces.sort_unstable();
        surfaces.dedup();
        surfaces
    }

    /// The volume that overhangs add to what stands within the walls, cubic metres.
    pub(crate) fn sheets_volume(&self) -> f64 {
        self.extra
    }

    fn sheets_over_cells(&self) -> f64 {
        let arrangement = &self.arrangement;
        let origin = arrangement.points.first().copied().unwrap_or_else(Point2::origin);
        let mut sum = 0.0;
        for half in 0..arrangement.next.len() {
            let [from, to] = arrangement.places(half);
            let mean =
                |surface: Surface| [origin, from, to].iter().map(|at| self.height(surface, at)).sum::<f64>() / 3.0;
            let area = (from - origin).perp(&(to - origin)) / 2.0;
            for &[low, high] in &self.solid[arrangement.cell[half]] {
                // Within the walls what counts is what a sheet adds to the building's own roof.
                let low = if low == Surface::Floor { self.lowest_over(arrangement.cell[half]) } else { low };
                sum += area * (mean(high) - mean(low));
            }
        }
        sum
    }

    /// The building's own roof over a cell within the walls.
    fn lowest_over(&self, cell: usize) -> Surface {
        let place = &self.arrangement.inside[cell];
        let over = (0..self.sheets.len()).filter(|&sheet| self.sheets[sheet].covers(place));
        let height = |&sheet: &usize| self.sheets[sheet].height(place);
        over.min_by(|a, b| height(a).total_cmp(&height(b))).map_or(Surface::Floor, Surface::Top)
    }

    /// Every surface over the cells where it bounds the solid, in triangles.
    #[allow(clippy::cast_possible_truncation)]
    pub fn surfaces(&mut self, triangulator: &mut Triangulator, solid: &mut Solid) {
        let mut over: BTreeMap<Surface, BTreeSet<usize>> = BTreeMap::new();
        for (cell, stack) in self.solid.iter().enumerate() {
            for &surface in stack.iter().flatten() {
                over.entry(surface).or_default().insert(cell);
            }
        }
        for (surface, cells) in over {
            let rings = rings_of(&self.arrangement, |half: Half| cells.contains(&self.arrangement.cell[half]));
            let mut raise = |ring: Vec<Half>| -> Vec<u32> {
                ring.into_iter().map(|half| self.corner(surface, self.arrangement.ends(half)[0]) as u32).collect()
            };
            let rings: Vec<Vec<u32>> = rings.into_iter().map(&mut raise).collect();
            let face = match surface {
                Surface::Top(sheet) => Some(FaceId::new(self.sheets[sheet].face)),
                Surface::Under(_) | Surface::Floor => None,
            };
            let normal = match surface {
                Surface::Floor => Vector3::z(),
                Surface::Top(sheet) | Surface::Under(sheet) => self.sheets[sheet].plane.normal,
            };
            let (right, up) = axes(&normal);
            let origin = self.corners.places.first().copied().unwrap_or_default();
            let flat = |at: u32| {
                let spoke = self.corners.places[at as usize] - origin;
                Point2::new(spoke.dot(&right), spoke.dot(&up))
            };
            let triangles = triangulator.cut_floor(&rings, flat).0;
            let seen_from_above = matches!(surface, Surface::Top(_));
            let turned = triangles.into_iter().map(|[a, b, c]| if seen_from_above { [a, b, c] } else { [a, c, b] });
            solid.triangles.extend(turned);
            solid.face_of.resize(solid.triangles.len(), face);
        }
    }
}

fn sheets(roof: &Roof) -> Vec<BlockSheet> {
    let sheet = |(id, face): (FaceId, &crate::roof::model::Face)| {
        let outer = roof.ring(face);
        let holes = roof.holes(face);
        let rings = std::iter::once(&outer).chain(&holes).map(|ring| ring.iter().map(nalgebra::Point3::xy).collect());
        BlockSheet {
            block: id.index(),
            sides: Vec::new(),
            face: id.index(),
            plane: face.plane,
            rings: rings.collect(),
            same_plane: id.index(),
            corners: outer.into_iter().chain(holes.into_iter().flatten()).collect(),
        }
    };
    roof.roof_faces().map(sheet).collect()
}
