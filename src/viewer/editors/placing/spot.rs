//! Where a part stands: on a side of an outline, or in a face. Plain geometry, metres.

use crate::base::ids::FaceId;
use crate::base::polygon;
use crate::base::tolerance::ROUNDING;
use crate::job::Job;
use crate::outline::Role;
use crate::outline::block::{BlockRole, OutlineDatum};
use crate::roof::Roof;
use crate::roof::model::frame::FaceFrame;
use nalgebra::{Point2, Point3, Vector2};

/// A side that a part can stand on.
#[derive(Clone, Debug, PartialEq)]
pub struct Host {
    /// Its block, by its number in the file.
    pub block: usize,
    /// Its block's name and its own, as the file names it.
    pub name: String,
    /// Names of the corners at its ends.
    pub corners: [String; 2],
    /// Where they are.
    pub ends: [Point2<f64>; 2],
    /// Straight away from its block, of length 1.
    pub out: Vector2<f64>,
    /// Whether its outline is walked with the block to the right.
    pub is_clockwise: bool,
    /// Of the outline here above datum.
    pub height: f64,
    /// Of the slope that rises from it, radians; `None` at a gable.
    pub pitch: Option<f64>,
}

impl Host {
    /// Its level length.
    #[must_use]
    pub fn length(&self) -> f64 {
        (self.ends[1] - self.ends[0]).norm()
    }

    /// Its direction.
    #[must_use]
    pub fn along(&self) -> Vector2<f64> {
        (self.ends[1] - self.ends[0]) / self.length().max(ROUNDING)
    }

    /// How far along it a place lies, and how far from it.
    fn near(&self, place: &Point2<f64>) -> (f64, f64) {
        let at = self.along().dot(&(place - self.ends[0]));
        let nearest = self.ends[0] + self.along() * at.clamp(0.0, self.length());
        (at, (place - nearest).norm())
    }
}

/// The sides of a job's outlines that a part can stand on: courtyards, sides that run in and walls left out. O(sides).
#[must_use]
pub fn hosts(job: &Job, corners: &[Vec<Vec<Point2<f64>>>]) -> Vec<Host> {
    let mut found = Vec::new();
    for (number, (block, rings)) in job.blocks.iter().zip(corners).enumerate() {
        let (Some(ring), Some(places)) = (block.rings.first(), rings.first()) else { continue };
        if ring.sides.len() != places.len() || places.len() < 3 {
            continue;
        }
        let is_clockwise = polygon::signed_area(places) < 0.0;
        for (index, side) in ring.sides.iter().enumerate() {
            let pitch = match &side.role {
                BlockRole::RunsInto | BlockRole::Known(Role::Abutment) => continue,
                BlockRole::Known(Role::Eave { pitch, .. } | Role::Gablet { pitch, .. }) => Some(pitch.radians()),
                BlockRole::EaveOfUnknownPitch | BlockRole::Known(Role::Verge | Role::HalfHip { .. }) => None,
            };
            let next = (index + 1) % places.len();
            let Some(along) = (places[next] - places[index]).try_normalize(ROUNDING) else { continue };
            let right = Vector2::new(along.y, -along.x);
            found.push(Host {
                block: number,
                name: format!("{}/{}", block.name, side.name),
                corners: [side.name.clone(), ring.sides[next].name.clone()],
                ends: [places[index], places[next]],
                out: if is_clockwise { -right } else { right },
                is_clockwise,
                height: side.height,
                pitch,
            });
        }
    }
    found
}

/// By how much the drip edge lies below the plate of a block for a slope, metres.
#[must_use]
pub fn drop_at_eave(datum: &OutlineDatum, pitch: Option<f64>) -> f64 {
    match (datum, pitch) {
        (OutlineDatum::Wall { overhang, .. }, Some(pitch)) => overhang.eave * pitch.tan(),
        _ => 0.0,
    }
}

/// A face that a part can stand in.
#[derive(Clone, Debug, PartialEq)]
pub struct Surface {
    /// The face.
    pub face: FaceId,
    /// Its name, as the file names it.
    pub name: String,
    /// Along its eave and up its slope.
    pub frame: FaceFrame,
    /// Its outline in that frame.
    pub ring: Vec<Point2<f64>>,
}

