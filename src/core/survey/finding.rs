//! What the adjustment has to say, as data.

use super::model::Survey;
use super::observation::{ObservationId, Unit};
use super::reliability::CRITICAL;
use super::report::{Choice, LARGEST_SD, RepeatedPhoto, Report, Suspect, Swapped, Undetermined, WhyOpen};
use crate::base::estimate::NINETY_FIVE;
use crate::base::finding::{self, Severity};
use crate::base::ids::{PlaneId, PointId};
use crate::base::place::Place;

/// A finding of the adjustment.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// The measurements disagree more than their standard deviations allow.
    Disagree {
        /// Weighted sum of squared residuals.
        chi2: f64,
        /// Between these it lies in 95 of 100 cases.
        bounds: [f64; 2],
        /// Measurements more than needed.
        surplus: usize,
        /// What standard deviations are multiplied by for it.
        widening: f64,
    },
    /// An observation to doubt.
    Doubtful {
        /// Which, and how far off.
        suspect: Suspect,
        /// How many are named of which one may be wrong.
        among: usize,
    },
    /// Something that the measurements do not fix.
    Undetermined(Undetermined),
    /// Two marks that seem to bear each other's names.
    Swapped(Swapped),
    /// Two photos that are one picture.
    RepeatedPhoto(RepeatedPhoto),
    /// Readings that no other measurement checks: an error in them goes unseen.
    Unchecked {
        /// Which.
        observations: Vec<ObservationId>,
    },
    /// The measurements fit another state as well, upside down or mirrored, and one was chosen.
    Chosen(Choice),
}

impl Report {
    /// What the adjustment has to say.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        let mut findings = Vec::new();
        if let (Some(chi2), Some(bounds)) = (self.chi2, self.chi2_bounds)
            && chi2 > bounds[1]
        {
            findings.push(Finding::Disagree { chi2, bounds, surplus: self.dof, widening: self.widening() });
        }
        findings.extend(self.swapped.map(Finding::Swapped));
        findings.extend(self.repeated_photos.iter().map(|repeated| Finding::RepeatedPhoto(*repeated)));
        let among = self.suspects.len();
        findings.extend(self.suspects.iter().map(|suspect| Finding::Doubtful { suspect: suspect.clone(), among }));
        findings.extend(self.undetermined.iter().map(|open| Finding::Undetermined(open.clone())));
        findings.extend(self.choices.iter().map(|choice| Finding::Chosen(*choice)));
        let unchecked = self.unchecked();
        if !unchecked.is_empty() {
            findings.push(Finding::Unchecked { observations: unchecked });
        }
        findings
    }
}

impl Finding {
    /// Where in the job it stands, where that is one place or a few.
    #[must_use]
    pub fn places(&self, survey: &Survey) -> Vec<Place> {
        let name = |point: PointId| survey.points.get(point.index()).map_or("", |point| &point.name).to_owned();
        let face = |face: PlaneId| survey.faces.get(face.index()).map(|face| Place::Face(face.name.clone()));
        match self {
            Self::Doubtful { suspect, .. } => vec![suspect.place.clone()],
            Self::Swapped(Swapped { photo, points }) => {
                points.iter().map(|&point| Place::Mark { photo: *photo, point: name(point) }).collect()
            }
            Self::RepeatedPhoto(RepeatedPhoto { first, second }) => vec![Place::Photo(*second), Place::Photo(*first)],
            Self::Undetermined(Undetermined::Photo { photo, .. }) => vec![Place::Photo(*photo)],
            Self::Undetermined(Undetermined::Point { point, .. }) | Self::Chosen(Choice { point, .. }) => {
                vec![Place::Point(name(*point))]
            }
            Self::Undetermined(Undetermined::Area { face: id, .. } | Undetermined::Pitch { face: id }) => {
                face(*id).into_iter().collect()
            }
            Self::Disagree { .. } | Self::Unchecked { .. } | Self::Undetermined(Undetermined::Size) => Vec::new(),
        }
    }
}

impl finding::Finding for Finding {
    fn code(&self) -> &'static str {
        match self {
            Self::Disagree { .. } => "measurements-disagree",
            Self::Doubtful { .. } => "measurement-doubtful",
            Self::Undetermined(open) => match open {
                Undetermined::Size => "size-not-determined",
                Undetermined::Point { .. } => "point-not-determined",
                Undetermined::Area { .. } => "face-area-not-determined",
                Undetermined::Pitch { .. } => "face-pitch-not-determined",
                Undetermined::Photo { .. } => "photo-not-used",
            },
            Self::Swapped(_) => "marks-swapped",
            Self::RepeatedPhoto(_) => "photo-repeated",
            Self::Unchecked { .. } => "measurements-unchecked",
            Self::Chosen(choice) if choice.upside_down => "way-up-chosen",
            Self::Chosen(_) => "mirror-image-chosen",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            // Ridges lie over eaves but for a butterfly roof; which of two mirror images stands there nobody can guess.
            Self::Chosen(choice) if choice.upside_down => Severity::Mind,
            Self::Disagree { .. }
            | Self::Doubtful { .. }
            | Self::Swapped(_)
            | Self::RepeatedPhoto(_)
            | Self::Chosen(_)
            | Self::Undetermined(Undetermined::Size | Undetermined::Photo { .. }) => Severity::Doubt,
            // What is lost with what is not determined, a face, is said to be doubtful by who loses it.
            Self::Undetermined(Undetermined::Point { .. } | Undetermined::Area { .. } | Undetermined::Pitch { .. })
            | Self::Unchecked { .. } => Severity::Note,
        }
    }

    fn planes(&self) -> Vec<PlaneId> {
        match self {
            Self::Undetermined(Undetermined::Area { face, .. } | Undetermined::Pitch { face }) => vec![*face],
            _ => Vec::new(),
        }
    }

    #[allow(clippy::cast_precision_loss)]
    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::Disagree { chi2, bounds, surplus, widening } => {
                vec![
                    ("chi2", *chi2),
                    ("chi2_low", bounds[0]),
                    ("chi2_high", bounds[1]),
                    ("surplus", *surplus as f64),
                    ("widened_by", *widening),
                ]
            }
            Self::Doubtful { suspect, among } => {
                let error = match suspect.unit {
                    Unit::Metre => "error",
                    Unit::Radian => "error_degrees",
                    Unit::Pixel => "error_px",
                    Unit::One => "error_of_one",
                };
                vec![
                    (error, suspect.unit.in_json(suspect.error())),
                    ("w", suspect.w.abs()),
                    ("w_limit", CRITICAL),
                    ("among", *among as f64),
                ]
            }
            Self::Undetermined(Undetermined::Area { why: WhyOpen::TooUncertain { area, sd }, .. }) => {
                vec![("area", *area), ("area_sd", *sd), ("area_95", NINETY_FIVE * sd), ("percent", 100.0 * LARGEST_SD)]
            }
            Self::Undetermined(Undetermined::Point { marked: Some(marked), .. }) => vec![("photos", *marked as f64)],
            Self::Undetermined(Undetermined::Photo { marks, wanted, .. }) => {
                vec![("marks", *marks as f64), ("marks_wanted", *wanted as f64)]
            }
            Self::Undetermined(Undetermined::Area { why: WhyOpen::LooseCorner { sd, .. }, .. }) => {
                vec![("corner_sd", *sd)]
            }
            Self::Chosen(choice) => vec![("apart", choice.apart)],
            Self::Unchecked { observations } => vec![("count", observations.len() as f64)],
            Self::Undetermined(_) | Self::Swapped(_) | Self::RepeatedPhoto(_) => Vec::new(),
        }
    }
}
