//! What a solved job answers.

use super::building::Building;
use super::finding::{Finding, OpenArea, OpenLength};
use super::quantities::{EdgeQuantities, FaceQuantities, Quantities, Sources, Totals};
use crate::base::estimate::{Estimate, Reason, State};
use crate::base::ids::{EdgeId, FaceId, PlaneId};
use crate::framing::{self, Framing};
use crate::roof::analysis::drainage;
use crate::roof::analysis::drainage::Drainage;
use crate::roof::analysis::opening::CutOpening;
use crate::roof::analysis::standing::SettingOut;
use crate::roof::kernel::points::Move;
use crate::roof::{Edge, Roof};
use crate::survey::report::Report;
use nalgebra::Point2;

pub use super::spread::{PlaneSpread, Spread};

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
    /// Where openings and dormers stand in their faces.
    pub set_out: Vec<SettingOut>,
    /// The building under the roof as it is drawn.
    pub building: Building,
    /// How far each point of a face by points was moved to lie on all its faces.
    pub moves: Vec<Move>,
    /// Which eave or valley the water of each part of each face reaches.
    pub drainage: Drainage,
    /// Cutting data.
    pub framing: Framing,
    /// The adjustment's account of itself.
    pub survey: Report,
    /// How sure areas and lengths are by the measurements' own sigmas.
    pub spread: Spread,
    /// Every quantity of the roof, with how sure it is.
    pub quantities: Quantities,
    /// Faces by points that the measurements do not place, so that the roof lacks them.
    pub unlocated: Vec<PlaneId>,
    /// What was done or noticed, the roof's own findings included: what stops the work first, then what casts doubt, each
    /// group in the order of the stages.
    pub findings: Vec<Finding>,
}

impl Answer {
    /// An answer that is a roof and nothing else: nobody measured it, so nothing is known of how sure it is.
    #[must_use]
    pub fn of_roof(roof: Roof) -> Self {
        let answer = Self {
            drainage: drainage::drain(&roof),
            framing: framing::cutting_data(&roof),
            findings: roof.findings.iter().cloned().map(Finding::from).collect(),
            roof,
            corners: Vec::new(),
            openings: Vec::new(),
            set_out: Vec::new(),
            building: Building::default(),
            moves: Vec::new(),
            survey: Report::default(),
            spread: Spread::default(),
            quantities: Quantities::default(),
            unlocated: Vec::new(),
        };
        answer.measured_by(Report::default(), Spread::default())
    }

    /// The same roof with an account of its measurements and how sure they make it.
    #[must_use]
    pub fn measured_by(mut self, survey: Report, spread: Spread) -> Self {
        self.quantities = Quantities::of(&Sources {
            roof: &self.roof,
            openings: &self.openings,
            drainage: &self.drainage,
            spread: &spread,
            widening: survey.widening(),
            part_missing: !self.unlocated.is_empty(),
        });
        (self.survey, self.spread) = (survey, spread);
        self
    }

    /// What is known of a face. Precondition: the face is the roof's.
    #[must_use]
    pub fn of_face(&self, face: FaceId) -> &FaceQuantities {
        &self.quantities.faces()[face.index()]
    }

    /// What is known of an edge. Precondition: the edge is the roof's.
    #[must_use]
    pub fn of_edge(&self, edge: EdgeId) -> &EdgeQuantities {
        &self.quantities.edges()[edge.index()]
    }

    /// A face's area on the slope, openings not taken off, square metres.
    #[must_use]
    pub fn area(&self, face: FaceId) -> Estimate {
        self.of_face(face).area
    }

    /// A face's pitch, radians from level.
    #[must_use]
    pub fn pitch(&self, face: FaceId) -> Estimate {
        self.of_face(face).pitch
    }

    /// An edge's length, metres.
    #[must_use]
    pub fn length(&self, edge: EdgeId) -> Estimate {
        self.of_edge(edge).length
    }

    /// Areas, lengths and heights of the whole roof.
    #[must_use]
    pub fn totals(&self) -> &Totals {
        self.quantities.totals()
    }

    /// What was measured of each face by points, before its plane is met with its neighbours', in the order of the file.
    #[must_use]
    pub fn surveyed(&self) -> Vec<SurveyedFace<'_>> {
        let wide = self.survey.widening();
        let estimate = |value: Option<f64>, sd: Option<f64>| match (value, sd) {
            (Some(value), Some(sd)) => Estimate::measured(value, sd * wide),
            _ => Estimate::not_determined(Reason::NotLocated),
        };
        let faces = self.survey.faces.iter().map(|face| SurveyedFace {
            name: &face.name,
            area: estimate(face.area, face.area_sd),
            pitch: estimate(face.pitch, face.pitch_sd),
        });
        faces.collect()
    }
}

/// A face by points as it was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SurveyedFace<'a> {
    /// Its name.
    pub name: &'a str,
    /// Of its own polygon, square metres.
    pub area: Estimate,
    /// From level, radians.
    pub pitch: Estimate,
}

/// A finding for all areas and one for all lengths that are not answered.
pub(super) fn not_determined(roof: &Roof, quantities: &Quantities) -> Vec<Finding> {
    let doubtful = |estimate: Estimate| match estimate.state() {
        State::NotDetermined(Reason::TooUncertain { value, sd }) => Some((value, sd)),
        _ => None,
    };
    let area = |(at, of): (usize, &FaceQuantities)| {
        let (area, sd) = doubtful(of.area)?;
        Some(OpenArea { face: FaceId::new(at), area, sd })
    };
    let length = |(at, (edge, of)): (usize, (&Edge, &EdgeQuantities))| {
        let (length, sd) = doubtful(of.length)?;
        Some(OpenLength { edge: EdgeId::new(at), faces: edge.faces.to_vec(), length, sd })
    };
    let areas: Vec<OpenArea> = quantities.faces().iter().enumerate().filter_map(area).collect();
    let lengths: Vec<OpenLength> = roof.edges.iter().zip(quantities.edges()).enumerate().filter_map(length).collect();
    let areas = (!areas.is_empty()).then_some(Finding::AreasNotDetermined { areas });
    let lengths = (!lengths.is_empty()).then_some(Finding::LengthsNotDetermined { lengths });
    areas.into_iter().chain(lengths).collect()
}
