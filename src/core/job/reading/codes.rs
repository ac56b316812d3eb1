//! The code of each fault.

use super::fault::Fault;
use super::kinds::Named;
use crate::base::quantity::{Quantity, Reason};
use crate::outline::error::OutlineError;

impl Fault {
    /// Stable, kebab-case: what scripts match on.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Unclosed { .. }
            | Self::NoQuotes
            | Self::DecimalComma
            | Self::AfterValue(_)
            | Self::NoClosingQuote(_)
            | Self::LeadingPoint(_)
            | Self::NotToml { .. } => "syntax",
            Self::DuplicateTable { .. } | Self::DuplicateKey { .. } => "duplicate-key",
            Self::WrongType { .. } | Self::NotTables { .. } | Self::NotEnds => "wrong-type",
            Self::UnknownKey { .. } => "unknown-key",
            Self::MissingKey { .. } | Self::NoCovering => "missing-key",
            Self::WrongCount { .. } | Self::TwoLengthsOpen => "wrong-count",
            Self::Empty { .. } => "empty",
            Self::TooLong { .. } => "too-long",
            Self::BadName { .. } => "bad-name",
            Self::UnknownWord { .. } | Self::WasteWord | Self::NoSuchLine { .. } | Self::NoSuchDeck { .. } => {
                "unknown-word"
            }
            Self::Conflict { .. }
            | Self::OffsetAlone
            | Self::GoesWithWall { .. }
            | Self::GoesWithEaves { .. }
            | Self::ProjectionAtDripEdge
            | Self::OnlyOfPlan { .. }
            | Self::ScaleSigmaAlone
            | Self::FocalSigmaAlone => "conflicting-keys",
            Self::Quantity { error, .. } => code_of(&error.reason, error.quantity),
            Self::NotFinite { .. } => "not-finite",
            Self::OutOfBounds { .. }
            | Self::MoreThanWhole { .. }
            | Self::TinyOutline { .. }
            | Self::LongSide { .. }
            | Self::NothingLeftOpen
            | Self::RidgeTooLow { .. }
            | Self::FarApart { .. }
            | Self::EdgeToItself => "out-of-range",
            Self::UnknownName { of, .. } => match of {
                Named::Point => "missing-point",
                Named::Side => "unknown-side",
                Named::Face | Named::FaceByPoints => "unknown-face",
                Named::Camera => "unknown-camera",
                Named::Card => "unknown-card",
            },
            Self::AmbiguousName { .. } => "ambiguous-name",
            Self::PointTwice | Self::CornerIsArm | Self::PointEndsLine => "repeated-point",
            Self::FaceTwice => "repeated-face",
            Self::SideForFace | Self::NoFaceOnSide { .. } => "unknown-face",
            Self::NameTaken(_) => "duplicate-name",
            Self::TwoRoles { .. } | Self::HipWithoutVerge | Self::CourtRunsInto | Self::NoRole { .. } => "side-role",
            Self::UnknownOfSeveral => "bad-pitch",
            Self::BreakNotAbove { .. } => "rises-order",
            Self::TooFewSides { .. } => "too-few-sides",
            Self::MixedSides { .. } => "mixed-sides",
            Self::DesignOpen { .. } => "design-open",
            Self::TurnSum { .. } => "turn-sum",
            Self::Outline(OutlineError::ZeroLength { .. }) => "zero-length",
            Self::Outline(OutlineError::HoleOutside { .. } | OutlineError::HoleInHole { .. }) => "hole-outside",
            Self::Outline(_) => "self-crossing",
            Self::HeightAssumed { .. } => "height-assumed",
            Self::NoEave { .. } => "no-eave",
            Self::OnOwnSide | Self::NoRafter => "unknown-side",
            Self::PitchNotFixed { .. } => "pitch-not-fixed",
            Self::PitchGiven { .. } | Self::NoPitchHere { .. } | Self::FurtherPriceFile => "unused-key",
            Self::PriceFile { .. } => "price-file",
            Self::Circle { .. } => "placed-in-a-circle",
            Self::BadDate { .. } => "bad-date",
            Self::NoRoof => "no-roof",
            Self::ShadowedName { .. } => "shadowed-name",
            Self::OverhangAssumed => "overhang-assumed",
            Self::CardFile { .. } => "card-file",
            Self::NotOnThisCard { .. } | Self::CardValueFixed { .. } => "card-value",
            Self::CardGauge { .. } => "card-gauge",
            Self::CardLap { .. } => "card-lap",
            Self::UnusedCamera { .. } => "unused-camera",
            Self::PhotoFile { .. } => "photo-file",
            Self::PhotoFormat { .. } => "photo-format",
            Self::PhotoCutOff { .. } => "photo-cut-off",
            Self::PhotoHeif { .. } => "photo-heif",
            Self::PhotoSize { .. } => "photo-size",
            Self::FocalAssumed { .. } => "focal-assumed",
            Self::MarkOutside { .. } => "mark-outside",
        }
    }
}

fn code_of(reason: &Reason, quantity: Quantity) -> &'static str {
    match (reason, quantity) {
        (Reason::NoUnit { .. }, _) => "no-unit",
        (Reason::NotFinite, _) => "not-finite",
        (_, Quantity::Length) => "bad-length",
        (_, Quantity::Pitch) => "bad-pitch",
        (_, Quantity::Turn) => "bad-turn",
        (_, Quantity::Angle) => "bad-angle",
        (_, Quantity::Bearing) => "bad-bearing",
        (_, Quantity::Fraction) => "bad-percentage",
    }
}
