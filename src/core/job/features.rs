//! A feature of a map file on its way to a roof, and what may be wrong with it.

use super::outlines::{OutlineFault, PlacedOutline};
use crate::base::finding::{Finding, Severity, plainly_shown};

/// A feature as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Feature {
    /// Its line in a text, its number among rows and in a collection on one line, from 1.
    pub line: u64,
    /// What the file calls it, as it stands there: JSON; empty where it has none.
    pub id: String,
    /// Its outline.
    pub outline: Result<PlacedOutline, FeatureFault>,
}

/// What a property must be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Expected {
    /// A number.
    Number,
    /// A list of degrees, one a side.
    DegreesBySide,
    /// The name of a card.
    Card,
}

/// Why a feature has no roof.
#[derive(Clone, Debug, PartialEq)]
pub enum FeatureFault {
    /// A line or feature that is no JSON; what the reader of JSON says.
    Torn(String),
    /// Nothing but blanks.
    Blank,
    /// JSON that is no feature: what `type` says.
    NotAFeature(String),
    /// No geometry.
    NoGeometry,
    /// A geometry that is no polygon: what its type is.
    NotAPolygon(String),
    /// Bytes that are no geometry in the well-known binary form.
    NotWkb,
    /// A property that is not what it must be.
    Property {
        /// Its name.
        key: &'static str,
        /// What stands there.
        found: String,
        /// What was expected.
        expected: Expected,
    },
    /// Neither the feature nor the command gives a pitch.
    NoPitch,
    /// A place that is not finite, or beyond what degrees can be.
    NotAPlace([f64; 2]),
    /// A covering that no card has.
    UnknownCovering(String),
    /// The outline itself.
    Outline(OutlineFault),
    /// The roof is there, and could not be laid out.
    NotLaid(String),
}

plainly_shown!(FeatureFault);

impl Finding for FeatureFault {
    fn code(&self) -> &'static str {
        match self {
            Self::Torn(_) => "not-json",
            Self::Blank => "blank-line",
            Self::NotAFeature(_) => "not-a-feature",
            Self::NoGeometry => "no-geometry",
            Self::NotAPolygon(_) => "not-a-polygon",
            Self::NotWkb => "not-wkb",
            Self::Property { .. } => "property",
            Self::NoPitch => "no-pitch",
            Self::NotAPlace(_) => "not-a-place",
            Self::UnknownCovering(_) => "unknown-covering",
            Self::Outline(fault) => fault.code(),
            Self::NotLaid(_) => "not-laid",
        }
    }

    fn severity(&self) -> Severity {
        Severity::Stop
    }

    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::NotAPlace([x, y]) => vec![("x", *x), ("y", *y)],
            Self::Outline(fault) => fault.values(),
            _ => Vec::new(),
        }
    }
}

impl From<OutlineFault> for FeatureFault {
    fn from(fault: OutlineFault) -> Self {
        Self::Outline(fault)
    }
}