impl Surface {
    /// A face of a roof; `None` for one without a slope, and for a face by points where `is_walked` asks for a side.
    #[must_use]
    pub fn of(roof: &Roof, face: FaceId, is_walked: bool) -> Option<Self> {
        let stated = roof.faces.get(face.index())?;
        let frame = FaceFrame::of(roof, stated).filter(|_| !is_walked || stated.side().is_some())?;
        let ring = roof.ring(stated).iter().map(|corner| frame.to_face(corner)).collect();
        Some(Self { face, name: stated.name(), frame, ring })
    }

    /// How far it reaches along its eave and up its slope.
    #[must_use]
    pub fn extent(&self) -> [f64; 2] {
        [0, 1].map(|axis| self.ring.iter().map(|place| place[axis]).fold(0.0, f64::max))
    }

    /// Level metres to a metre up the slope.
    #[must_use]
    pub fn level(&self) -> f64 {
        self.frame.up.xy().norm()
    }
}

/// The uppermost roof face over a place. O(corners).
#[must_use]
pub fn face_over(roof: &Roof, place: &Point2<f64>) -> Option<(FaceId, Point3<f64>)> {
    let plan = |ids: &[crate::base::ids::CornerId]| ids.iter().map(|id| roof.at(*id).xy()).collect::<Vec<_>>();
    let over = roof.roof_faces().filter(|(_, face)| {
        polygon::contains(&plan(&face.ring), place)
            && !face.holes.iter().any(|hole| polygon::contains(&plan(hole), place))
    });
    let heights = over.filter_map(|(id, face)| Some((id, face.plane.height_at(place)?)));
    let (id, height) = heights.max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some((id, Point3::new(place.x, place.y, height)))
}

/// What a part stands on.
#[derive(Clone, Debug, PartialEq)]
pub enum Ground {
    /// A side.
    Side(Host),
    /// A face.
    Face(Surface),
}

/// Where a part stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// On what.
    pub ground: Ground,
    /// Its corner nearest the beginning of the side, or its lower left one in the face's frame.
    pub at: [f64; 2],
    /// Along the side or the eave, and away from it.
    pub size: [f64; 2],
}

/// What a dimension of a part tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Measure {
    /// From the beginning of the side, or from the left end of the eave.
    Before,
    /// Along the side or the eave.
    Width,
    /// To the end of it.
    After,
    /// Away from the side; up the slope from the eave.
    Reach,
}

/// A dimension of a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dimension {
    /// What it tells.
    pub of: Measure,
    /// From where
    pub from: Point3<f64>,
    /// to where.
    pub to: Point3<f64>,
    /// How long that is.
    pub metres: f64,
}

/// How a place is made a tidy one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Snap {
    /// Lengths are multiples of this.
    pub step: f64,
    /// The middle and the ends catch what comes this near.
    pub reach: f64,
}

impl Snap {
    /// The offset along something of a length at which something of a width stands tidily, nearest to `wanted`: in the
    /// middle, at an end, or at a whole step.
    #[must_use]
    pub fn along(self, wanted: f64, width: f64, length: f64) -> f64 {
        let room = (length - width).max(0.0);
        let caught = [room / 2.0, 0.0, room].into_iter().find(|place| (wanted - place).abs() <= self.reach);
        caught.unwrap_or_else(|| self.stepped(wanted)).clamp(0.0, room)
    }

    /// The nearest whole step.
    #[must_use]
    pub fn stepped(self, wanted: f64) -> f64 {
        (wanted / self.step).round() * self.step
    }
}

impl Spot {
    /// A part on a side about a place along it; as wide as the side at most.
    #[must_use]
    pub fn on_side(host: Host, size: [f64; 2], middle: f64, snap: Snap) -> Self {
        let width = size[0].min(host.length());
        let at = snap.along(middle - width / 2.0, width, host.length());
        Self { ground: Ground::Side(host), at: [at, 0.0], size: [width, size[1]] }
    }

    /// A part in a face about a place of its frame. `size` is what it takes of the face.
    #[must_use]
    pub fn on_face(surface: Surface, size: [f64; 2], middle: Point2<f64>, snap: Snap) -> Self {
        let along = snap.along(middle.x - size[0] / 2.0, size[0], surface.extent()[0]);
        let up = snap.stepped(middle.y - size[1] / 2.0).max(0.0);
        Self { ground: Ground::Face(surface), at: [along, up], size }
    }

    /// The same moved.
    #[must_use]
    pub fn moved(&self, by: [f64; 2]) -> Self {
        let mut moved = self.clone();
        match &self.ground {
            Ground::Side(host) => {
                moved.at[0] = (self.at[0] + by[0]).clamp(0.0, (host.length() - self.size[0]).max(0.0));
            }
            Ground::Face(_) => {
                moved.at = [(self.at[0] + by[0]).max(0.0), (self.at[1] + by[1]).max(0.0)];
            }
        }
        moved
    }

