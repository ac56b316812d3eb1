//! How the volume from datum to roof moves: by what its faces rise, all over them, and by what stands plumb round them goes
//! out, as high as the roof is there.

use super::elements::Elements;
use crate::base::gradient::Gradient;
use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::polygon::{contains, signed_area};
use crate::base::polygon_boolean;
use crate::outline::Footprint;
use crate::roof::model::{Face, FaceKind, Roof};
use nalgebra::{Point2, Vector2};

/// The derivatives of the volume. Of a single block with overhangs what lies within the walls counts alone; joined blocks
/// with overhangs are given without these.
pub fn follow(roof: &Roof, footprints: &[Footprint], elements: &Elements) -> Gradient {
    let mut sum = Gradient::new();
    let walls = footprints.first().filter(|_| footprints.len() == 1).and_then(|footprint| footprint.walls.as_ref());
    for (id, face) in roof.roof_faces() {
        let Some(&slope) = elements.slopes_of(id).first() else { continue };
        let ring = |ring: &[CornerId]| ring.iter().map(|&corner| roof.at(corner).xy()).collect::<Vec<_>>();
        let rings: Vec<Vec<Point2<f64>>> =
            std::iter::once(ring(&face.ring)).chain(face.holes.iter().map(|hole| ring(hole))).collect();
        let beside = Beside { roof, elements, id, face, slope };
        match walls {
            None => {
                over(elements, slope, &rings, &mut sum);
                beside.uprights(&mut sum);
            }
            Some(walls) => {
                for region in polygon_boolean::common(&rings, walls) {
                    over(elements, slope, &region.rings, &mut sum);
                    let ends = region.rings.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
                    for (from, to) in ends {
                        if let Some(upright) = elements.wall_under(&[*from, *to]) {
                            beside.along(upright, [*from, *to], &mut sum);
                        }
                    }
                }
                beside.inner_walls(walls, &mut sum);
            }
        }
    }
    sum.merged()
}

/// Adds what a slope rises, summed over an area: it is linear, so the middle tells.
fn over(elements: &Elements, slope: usize, rings: &[Vec<Point2<f64>>], sum: &mut Gradient) {
    for ring in rings {
        let area = signed_area(ring);
        if let Some(middle) = middle(ring) {
            elements.lift(slope, &middle, area, sum);
        }
    }
}

/// The centre of gravity of a ring.
fn middle(ring: &[Point2<f64>]) -> Option<Point2<f64>> {
    let origin = ring.first()?;
    let (mut moment, mut twice) = (Vector2::zeros(), 0.0);
    for (from, to) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        let (a, b) = (from - origin, to - origin);
        let cross = a.perp(&b);
        moment += (a + b) * cross;
        twice += cross;
    }
    (twice != 0.0).then(|| origin + moment / (3.0 * twice))
}

/// A roof face and what is about it.
struct Beside<'a> {
    roof: &'a Roof,
    elements: &'a Elements,
    id: FaceId,
    face: &'a Face,
    slope: usize,
}

impl Beside<'_> {
    /// The edges of the face beyond which no slope goes on, with the wall there.
    fn ends(&self) -> impl Iterator<Item = ([Point2<f64>; 2], Option<FaceId>, EdgeId)> + '_ {
        let rings = std::iter::once(&self.face.ring).chain(&self.face.holes);
        let runs = rings.flat_map(|ring| (0..ring.len()).map(move |at| [ring[at], ring[(at + 1) % ring.len()]]));
        runs.zip(&self.face.edges).filter_map(|(ends, &edge)| {
            let other = self.roof.edges[edge.index()].faces.iter().copied().find(|face| *face != self.id);
            let is_wall = other.is_none_or(|other| self.roof.faces[other.index()].kind == FaceKind::Wall);
            is_wall.then(|| (ends.map(|corner| self.roof.at(corner).xy()), other, edge))
        })
    }

    /// Adds what goes out round the face.
    fn uprights(&self, sum: &mut Gradient) {
        for (ends, wall, edge) in self.ends() {
            let on = wall.map_or_else(|| self.elements.under(edge), |wall| Some(self.elements.uprights_of(wall)));
            if let Some(upright) = on.and_then(<[usize]>::first) {
                self.along(*upright, ends, sum);
            }
        }
    }

    /// The same where the face runs against a wall within the block, as over a gablet.
    fn inner_walls(&self, walls: &[Vec<Point2<f64>>], sum: &mut Gradient) {
        for (ends, wall, _) in self.ends() {
            let middle = nalgebra::center(&ends[0], &ends[1]);
            let is_within = walls.iter().filter(|ring| contains(ring, &middle)).count() % 2 == 1;
            let on = wall.and_then(|wall| self.elements.uprights_of(wall).first());
            if let Some(upright) = on.filter(|_| is_within && self.elements.wall_under(&ends).is_none()) {
                self.along(*upright, ends, sum);
            }
        }
    }

    /// Adds what an upright lets in along a stretch of the face's rim, the face to the left.
    fn along(&self, upright: usize, [from, to]: [Point2<f64>; 2], sum: &mut Gradient) {
        let way = to - from;
        let outwards = Vector2::new(way.y, -way.x);
        let times = outwards.dot(&self.elements.uprights[upright].normal());
        for (place, weight) in simpson(&from, &to) {
            let height = self.elements.height_at(self.slope, &place);
            self.elements.push(upright, &place, times * weight * height, sum);
        }
    }
}

/// The middle of a polygon's edge and its ends, with Simpson's weights: exact for the product of two linear functions.
fn simpson(from: &Point2<f64>, to: &Point2<f64>) -> [(Point2<f64>, f64); 3] {
    [(*from, 1.0 / 6.0), (nalgebra::center(from, to), 4.0 / 6.0), (*to, 1.0 / 6.0)]
}
