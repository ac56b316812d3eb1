//! Which observation is meant: by what it is and by the ids of the sides, points and faces it is of.

use super::equation::{Equation, Source, Term};
use super::model::{ObservationKind, RingInput, Survey};
use crate::base::ids::{BlockId, PlaneId, PointId, SideId};
use crate::base::place::Place;

/// An observation of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ObservationId {
    /// Length of a walked side.
    Length(SideId),
    /// Turn at the end of a walked side.
    Turn(SideId),
    /// An entry of [`Survey::observations`].
    Listed {
        /// What it is.
        what: Listed,
        /// Its place in the list.
        index: usize,
        /// Which of its parts: the point of a level group, the direction of a plumb line, the pair of an equal pitch.
        part: usize,
    },
    /// That a point lies on a face given by points.
    OnFace {
        /// The face, by its number in the survey.
        face: PlaneId,
        /// The point, by its number in the survey.
        point: PointId,
    },
    /// A mark in a photo.
    Mark {
        /// An index into [`Survey::photos`].
        photo: usize,
        /// The marked point.
        point: PointId,
    },
    /// A place on a straight edge in a photo.
    Line {
        /// An index into [`Survey::photos`].
        photo: usize,
        /// The points through which the edge runs.
        ends: [PointId; 2],
        /// Its place among those of the edge.
        place: usize,
    },
    /// A plumb edge in a photo.
    PlumbEdge {
        /// An index into [`Survey::photos`].
        photo: usize,
        /// Its place among those of the photo.
        edge: usize,
    },
    /// What a camera is taken to be before its photos are used.
    Lens {
        /// An index into [`Survey::cameras`].
        camera: usize,
        /// Which of its numbers.
        number: LensNumber,
    },
    /// The stated scale of a plan.
    Scale {
        /// An index into [`Survey::photos`].
        photo: usize,
    },
    /// Where an outline stands and heads.
    Frame,
}

/// What an entry of [`Survey::observations`] is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Listed {
    /// A taped distance.
    Tape,
    /// A size that is known without a tape.
    Known,
    /// Points that stand out from a line.
    Offset,
    /// An inclinometer on a face.
    PitchReading,
    /// Points at one height.
    Level,
    /// One point straight above another.
    Plumb,
    /// A right angle that was checked.
    Square,
    /// Faces of one pitch.
    EqualPitch,
    /// A point in the plumb plane over a line.
    Upright,
}

impl From<&ObservationKind> for Listed {
    fn from(kind: &ObservationKind) -> Self {
        match kind {
            ObservationKind::Tape { .. } => Self::Tape,
            ObservationKind::Known { .. } => Self::Known,
            ObservationKind::Offset { .. } => Self::Offset,
            ObservationKind::PitchReading { .. } => Self::PitchReading,
            ObservationKind::Level { .. } => Self::Level,
            ObservationKind::Plumb { .. } => Self::Plumb,
            ObservationKind::Square { .. } => Self::Square,
            ObservationKind::EqualPitch { .. } => Self::EqualPitch,
            ObservationKind::Upright { .. } => Self::Upright,
        }
    }
}

/// A number of a lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LensNumber {
    /// Focal length.
    Focal,
    /// Principal point, across.
    CentreX,
    /// Principal point, down.
    CentreY,
    /// First radial distortion coefficient.
    K1,
    /// Second radial distortion coefficient.
    K2,
}

/// What a reading is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Metres.
    Metre,
    /// Radians; degrees for people and in JSON.
    Radian,
    /// Pixels.
    Pixel,
    /// A plain number.
    One,
}

impl Unit {
    /// The unit as JSON names it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Metre => "m",
            Self::Radian => "degrees",
            Self::Pixel => "px",
            Self::One => "1",
        }
    }

    /// A number of this unit as JSON gives it, in the unit of [`Unit::word`].
    #[must_use]
    pub fn in_json(self, value: f64) -> f64 {
        if self == Self::Radian { value.to_degrees() } else { value }
    }
}

/// A measurement that may still be taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proposal {
    /// The distance of two places.
    Tape(Station, Station),
    /// The pitch of a face given by points.
    PitchReading(PlaneId),
    /// The pitch over a side of an outline once more, with a digital level.
    SidePitch(SideId),
}

impl Proposal {
    /// What it is read in.
    #[must_use]
    pub fn unit(self) -> Unit {
        match self {
            Self::Tape(..) => Unit::Metre,
            Self::PitchReading(_) | Self::SidePitch(_) => Unit::Radian,
        }
    }
}

/// A place that a tape can be held to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Station {
    /// A named point.
    Point(PointId),
    /// The corner a side starts from.
    Corner(SideId),
}

/// What equations stand for, by id and by place.
#[derive(Clone, Copy)]
pub(super) struct Sources<'a> {
    /// Rings with the names of their sides.
    pub rings: &'a [RingInput<'a>],
    /// Everything else.
    pub survey: &'a Survey,
}