    /// A place by its own axes: along, and away from the side or up the slope.
    fn place(&self, at: [f64; 2]) -> Point3<f64> {
        match &self.ground {
            Ground::Side(host) => {
                let plan = host.ends[0] + host.along() * at[0] + host.out * at[1];
                Point3::new(plan.x, plan.y, host.height)
            }
            Ground::Face(surface) => surface.frame.to_space(&Point2::from(at)),
        }
    }

    /// Its corners, round it.
    #[must_use]
    pub fn corners(&self) -> [Point3<f64>; 4] {
        let ([x, y], [w, h]) = (self.at, self.size);
        [[x, y], [x + w, y], [x + w, y + h], [x, y + h]].map(|at| self.place(at))
    }

    /// The name of what it stands on.
    #[must_use]
    pub fn on(&self) -> &str {
        match &self.ground {
            Ground::Side(host) => &host.name,
            Ground::Face(surface) => &surface.name,
        }
    }

    /// What is drawn and typed of it: to the ends of what it stands on, how wide, how far out or up.
    #[must_use]
    pub fn dimensions(&self) -> Vec<Dimension> {
        let ([x, y], [w, h]) = (self.at, self.size);
        let (length, reach) = match &self.ground {
            Ground::Side(host) => (host.length(), [[x, y], [x, y + h]]),
            Ground::Face(surface) => (surface.extent()[0], [[x, 0.0], [x, y]]),
        };
        let line = |of, from: [f64; 2], to: [f64; 2]| Dimension {
            of,
            from: self.place(from),
            to: self.place(to),
            metres: (to[0] - from[0]).hypot(to[1] - from[1]),
        };
        vec![
            line(Measure::Before, [0.0, y], [x, y]),
            line(Measure::Width, [x, y], [x + w, y]),
            line(Measure::After, [x + w, y], [length.max(x + w), y]),
            line(Measure::Reach, reach[0], reach[1]),
        ]
    }
}

/// The side nearest to a place, and how far along it that is. O(sides).
#[must_use]
pub fn nearest<'a>(hosts: &'a [Host], place: &Point2<f64>) -> Option<(&'a Host, f64)> {
    let near = |host: &'a Host| {
        let (at, away) = host.near(place);
        (host, at, away)
    };
    let nearest = hosts.iter().map(near).min_by(|a, b| a.2.total_cmp(&b.2))?;
    Some((nearest.0, nearest.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn host() -> Host {
        Host {
            block: 0,
            name: "store/A".to_owned(),
            corners: ["A".to_owned(), "B".to_owned()],
            ends: [Point2::new(0.0, 0.0), Point2::new(9.2, 0.0)],
            out: Vector2::new(0.0, -1.0),
            is_clockwise: false,
            height: 2.4,
            pitch: None,
        }
    }

    #[test]
    fn middle_and_ends_catch_and_all_else_is_a_whole_step() {
        let snap = Snap { step: 0.05, reach: 0.12 };
        let at = |middle: f64| Spot::on_side(host(), [4.0, 2.5], middle, snap).at[0];
        assert!((at(4.7) - 2.6).abs() < 1e-12);
        assert_eq!(at(2.05), 0.0);
        assert!((at(7.3) - 5.2).abs() < 1e-12);
        assert!((at(3.513) - 1.5).abs() < 1e-12);
        assert_eq!([at(-5.0), at(50.0)].map(|at| (at * 10.0).round()), [0.0, 52.0]);
    }

    #[test]
    fn dimensions_reach_to_the_ends_of_the_side() {
        let spot = Spot::on_side(host(), [4.0, 2.5], 3.5, Snap { step: 0.05, reach: 0.0 });
        let metres: Vec<f64> = spot.dimensions().iter().map(|of| of.metres).collect();
        for (found, wanted) in metres.iter().zip([1.5, 4.0, 3.7, 2.5]) {
            assert!((found - wanted).abs() < 1e-12, "{metres:?}");
        }
        assert!((spot.corners()[2] - Point3::new(5.5, -2.5, 2.4)).norm() < 1e-12);
        // Wider than its side it is cut to it.
        assert_eq!(Spot::on_side(host(), [12.0, 2.5], 3.5, Snap { step: 0.05, reach: 0.0 }).size[0], 9.2);
    }
}
