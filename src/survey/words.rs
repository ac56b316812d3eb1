//! Observations in words and by place, for people and for messages.

use super::equation::{Equation, Source, Term};
use super::model::{ObservationKind, RingInput, Survey};
use crate::base::ids::{PlaneId, PointId};
use crate::base::place::Place;

/// What the words speak of.
#[derive(Clone, Copy)]
pub struct Words<'a> {
    /// Rings with the names of their sides.
    pub rings: &'a [RingInput<'a>],
    /// Everything else with a name.
    pub survey: &'a Survey,
}

impl Words<'_> {
    fn point(&self, id: PointId) -> &str {
        self.survey.points.get(id.index()).map_or("?", |point| &point.name)
    }

    fn face(&self, id: PlaneId) -> &str {
        self.survey.faces.get(id.index()).map_or("?", |face| &face.name)
    }

    fn side(&self, ring: usize, side: usize) -> String {
        let Some(input) = self.rings.get(ring) else { return String::from("?") };
        format!("{}/{}", input.block, input.sides.get(side).copied().unwrap_or("?"))
    }

    /// A photo by its file, or by its number where it has none.
    #[must_use]
    pub fn photo(&self, photo: usize) -> String {
        self.survey.photos.get(photo).and_then(|p| p.file.clone()).unwrap_or_else(|| format!("photo {}", photo + 1))
    }

    /// "tape A-C", "length store/A", "mark E1 in front.jpg".
    #[must_use]
    pub fn observation(&self, source: Source) -> String {
        match source {
            Source::Length { ring, side } => format!("length {}", self.side(ring, side)),
            Source::Turn { ring, side } => format!("turn at the end of {}", self.side(ring, side)),
            Source::Observation(index, part) => self.listed(index, part),
            Source::OnFace { face, point } => {
                let Some(f) = self.survey.faces.get(face) else { return String::from("?") };
                let name = f.points.get(point).map_or("?", |&id| self.point(id));
                format!("point {name} on face {}", f.name)
            }
            Source::Mark(photo, mark) => {
                let name = self.survey.photos.get(photo).and_then(|p| p.marks.get(mark)).map(|m| self.point(m.point));
                format!("mark {} in {}", name.unwrap_or("?"), self.photo(photo))
            }
            Source::Lens(camera, which) => {
                let name = self.survey.cameras.get(camera).map_or("?", |c| &c.name);
                format!("{} of camera {name}", ["focal length", "centre x", "centre y", "k1"][which.min(3)])
            }
            Source::Datum => String::from("place and heading of an outline"),
        }
    }

    fn listed(&self, index: usize, part: usize) -> String {
        let Some(observation) = self.survey.observations.get(index) else { return String::from("?") };
        match &observation.kind {
            ObservationKind::Tape { from, to, .. } => format!("tape {}-{}", self.point(*from), self.point(*to)),
            ObservationKind::PitchReading { face, .. } => format!("pitch reading {}", self.face(*face)),
            ObservationKind::Level { points } => {
                let names: Vec<&str> = points.iter().map(|p| self.point(*p)).collect();
                format!("level {}: {}", names.join(" "), names.get(part).unwrap_or(&"?"))
            }
            ObservationKind::Plumb { a, b } => format!("plumb {}-{}", self.point(*a), self.point(*b)),
            ObservationKind::Square { at, arms } => {
                format!("square {}-{}-{}", self.point(arms[0]), self.point(*at), self.point(arms[1]))
            }
            ObservationKind::EqualPitch { faces } => {
                let name = |k: usize| faces.get(k).map_or("?", |&id| self.face(id));
                format!("equal pitch {}-{}", name(0), name(part + 1))
            }
            ObservationKind::Upright { point, over } => {
                format!("upright {} over {}-{}", self.point(*point), self.point(over[0]), self.point(over[1]))
            }
        }
    }

    /// Where in the job an observation stands.
    #[must_use]
    pub fn place(&self, source: Source) -> Place {
        let side = |ring: usize, side: usize| match self.rings.get(ring) {
            Some(input) => Place::Side {
                block: input.block.to_owned(),
                side: input.sides.get(side).copied().unwrap_or_default().to_owned(),
            },
            None => Place::Job,
        };
        match source {
            Source::Length { ring, side: s } | Source::Turn { ring, side: s } => side(ring, s),
            Source::Observation(index, _) => Place::Observation(index),
            Source::OnFace { face, .. } => {
                self.survey.faces.get(face).map_or(Place::Job, |face| Place::Face(face.name.clone()))
            }
            Source::Mark(photo, mark) => match self.survey.photos.get(photo).and_then(|p| p.marks.get(mark)) {
                Some(mark) => Place::Mark { photo, point: self.point(mark.point).to_owned() },
                None => Place::Photo(photo),
            },
            Source::Lens(camera, _) => {
                self.survey.photos.iter().position(|photo| photo.camera == camera).map_or(Place::Job, Place::Photo)
            }
            Source::Datum => Place::Job,
        }
    }
}

/// The unit an equation's reading is told to people in, and how many of it its own unit makes.
#[must_use]
pub fn unit(equation: &Equation, focal: f64) -> (&'static str, f64) {
    match (equation.term, equation.source) {
        (Term::Turn(_) | Term::PlanAngle(_) | Term::Pitch(_) | Term::PitchDifference(_), _) => {
            ("degrees", 1.0_f64.to_degrees())
        }
        (Term::LensValue { which: 0, .. }, _) => ("px", focal),
        (Term::LensValue { which: 3, .. }, _) => ("1", 1.0),
        (Term::Mark { .. } | Term::LensValue { .. }, _) => ("px", 1.0),
        _ => ("m", 1.0),
    }
}
