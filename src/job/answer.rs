//! What a solved job answers.

use crate::base::diagnostic::Note;
use crate::base::fault::Fault;
use crate::base::ids::{EdgeId, FaceId};
use crate::framing::Framing;
use crate::roof::drainage::Drainage;
use crate::roof::opening::CutOpening;
use crate::roof::points::Move;
use crate::roof::{Edge, Face, Roof};
use crate::survey::report::{LARGEST_SD, Report};
use nalgebra::{Matrix3, Point2, Point3, Vector3};

/// Everything the stages found, ready to be drawn, ordered from and written.
#[derive(Clone, Debug)]
pub struct Answer {
    /// The verified roof.
    pub roof: Roof,
    /// Adjusted places of the measured corners, metres: per block, per ring, in file order. Where the outline was measured
    /// at the wall these are the wall's.
    pub corners: Vec<Vec<Vec<Point2<f64>>>>,
    /// Openings cut from its faces.
    pub openings: Vec<CutOpening>,
    /// How far each point of a face by points was moved to lie on all its faces.
    pub moves: Vec<Move>,
    /// Which eave or valley the water of each part of each face reaches.
    pub drainage: Drainage,
    /// Cutting data.
    pub framing: Framing,
    /// The adjustment's account of itself.
    pub survey: Report,
    /// How sure areas and lengths are.
    pub spread: Spread,
    /// What was done or noticed, the roof's own notes included, in the order of the stages.
    pub notes: Vec<Note>,
}

/// Standard deviations of the answer; `None` where the measurements did not allow one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spread {
    /// Of each face's area, square metres.
    pub face_area: Vec<Option<f64>>,
    /// Of each face's pitch, radians.
    pub face_pitch: Vec<Option<f64>>,
    /// Of each edge's length, metres.
    pub edge_length: Vec<Option<f64>>,
    /// Of the whole roof area, square metres.
    pub total_area: Option<f64>,
    /// Of each face's plane, at every place of it.
    pub face_plane: Vec<Option<PlaneSpread>>,
}

impl Answer {
    /// A face's area, square metres; `None` where it was not determined.
    #[must_use]
    pub fn area_of(&self, face: FaceId) -> Option<f64> {
        determined(self.roof.area(&self.roof.faces[face.index()]).0, self.spread.area_of(face))
    }

    /// An edge's length, metres; `None` where it was not determined.
    #[must_use]
    pub fn length_of(&self, edge: EdgeId) -> Option<f64> {
        determined(self.roof.length(&self.roof.edges[edge.index()]).0, self.spread.length_of(edge))
    }
}

fn determined(value: f64, sd: Option<f64>) -> Option<f64> {
    sd.is_none_or(|sd| sd <= LARGEST_SD * value).then_some(value)
}

/// A note for all areas and one for all lengths that are not answered, saying why.
pub(super) fn not_determined(roof: &Roof, spread: &Spread) -> Vec<Note> {
    let mut notes = Vec::new();
    let mut note = |what: &str, found: Vec<(String, Vec<String>)>| {
        if !found.is_empty() {
            let (told, faces): (Vec<String>, Vec<Vec<String>>) = found.into_iter().unzip();
            let message = format!(
                "not determined, for its standard deviation is more than {:.0} % of it: {what} {}",
                LARGEST_SD * 100.0,
                told.join("; "),
            );
            notes.push(Note { code: "not-determined", message, faces: faces.concat() });
        }
    };
    let area = |(at, face): (usize, &Face)| {
        let (area, sd) = (roof.area(face).0, spread.area_of(FaceId::new(at))?);
        let told = || (format!("of {} ({area:.3} ± {sd:.3} m²)", face.name), vec![face.name.clone()]);
        determined(area, Some(sd)).is_none().then(told)
    };
    note("the area", roof.faces.iter().enumerate().filter_map(area).collect());
    let length = |(at, edge): (usize, &Edge)| {
        let (length, sd) = (roof.length(edge).0, spread.length_of(EdgeId::new(at))?);
        let told = || {
            let faces: Vec<String> = edge.faces.iter().map(|face| roof.faces[face.index()].name.clone()).collect();
            (format!("of the {} of {} ({length:.3} ± {sd:.3} m)", edge.kind.word(), faces.join(" and ")), faces)
        };
        determined(length, Some(sd)).is_none().then(told)
    };
    note("the length", roof.edges.iter().enumerate().filter_map(length).collect());
    notes
}

/// How unsure a face's plane is, all over the face: by how much it may lie off, square to itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaneSpread {
    /// Three places of the plane that are not in one line, metres.
    pub places: [Point3<f64>; 3],
    /// Covariance of the plane's displacements there, square metres.
    pub covariance: Matrix3<f64>,
}

impl PlaneSpread {
    /// Standard deviation of the plane at a place of it, metres: the displacement of a plane is linear over it, so its
    /// variance is a quadratic form of the place's barycentric coordinates.
    #[must_use]
    pub fn at(&self, place: &Point3<f64>) -> f64 {
        let shares = self.shares(place);
        shares.dot(&(self.covariance * shares)).max(0.0).sqrt()
    }

    /// Barycentric coordinates of a place of the plane in the three places. Precondition: these are not in one line.
    #[must_use]
    pub fn shares(&self, place: &Point3<f64>) -> Vector3<f64> {
        let [a, b, c] = self.places;
        let normal = (b - a).cross(&(c - a));
        let whole = normal.norm_squared();
        let of = |from: &Point3<f64>, to: &Point3<f64>| (to - from).cross(&(place - from)).dot(&normal) / whole;
        Vector3::new(of(&b, &c), of(&c, &a), of(&a, &b))
    }
}

impl Spread {
    /// Of a face's plane.
    #[must_use]
    pub fn plane_of(&self, face: FaceId) -> Option<PlaneSpread> {
        self.face_plane.get(face.index()).copied().flatten()
    }

    /// Of a face's area, square metres.
    #[must_use]
    pub fn area_of(&self, face: FaceId) -> Option<f64> {
        self.face_area.get(face.index()).copied().flatten()
    }

    /// Of an edge's length, metres.
    #[must_use]
    pub fn length_of(&self, edge: EdgeId) -> Option<f64> {
        self.edge_length.get(edge.index()).copied().flatten()
    }
}

/// Why there is no answer: every reason found.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{}", self.faults.iter().map(|fault| fault.message.as_str()).collect::<Vec<_>>().join("; "))]
pub struct Failure {
    /// One or more.
    pub faults: Vec<Fault>,
}

impl Failure {
    /// Whether nothing is wrong with the job but that its measurements place no face: what they do tell is answered by
    /// [`super::measured`].
    #[must_use]
    pub fn is_for_want_of_measurements(&self) -> bool {
        !self.faults.is_empty() && self.faults.iter().all(|fault| fault.code == super::faults::NO_FACE_LOCATED)
    }
}