impl Sources<'_> {
    /// The observation that an equation stands for.
    pub fn id(&self, source: Source) -> ObservationId {
        match source {
            Source::Length { ring, side } => ObservationId::Length(side_id(self.rings, ring, side)),
            Source::Turn { ring, side } => ObservationId::Turn(side_id(self.rings, ring, side)),
            Source::Observation(index, part) => match self.survey.observations.get(index) {
                Some(observation) => ObservationId::Listed { what: (&observation.kind).into(), index, part },
                None => ObservationId::Frame,
            },
            Source::OnFace { face, point } => match self.survey.faces.get(face).and_then(|f| f.points.get(point)) {
                Some(&point) => ObservationId::OnFace { face: PlaneId::new(face), point },
                None => ObservationId::Frame,
            },
            Source::Mark(photo, mark) => match self.survey.photos.get(photo).and_then(|p| p.marks.get(mark)) {
                Some(mark) => ObservationId::Mark { photo, point: mark.point },
                None => ObservationId::Frame,
            },
            Source::Line(photo, line, place) => match self.survey.photos.get(photo).and_then(|p| p.lines.get(line)) {
                Some(line) => ObservationId::Line { photo, ends: line.ends, place },
                None => ObservationId::Frame,
            },
            Source::PlumbEdge(photo, edge) => ObservationId::PlumbEdge { photo, edge },
            Source::Lens(camera, which) => {
                let centre = [LensNumber::CentreX, LensNumber::CentreY];
                let numbers = [LensNumber::Focal, centre[0], centre[1], LensNumber::K1, LensNumber::K2];
                ObservationId::Lens { camera, number: numbers[which.min(4)] }
            }
            Source::Scale(photo) => ObservationId::Scale { photo },
            Source::Datum => ObservationId::Frame,
        }
    }

    /// Where in the job an observation stands.
    pub fn place(&self, source: Source) -> Place {
        let first = || self.rings.first().map_or(Place::Job, |ring| Place::Block(ring.block.to_owned()));
        let side = |ring: usize, side: usize| match self.rings.get(ring) {
            Some(input) => Place::Side {
                block: input.block.to_owned(),
                side: input.sides.get(side).copied().unwrap_or_default().to_owned(),
            },
            None => Place::Job,
        };
        let name = |point: PointId| self.survey.points.get(point.index()).map_or("", |point| &point.name).to_owned();
        match source {
            Source::Length { ring, side: s } | Source::Turn { ring, side: s } => side(ring, s),
            Source::Observation(index, _) => Place::Observation(index),
            Source::OnFace { face, .. } => {
                self.survey.faces.get(face).map_or(Place::Job, |face| Place::Face(face.name.clone()))
            }
            Source::Mark(photo, mark) => match self.survey.photos.get(photo).and_then(|p| p.marks.get(mark)) {
                Some(mark) => Place::Mark { photo, point: name(mark.point) },
                None => Place::Photo(photo),
            },
            Source::Line(photo, ..) | Source::PlumbEdge(photo, _) | Source::Scale(photo) => Place::Photo(photo),
            Source::Lens(camera, _) => {
                self.survey.photos.iter().position(|photo| photo.camera == camera).map_or(Place::Job, Place::Photo)
            }
            Source::Datum => first(),
        }
    }
}

/// The id of a side of a ring in a list of rings, where each block's outer ring stands before its holes.
#[must_use]
pub(crate) fn side_id(rings: &[RingInput<'_>], ring: usize, side: usize) -> SideId {
    let outer = rings.iter().take(ring + 1).filter(|input| input.ring == 0).count();
    let number = |value: usize| u32::try_from(value).unwrap_or(u32::MAX);
    let hole = rings.get(ring).map_or(0, |input| input.ring);
    SideId { block: BlockId::new(outer.saturating_sub(1)), ring: number(hole), side: number(side) }
}

/// The unit of an equation's reading, and how many of it the equation's own unit makes.
#[must_use]
pub(super) fn unit(equation: &Equation, focal: f64) -> (Unit, f64) {
    match equation.term {
        Term::Turn(_) | Term::PlanAngle(_) | Term::Pitch(_) | Term::PitchDifference(_) => (Unit::Radian, 1.0),
        Term::LensValue { which: 0, .. } => (Unit::Pixel, focal),
        Term::LensValue { which: 3 | 4, .. } => (Unit::One, 1.0),
        // More pixels a metre are fewer metres a pixel, and a scale is stated as those.
        Term::SheetScale(_) => (Unit::One, -1.0 / equation.observed),
        Term::Mark { .. }
        | Term::OnLine { .. }
        | Term::Along { .. }
        | Term::OnSheet { .. }
        | Term::OffSheetLine { .. }
        | Term::LensValue { .. } => (Unit::Pixel, 1.0),
        _ => (Unit::Metre, 1.0),
    }
}
