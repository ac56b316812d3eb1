//! Where rafters are marked along the plate, and a piece as it is drawn: its side and its top.

use super::model::{Carcass, EndCut, Home, Timber, TimberKind, Timbers};
use super::plan::{left_of, level};
use crate::base::ids::FaceId;
use crate::base::tolerance;
use crate::roof::model::frame::FaceFrame;
use nalgebra::{Point2, Vector3};

/// Where the rafters and jacks of a face stand.
#[derive(Clone, Debug, PartialEq)]
pub struct SettingOut {
    /// The face.
    pub face: FaceId,
    /// Whether places count from the left end of the wall plate; else from the left end of the face's lowest eave, both seen
    /// from outside.
    pub from_plate: bool,
    /// Centres along it, metres, in order.
    pub centres: Vec<f64>,
}

/// The centres of the rafters and jacks of every face, by face. O(timbers log timbers).
#[must_use]
pub fn setting_out(carcass: &Carcass<'_>, timbers: &Timbers) -> Vec<SettingOut> {
    let roof = carcass.roof;
    let of_face = |(id, face): (FaceId, &crate::roof::Face)| {
        let frame = FaceFrame::of(roof, face)?;
        let stands = |timber: &&Timber| {
            matches!(timber.kind, TimberKind::Rafter | TimberKind::Jack) && timber.home == Home::Face(id)
        };
        let places = timbers.all.iter().filter(stands).map(|timber| frame.to_face(&timber.line[0]).x);
        let walls = carcass.walls.iter().filter(|wall| face.is_of(&wall.side));
        let along = |end: &Point2<f64>| (end - frame.origin.xy()).dot(&frame.along.xy());
        let plate = walls.flat_map(|wall| wall.ends.each_ref().map(along)).reduce(f64::min);
        let mut centres: Vec<f64> = places.map(|place| place - plate.unwrap_or(0.0)).collect();
        centres.sort_by(f64::total_cmp);
        centres.dedup_by(|a, b| (*a - *b).abs() < tolerance::BESIDE);
        for centre in centres.iter_mut().filter(|centre| centre.abs() < tolerance::SMALLEST) {
            *centre = 0.0;
        }
        (!centres.is_empty()).then_some(SettingOut { face: id, from_plate: plate.is_some(), centres })
    };
    roof.roof_faces().filter_map(of_face).collect()
}

impl Timber {
    /// Its outline seen from its left side: x along it from its lower end's furthest point, y square to it, its top at 0, metres;
    /// anticlockwise, closed, the notch over the plate taken out. The ends are those of its left side; where they lean, the
    /// right side's differ. `None` where nothing is left of it.
    #[must_use]
    pub fn side_outline(&self) -> Option<Vec<Point2<f64>>> {
        self.side_at(self.section.thickness / 2.0)
    }

    /// The same of a plumb section so far to the left of its middle.
    #[must_use]
    pub fn side_at(&self, left: f64) -> Option<Vec<Point2<f64>>> {
        let start = self.body.extent(&self.along)?[0];
        let side = level(left_of(self.along.xy().try_normalize(f64::MIN_POSITIVE)?));
        let up = (Vector3::z() - self.along * self.along.z).normalize();
        let top = self.line[0] + side * left - Vector3::z() * self.lowered;
        let offset = self.along.dot(&top.coords) - start;
        let depth = self.section.depth;
        // From top to bottom an end moves along by its plane's lean.
        let at = |down: f64| {
            let from = top - up * down;
            let cuts = self.ends.iter().flatten().map(|cut: &EndCut| &cut.plane);
            super::body::left_of_line(cuts, &from, &self.along).map(|ends| ends.map(|end| end + offset))
        };
        let (over, under) = (at(0.0)?, at(depth)?);
        let mut outline = vec![Point2::new(under[0], -depth)];
        if let Some(seat) = self.seat.filter(|seat| seat.notch > tolerance::BESIDE) {
            // Plumb up from the underside at the plate's outer edge, level in to the underside again.
            let level_along = self.along.xy().norm();
            let rise = self.along.z;
            let foot = self.top_line()?[0] + offset + seat.tail;
            let corner = Point2::new(foot - seat.heel * rise, -seat.heel * level_along);
            let plumb = (depth + corner.y) / level_along;
            let outer = Point2::new(corner.x - plumb * rise, -depth);
            let inner = Point2::new(corner.x + (depth + corner.y) * level_along / rise.max(f64::MIN_POSITIVE), -depth);
            outline.extend([outer, corner, inner]);
        }
        outline.extend([Point2::new(under[1], -depth), Point2::new(over[1], 0.0), Point2::new(over[0], 0.0)]);
        Some(outline)
    }

    /// Its outline seen from above its top: x as in [`Timber::side_outline`], y to the left of its middle, metres; anticlockwise,
    /// closed.
    #[must_use]
    pub fn top_outline(&self) -> Option<Vec<Point2<f64>>> {
        let start = self.body.extent(&self.along)?[0];
        let offset = self.along.dot(&(self.line[0] - Vector3::z() * self.lowered).coords) - start;
        Some(self.top_corners()?.map(|(x, y)| Point2::new(x + offset, y)).to_vec())
    }

    /// Its top's outline in plan, on the site.
    #[must_use]
    pub fn plan_outline(&self) -> Option<Vec<Point2<f64>>> {
        let side = left_of(self.along.xy().try_normalize(f64::MIN_POSITIVE)?);
        let at = |(along, left): (f64, f64)| self.line[0].xy() + self.along.xy() * along + side * left;
        Some(self.top_corners()?.map(at).to_vec())
    }

    /// Corners of its top, each along it from its theoretical lower end and to the left of its middle; anticlockwise.
    fn top_corners(&self) -> Option<[(f64, f64); 6]> {
        let half = self.section.thickness / 2.0;
        let [right, middle, left] = [self.line_at(-half)?, self.line_at(0.0)?, self.line_at(half)?];
        Some([
            (right[0], -half),
            (right[1], -half),
            (middle[1], 0.0),
            (left[1], half),
            (left[0], half),
            (middle[0], 0.0),
        ])
    }
}
